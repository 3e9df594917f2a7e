// Writing an entry: one transaction, the same in the page and beside it.

import { asked, write } from "./store.js";

const STORES = ["meta", "outbox", "log", "drafts", "photos"];

/**
 * Writes an entry with the next sequence number and drops the draft it was made from, in one transaction.
 * What was refused before at the same part is answered anew by it. Resolves with the row once it is on disk.
 */
export function keepRow(entry, { draft = "", photo = null } = {}) {
  return write(STORES, async (stores) => {
    const [last, person, refused] = await Promise.all([
      asked(stores.meta.get("seq")),
      asked(stores.meta.get("person")),
      asked(stores.outbox.index("state").getAll("rejected")),
    ]);
    const seq = (last?.value ?? 0) + 1;
    const author = { author: person?.value?.id ?? "", token: person?.value?.token ?? "" };
    const kept = { ...author, state: "", ...entry, seq };
    refused.filter((old) => answersAnew(kept, old)).forEach((old) => putAside(stores, old));
    stores.meta.put({ name: "seq", value: seq });
    stores.outbox.add(kept);
    if (draft) stores.drafts.delete(draft);
    if (photo) stores.photos.put({ ...photo, key: kept.key });
    return kept;
  });
}

function answersAnew(entry, old) {
  return old.walk === entry.walk && old.station === entry.station && old.part === entry.part;
}

export function putAside(stores, row) {
  stores.outbox.delete(row.seq);
  stores.log.put({ ...row, over: Date.now() });
}
