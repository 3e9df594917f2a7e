// A passkey is made or used: the browser's own ceremony, its answer sent with the form. Without it the button stays off.

const form = document.querySelector("[data-passkey]");
const button = form?.querySelector("button");
const why = form?.querySelector("[data-why]");

const bytes = (text) => Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (one) => one.charCodeAt(0));
const text = (buffer) => btoa(String.fromCharCode(...new Uint8Array(buffer)))
  .replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");

/** Addresses of bytes are text in JSON; the browser wants bytes. */
function read(options) {
  const { challenge, user, excludeCredentials, allowCredentials, ...rest } = options;
  const known = (list) => list?.map((one) => ({ ...one, id: bytes(one.id) }));
  return {
    ...rest,
    challenge: bytes(challenge),
    ...(user && { user: { ...user, id: bytes(user.id) } }),
    ...(excludeCredentials && { excludeCredentials: known(excludeCredentials) }),
    ...(allowCredentials && { allowCredentials: known(allowCredentials) }),
  };
}

function written(credential) {
  const { response } = credential;
  const parts = ["clientDataJSON", "attestationObject", "authenticatorData", "signature", "userHandle"];
  const said = Object.fromEntries(parts.filter((part) => response[part]).map((part) => [part, text(response[part])]));
  return {
    id: credential.id,
    rawId: text(credential.rawId),
    type: credential.type,
    response: { ...said, ...(response.getTransports && { transports: response.getTransports() }) },
    clientExtensionResults: credential.getClientExtensionResults(),
  };
}

async function ceremony(event) {
  event.preventDefault();
  why.hidden = true;
  button.disabled = true;
  try {
    const { publicKey } = JSON.parse(form.dataset.options);
    const credential = await navigator.credentials[form.dataset.passkey]({ publicKey: read(publicKey) });
    form.elements.answer.value = JSON.stringify(written(credential));
    form.submit();
  } catch {
    why.hidden = false;
    button.disabled = false;
  }
}

if (form && window.PublicKeyCredential) {
  button.disabled = false;
  form.addEventListener("submit", ceremony);
}
