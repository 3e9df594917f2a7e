// Signature on glass: strokes go into the form as whole numbers, [[{"x":..,"y":..,"t":..}, ...], ...]: a thousand units to
// the width of the sheet, y in the same units, t in milliseconds since the first touch. No picture is sent.

import SignaturePad from "../vendor/signature_pad.js";

const WIDTH = 1000;

function strokesOf(pad, canvas) {
  const unit = WIDTH / canvas.clientWidth;
  const groups = pad.toData();
  const start = groups[0]?.points[0]?.time ?? 0;
  const whole = ({ x, y, time }) => ({ x: Math.round(x * unit), y: Math.round(y * unit), t: Math.round(time - start) });
  return groups.map((group) => group.points.map(whole));
}

/** The sheet's own pixels follow its size on the glass; what is drawn stays, at the new size. */
function fit(canvas, pad, strokes) {
  const ratio = Math.max(devicePixelRatio || 1, 1);
  canvas.width = canvas.clientWidth * ratio;
  canvas.height = canvas.clientHeight * ratio;
  canvas.getContext("2d").scale(ratio, ratio);
  const unit = canvas.clientWidth / WIDTH;
  const points = (stroke) => stroke.map(({ x, y, t }) => ({ x: x * unit, y: y * unit, time: t, pressure: 0.5 }));
  pad.fromData(strokes.map((stroke) => ({ ...look(canvas), points: points(stroke) })));
}

function look(canvas) {
  return { penColor: getComputedStyle(canvas).color, minWidth: 1.2, maxWidth: 3.2, dotSize: 2.4, velocityFilterWeight: 0.7 };
}

/** One sheet: a form of its own, or one of several sheets in a form, each with its canvas and its field. */
function wire(sheet) {
  if (sheet.dataset.signature === "ready") return;
  const canvas = sheet.querySelector("canvas[data-pad]");
  const field = sheet.querySelector('input[name^="strokes"]');
  if (!canvas || !field) return;
  sheet.dataset.signature = "ready";
  const pad = new SignaturePad(canvas, look(canvas));
  const keep = (strokes) => {
    field.value = strokes.length ? JSON.stringify(strokes) : "";
    field.dispatchEvent(new Event("change", { bubbles: true }));
  };
  pad.addEventListener("endStroke", () => keep(strokesOf(pad, canvas)));
  sheet.querySelector("[data-clear]")?.addEventListener("click", () => {
    pad.clear();
    keep([]);
  });
  new ResizeObserver(() => fit(canvas, pad, field.value ? JSON.parse(field.value) : [])).observe(canvas);
}

function wireAll() {
  document.querySelectorAll("[data-signature]").forEach(wire);
}

for (const shown of ["htmx:load", "tablet:shown"]) document.addEventListener(shown, wireAll);
wireAll();
