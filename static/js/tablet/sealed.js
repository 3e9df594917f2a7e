// What lets a person take the tablet over without a signal: their device token, sealed under their PIN.
//
// What this is worth: a PIN has few digits. Whoever takes the tablet's storage apart can try them all, slow as each try
// is made, and then write entries under that person's name from this device; they cannot sign in with it, and a revoked
// device's entries are kept for a person to look at. It holds off a glance and a borrowed tablet, not a thief with tools.
// The five tries are counted in the same storage, so they bind only who goes through the page.

const ROUNDS = 600_000;
const KEY = { name: "AES-GCM", length: 256 };

function random(size) {
  return crypto.getRandomValues(new Uint8Array(size));
}

async function keyFrom(pin, salt) {
  const typed = await crypto.subtle.importKey("raw", new TextEncoder().encode(pin), "PBKDF2", false, ["deriveKey"]);
  return crypto.subtle.deriveKey({ name: "PBKDF2", hash: "SHA-256", salt, iterations: ROUNDS }, typed, KEY, false, ["encrypt", "decrypt"]);
}

/** {salt, iv, sealed}: bound to the person, so that one person's seal is none of another's. */
export async function seal(token, pin, personId) {
  const salt = random(16);
  const iv = random(12);
  const additionalData = new TextEncoder().encode(personId);
  const sealed = await crypto.subtle.encrypt({ name: "AES-GCM", iv, additionalData }, await keyFrom(pin, salt), new TextEncoder().encode(token));
  return { salt, iv, sealed };
}

/** The token, or nothing where the PIN is another. */
export async function unseal({ salt, iv, sealed }, pin, personId) {
  const additionalData = new TextEncoder().encode(personId);
  try {
    const token = await crypto.subtle.decrypt({ name: "AES-GCM", iv, additionalData }, await keyFrom(pin, salt), sealed);
    return new TextDecoder().decode(token);
  } catch {
    return "";
  }
}
