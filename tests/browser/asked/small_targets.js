// What can be pressed and is smaller than the floor in one direction. A control counts with the label that takes its
// touch; a link inside a sentence does not count (WCAG 2.5.8, inline).
(floor) => {
  const CONTROLS = 'a[href], button, input:not([type=hidden]), select, textarea, summary, [role=slider], [tabindex="0"]';

  const isInSentence = (element) =>
    element.matches("a") &&
    getComputedStyle(element).display === "inline" &&
    [...element.parentElement.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.textContent.trim());

  const touched = (element) =>
    (element.matches("input[type=radio], input[type=checkbox]") && element.closest("label")) ||
    element.querySelector(".hit") ||
    element;

  const named = (element) =>
    (element.getAttribute("aria-label") || element.textContent.trim() || element.name || element.id)
      .replace(/\s+/g, " ")
      .slice(0, 50);

  const found = [];
  for (const element of document.querySelectorAll(CONTROLS)) {
    if (!element.checkVisibility({ visibilityProperty: true }) || element.disabled || isInSentence(element)) continue;
    const { width, height, right, bottom } = touched(element).getBoundingClientRect();
    if (right <= 0 || bottom <= 0 || (width >= floor - 0.01 && height >= floor - 0.01)) continue;
    found.push(`${element.tagName.toLowerCase()} "${named(element)}" ${width.toFixed(2)} x ${height.toFixed(2)}`);
  }
  return found;
}
