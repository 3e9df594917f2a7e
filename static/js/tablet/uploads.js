// The bytes of a photo, one piece after the other: after a break it goes on where the server has it, not at the start.

import { sha256 } from "./keys.js";
import { NotNow, ask, notNow, send } from "./net.js";
import { all, get, put, remove } from "./store.js";

const PIECE = 256 * 1024;
const A_DAY_MS = 24 * 3600 * 1000;

/** Sends what the server does not have of this photo. False if the tablet has lost it. Raises NotNow. */
export async function upload(key) {
  const photo = await get("photos", key);
  if (photo?.complete) return true;
  let { offset, complete } = await (await ask(`/tablet/uploads/${key}/`)).json();
  for (let tries = 0; !complete; ) {
    const piece = await pieceOf(photo, offset);
    if (!piece) return false;
    const said = await sendPiece(key, photo, offset, piece);
    // Its entry brings the same sentence to the row.
    if (said.error === "cannot") return true;
    tries = said.offset > offset ? 0 : tries + 1;
    if (tries > 3) throw new NotNow("signal");
    ({ offset, complete = false } = said);
  }
  if (photo) await put("photos", { ...photo, complete: true, sent: Date.now() });
  return true;
}

/** Null where the browser threw the bytes away: under pressure it does so without asking. */
async function pieceOf(photo, offset) {
  try {
    return photo ? await photo.blob.slice(offset, offset + PIECE).arrayBuffer() : null;
  } catch {
    return null;
  }
}

async function sendPiece(key, { sha256: whole, size }, offset, piece) {
  const response = await send(`/tablet/uploads/${key}/?offset=${offset}&size=${size}&sha=${whole}`, {
    method: "PUT", body: piece,
    headers: { "Content-Type": "application/octet-stream", "X-Chunk-Sha256": await sha256(piece) },
  });
  if (response.ok || [409, 422].includes(response.status)) return response.json();
  throw await notNow(response);
}

/** Bytes that the server has whole are let go after a day. */
export async function forgetSentPhotos(now = Date.now()) {
  for (const photo of await all("photos")) {
    if (photo.complete && photo.sent < now - A_DAY_MS) await remove("photos", photo.key);
  }
}
