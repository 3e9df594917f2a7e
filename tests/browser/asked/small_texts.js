// Texts drawn smaller than `smallest` px. In a drawing a text is as large as the drawing's scale makes it.
(smallest) => {
  const sizeOf = (element) => {
    const size = parseFloat(getComputedStyle(element).fontSize);
    if (!element.ownerSVGElement) return size;
    const { a, b } = element.getScreenCTM();
    return size * Math.hypot(a, b);
  };

  const isSeen = (element) =>
    element.checkVisibility({ visibilityProperty: true }) &&
    element.getBoundingClientRect().width > 0 &&
    !element.closest("script, style, option, .unseen");

  const found = new Set();
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const { parentElement, textContent } = walker.currentNode;
    if (!textContent.trim() || !isSeen(parentElement)) continue;
    const size = sizeOf(parentElement);
    if (size < smallest - 0.01) found.add(`"${textContent.trim().slice(0, 40)}" ${size.toFixed(1)} px`);
  }
  return [...found];
}
