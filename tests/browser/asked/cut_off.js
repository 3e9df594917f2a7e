// Texts that have no room: wider or higher than the box they stand in, and controls that lie on one another.
() => {
  const SLACK = 1.5;
  const CONTROLS = "a[href], button, input:not([type=hidden]), select, textarea, summary";

  const isSeen = (element) =>
    element.checkVisibility({ visibilityProperty: true, opacityProperty: true }) &&
    element.getBoundingClientRect().width > 1 &&
    !element.closest("script, style, option, .unseen, .skip");

  const named = (element) =>
    `${element.tagName.toLowerCase()}.${element.getAttribute("class") || ""} "${(element.getAttribute("aria-label") || element.textContent)
      .trim()
      .replace(/\s+/g, " ")
      .slice(0, 60)}"`;

  const holdsText = (element) => [...element.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.textContent.trim());

  const scrolls = (element) => /auto|scroll/.test(getComputedStyle(element).overflowX);

  // Where its own letters are drawn: its box does not say, and its children answer for theirs.
  const lettersOf = (element) => {
    const range = document.createRange();
    const written = [...element.childNodes].filter((node) => node.nodeType === Node.TEXT_NODE && node.textContent.trim());
    const boxes = written.map((node) => (range.selectNodeContents(node), range.getBoundingClientRect()));
    const all = (side, most) => most(...boxes.map((box) => box[side]));
    return { left: all("left", Math.min), right: all("right", Math.max), bottom: all("bottom", Math.max) };
  };

  const boxOf = (element) => {
    let box = element;
    while (getComputedStyle(box).display.startsWith("inline") && getComputedStyle(box).display !== "inline-block" && box.parentElement) box = box.parentElement;
    return box;
  };

  const isCut = (element) => {
    const box = boxOf(element);
    if (scrolls(box)) return false;
    const letters = lettersOf(element);
    const { left, right, bottom } = box.getBoundingClientRect();
    const clips = /hidden|clip/.test(getComputedStyle(box).overflowY);
    return letters.right > right + SLACK || letters.left < left - SLACK || (clips && letters.bottom > bottom + SLACK);
  };

  const isCutInDrawing = (text) => {
    const svg = text.ownerSVGElement.getBoundingClientRect();
    const letters = text.getBoundingClientRect();
    return letters.right > svg.right + SLACK || letters.left < svg.left - SLACK;
  };

  const isFolded = (select) => {
    const pen = document.createElement("canvas").getContext("2d");
    const style = getComputedStyle(select);
    pen.font = style.font;
    const room = select.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight);
    return pen.measureText(select.selectedOptions[0]?.textContent.trim() || "").width > room + SLACK;
  };

  const areOver = (one, other) => {
    if (one.contains(other) || other.contains(one)) return false;
    if (one.closest("label") && one.closest("label") === other.closest("label")) return false;
    const [a, b] = [one, other].map((each) => each.getBoundingClientRect());
    const [wide, high] = [Math.min(a.right, b.right) - Math.max(a.left, b.left), Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top)];
    return wide > SLACK && high > SLACK;
  };

  const isStuck = (element) => {
    for (let each = element; each; each = each.parentElement) {
      if (/sticky|fixed/.test(getComputedStyle(each).position)) return true;
    }
    return false;
  };

  const texts = [...document.body.querySelectorAll("*")].filter((element) => isSeen(element) && holdsText(element));
  const html = texts.filter((element) => !element.closest("svg"));
  const drawn = texts.filter((element) => element.closest("svg") && element.ownerSVGElement);
  const selects = [...document.querySelectorAll("select")].filter(isSeen);
  const controls = [...document.querySelectorAll(CONTROLS)].filter((element) => isSeen(element) && !element.closest("svg") && !isStuck(element));

  const found = [];
  found.push(...html.filter(isCut).map((element) => `cut: ${named(element)}`));
  found.push(...drawn.filter(isCutInDrawing).map((element) => `out of the drawing: ${named(element)}`));
  found.push(...selects.filter(isFolded).map((element) => `no room in: ${named(element)}`));
  controls.forEach((one, at) => {
    for (const other of controls.slice(at + 1)) if (areOver(one, other)) found.push(`over one another: ${named(one)} and ${named(other)}`);
  });
  return found;
}
