// Asking the server: never a redirect, never a page taken for an answer, one new CSRF token where the old one is refused.

import { device, isNow } from "./who.js";

const PATIENCE_MS = 20_000;
let csrf = "";
let greeting = null;
let why = "";

/** What stands between the tablet and the server: "signal", "sign-in", "busy". */
export class NotNow extends Error {
  constructor(why, seconds = 0) {
    super(why);
    this.why = why;
    this.seconds = seconds;
  }
}

async function reach(address, options = {}) {
  try {
    return await fetch(address, {
      cache: "no-store", credentials: "same-origin", redirect: "error", signal: AbortSignal.timeout(PATIENCE_MS), ...options,
    });
  } catch {
    throw stopped("signal");
  }
}

/** "" while the server answers, else why it did not when it was asked last. */
export function whyStopped() {
  return navigator.onLine ? why : "signal";
}

function note(reason) {
  if (why === reason) return;
  why = reason;
  document.dispatchEvent(new CustomEvent("tablet:network"));
}

function stopped(reason, seconds = 0) {
  note(reason);
  return new NotNow(reason, seconds);
}

/** The server itself has answered. */
export function answered() {
  note("");
}

/** Says hello: who is signed in, the clock, a CSRF token that is not out of a kept page. */
export async function hello() {
  greeting = null;
  return heard(await reach(`/tablet/hello/?device=${await device()}`));
}

async function heard(response) {
  if (!response.ok || !isJson(response)) throw stopped("signal");
  const said = await response.json();
  // A sign-in that is asked for stays asked for until there is one.
  if (said.person || why !== "sign-in") answered();
  csrf = said.csrf;
  greeting = said;
  if (said.person) await isNow({ ...said.person, token: said.token });
  document.dispatchEvent(new CustomEvent("tablet:hello", { detail: said }));
  return said;
}

export function lastHello() {
  return greeting;
}

function isJson(response) {
  return response.headers.get("Content-Type")?.startsWith("application/json") ?? false;
}

/** GET of JSON; the response is given where it is 200 or 304. */
export async function ask(address, headers = {}) {
  const response = await reach(address, { headers });
  if (response.status === 304 || (response.ok && isJson(response))) {
    answered();
    return response;
  }
  throw await notNow(response);
}

/** POST or PUT with the token; once more with a new one where it is refused. `body` is text or a Blob. */
export async function send(address, { method = "POST", headers = {}, body }) {
  if (!csrf) await hello();
  const once = () => reach(address, { method, headers: { "X-CSRFToken": csrf, ...headers }, body });
  const response = await once();
  if (response.status !== 403 || (await problemOf(response)) !== "csrf") return response;
  await hello();
  return once();
}

export function sendJson(address, value) {
  return send(address, { headers: { "Content-Type": "application/json" }, body: JSON.stringify(value) });
}

async function problemOf(response) {
  return isJson(response) ? ((await response.clone().json()).error ?? "") : "";
}

/** Why a response is no answer. */
export async function notNow(response) {
  if (response.status === 401 && (await problemOf(response)) === "sign-in") return stopped("sign-in");
  if (response.status === 503) return stopped("busy", Number(response.headers.get("Retry-After")) || 0);
  return stopped("signal");
}

/** Signs in without leaving the page. Gives the sentence why not, or nothing. */
export async function signIn(username, password) {
  await hello();
  return signedIn(await sendJson("/tablet/sign-in/", { username, password, device: await device() }));
}

/** Change of person: {person, pin} or {person, password}. Gives the sentence why not, or nothing. */
export async function change(fields) {
  await hello();
  return signedIn(await sendJson("/tablet/change/", { ...fields, device: await device() }));
}

async function signedIn(response) {
  if (response.ok) {
    await heard(response);
    return "";
  }
  if (response.status === 422) return (await response.json()).sentence;
  throw await notNow(response);
}
