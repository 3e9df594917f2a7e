// A seal's number by camera, where the browser can read codes itself; typing is always there. A plate is typed: reading
// letters off a picture is not what this does.

const LOOK_EVERY_MS = 250;
const CAN = "BarcodeDetector" in self && Boolean(navigator.mediaDevices?.getUserMedia);

/** The button is in the page and hidden: only a browser that can scan shows it. */
function offer() {
  if (!CAN) return;
  for (const button of document.querySelectorAll("button[data-scan]")) button.hidden = false;
}

async function scan(button) {
  const field = button.closest(".field")?.querySelector("input");
  const place = button.parentElement.querySelector("[data-finder]");
  if (!field || !place || place.firstChild) return;
  const video = Object.assign(document.createElement("video"), { playsInline: true, muted: true });
  place.append(video);
  place.hidden = false;
  button.setAttribute("aria-pressed", "true");
  try {
    video.srcObject = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
    await video.play();
    const number = await found(video, place);
    if (number) put(field, number);
  } catch {
    // No camera, or none allowed: the number is typed.
  } finally {
    stop(button, place, video);
    field.focus();
  }
}

/** The first code that is seen; nothing once the picture is gone. */
async function found(video, place) {
  const detector = new BarcodeDetector();
  while (place.contains(video) && video.isConnected) {
    const [code] = await detector.detect(video).catch(() => []);
    if (code?.rawValue) return code.rawValue.trim();
    await new Promise((resolve) => setTimeout(resolve, LOOK_EVERY_MS));
  }
  return "";
}

function put(field, number) {
  field.value = number.slice(0, field.maxLength > 0 ? field.maxLength : undefined);
  for (const kind of ["input", "change"]) field.dispatchEvent(new Event(kind, { bubbles: true }));
}

function stop(button, place, video) {
  video.srcObject?.getTracks().forEach((track) => track.stop());
  place.replaceChildren();
  place.hidden = true;
  button.setAttribute("aria-pressed", "false");
}

document.addEventListener("click", ({ target }) => {
  const button = target.closest?.("button[data-scan]");
  if (!button) return;
  const place = button.parentElement.querySelector("[data-finder]");
  if (button.getAttribute("aria-pressed") === "true") place.replaceChildren();
  else scan(button);
});
for (const kind of ["toggle", "tablet:shown", "tablet:kept"]) document.addEventListener(kind, offer, true);
offer();
