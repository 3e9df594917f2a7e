// Who is known on this tablet, as the server last said, and what each has sealed here for when there is no signal.

import { ask, lastHello } from "./net.js";
import { seal, unseal } from "./sealed.js";
import { all, asked, meta, setMeta, write } from "./store.js";

export const MOST_WRONG = 5;

/** The server's list where there is a signal, else the one put by: [{id, name, short_name, by_pin}]. */
export async function peopleHere() {
  try {
    const said = await (await ask("/tablet/people/")).json();
    await putBy(said);
    return { people: said.people, isLocked: said.locked };
  } catch {
    return { people: await keptPeople(), isLocked: null };
  }
}

/** As put by: at once, without asking anybody. */
export async function keptPeople() {
  return (await all("people")).sort((one, other) => one.place - other.place);
}

/** Whoever the server no longer lets in by PIN has nothing sealed here either. */
async function putBy({ people, idle_minutes: idle }) {
  await setMeta("idle", idle);
  await write(["people"], async ({ people: store }) => {
    const before = new Map((await asked(store.getAll())).map((row) => [row.id, row]));
    store.clear();
    people.forEach((row, place) => {
      const { salt, iv, sealed, wrong } = before.get(row.id) ?? {};
      store.put({ ...row, place, ...(row.by_pin && sealed ? { salt, iv, sealed, wrong } : {}) });
    });
  });
}

export async function idleMinutes() {
  return (await meta("idle")) ?? lastHello()?.idle_minutes ?? 0;
}

/** After a PIN was right with a signal: from now on it opens the tablet without one too. */
export async function keepSealed(person, token, pin) {
  if (!token) return;
  const made = await seal(token, pin, person.id);
  await write(["people"], async ({ people }) => {
    const row = (await asked(people.get(person.id))) ?? { ...person, place: 0 };
    people.put({ ...row, ...made, by_pin: true, wrong: 0 });
  });
}

/** Without a signal: {token} where the PIN is right, else {why: "unknown" | "wrong" | "stopped", left}. */
export async function openSealed(personId, pin) {
  const row = (await all("people")).find(({ id }) => id === personId);
  if (!row?.sealed) return { why: "unknown" };
  const token = await unseal(row, pin, personId);
  const wrong = token ? 0 : (row.wrong ?? 0) + 1;
  await write(["people"], async ({ people }) => {
    const { salt, iv, sealed, ...rest } = row;
    people.put(wrong >= MOST_WRONG ? { ...rest, by_pin: false, wrong } : { ...rest, salt, iv, sealed, wrong });
  });
  if (token) return { token };
  return wrong >= MOST_WRONG ? { why: "stopped" } : { why: "wrong", left: MOST_WRONG - wrong };
}
