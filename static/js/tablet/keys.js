// Keys that the tablet makes by itself: UUID version 7 (RFC 9562, section 5.7), ordered by time.

export function uuid7(now = Date.now()) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  new DataView(bytes.buffer).setUint16(0, Math.floor(now / 2 ** 32));
  new DataView(bytes.buffer).setUint32(2, now % 2 ** 32);
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

export async function sha256(data) {
  const bytes = data instanceof Blob ? await data.arrayBuffer() : typeof data === "string" ? new TextEncoder().encode(data) : data;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Canonical JSON (RFC 8785) of strings, whole numbers, lists and objects: no other number occurs here. */
export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  const names = Object.keys(value).sort();
  return `{${names.map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`).join(",")}}`;
}
