// Room on the tablet: asked for before a photo is kept, said in a sentence where there is none.

const SPARE = 20 * 2 ** 20;

/** Asks the browser once not to clear what is kept here. */
export async function askToStay() {
  if (!(await navigator.storage?.persisted?.())) await navigator.storage?.persist?.();
}

/** True if so many bytes fit. If not, the page says what to do, until they do. */
export async function hasRoomFor(bytes) {
  const { quota = Infinity, usage = 0 } = (await navigator.storage?.estimate?.()) ?? {};
  const fits = usage + bytes + SPARE < quota;
  const sentence = document.getElementById("no-room");
  if (sentence) sentence.hidden = fits;
  return fits;
}
