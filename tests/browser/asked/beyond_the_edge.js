// What makes the page scroll sideways: the innermost things that end beyond the edge.
() => {
  const over = document.documentElement.scrollWidth - window.innerWidth;
  if (over <= 0) return [];
  const isBeyond = (element) =>
    element.checkVisibility() && element.getBoundingClientRect().right > window.innerWidth + 0.5;
  const beyond = [...document.body.querySelectorAll("*")].filter(isBeyond);
  const named = (element) => `${element.tagName.toLowerCase()}.${element.getAttribute("class") || ""} "${element.textContent.trim().replace(/\s+/g, " ").slice(0, 40)}"`;
  return [`${over} px over`, ...beyond.slice(-5).map(named)];
}
