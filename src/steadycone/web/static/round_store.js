// Rounds kept on this phone until the yard has them. Everything is on its disk before the screen goes on.
// @ts-check

/**
 * @typedef {import("./round_fold.js").Answer} Answer
 * @typedef {{kept: number, taken: number, draft: string, event: string, problem: string, now: string, state?: string, next?: string | null,
 *   stops?: [string, string, string][], notes?: string[], drops?: [string, string, string][], until?: string | null, answers?: Answer[]}} Reply
 * @typedef {{id: string, person: string, station: string, slug: string, file: string, hashes: {[what: string]: string}, on: string,
 *   digest: string, plan: string, page: string, answers: Answer[], waiting: [string, string] | null, sentWaiting: string, kept: number,
 *   close: boolean, unconfirmed: boolean, over: boolean, problem: string, reply: Reply | null, replyTo: number, sentAt: number, begun: number,
 *   verdicts: import("./round_fold.js").Verdicts}} Kept
 */

const NAME = "steadycone";
const ROUNDS = "rounds";

/** @returns {Promise<IDBDatabase>} */
function open() {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(ROUNDS, { keyPath: "id" });
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
}

/**
 * One change, whole or not at all; it resolves when it is on the disk.
 * @template T
 * @param {IDBTransactionMode} mode
 * @param {(store: IDBObjectStore, give: (value: T) => void) => void} work
 * @returns {Promise<T>}
 */
async function within(mode, work) {
  const base = await open();
  try {
    return await new Promise((resolve, reject) => {
      const change = base.transaction(ROUNDS, mode, mode === "readwrite" ? { durability: "strict" } : undefined);
      /** @type {T} */
      let found;
      change.oncomplete = () => resolve(found);
      change.onabort = () => reject(change.error ?? new Error("It was not saved."));
      work(change.objectStore(ROUNDS), (value) => (found = value));
    });
  } finally {
    base.close();
  }
}

/** @returns {Promise<Kept[]>} the one begun last first */
export async function all() {
  const found = /** @type {Kept[]} */ (
    await within("readonly", (store, give) => {
      const asked = store.getAll();
      asked.onsuccess = () => give(asked.result);
    })
  );
  return found.sort((one, other) => other.begun - one.begun);
}

/** @param {string} id @returns {Promise<Kept | undefined>} */
export function get(id) {
  return within("readonly", (store, give) => {
    const asked = store.get(id);
    asked.onsuccess = () => give(asked.result);
  });
}

/** @param {Kept} round @returns {Promise<void>} */
export function put(round) {
  return within("readwrite", (store) => void store.add(round));
}

/**
 * Read, change and write one round, whatever another tab does meanwhile. `change` gives undefined to leave it as it is.
 * @param {string} id @param {(round: Kept) => Kept | undefined} change @returns {Promise<Kept>}
 */
export function update(id, change) {
  return within("readwrite", (store, give) => {
    const asked = store.get(id);
    asked.onsuccess = () => {
      const after = change(asked.result);
      if (after) store.put(after);
      give(after ?? asked.result);
    };
  });
}

/** Rounds that are over and sent need no place for ever. @param {number} before ms */
export async function tidy(before) {
  for (const round of await all()) {
    if (round.over && round.begun < before) await within("readwrite", (store) => void store.delete(round.id));
  }
}

/** Whether the yard does not have all of it yet. @param {Kept} round */
export function isWaiting(round) {
  if (round.over) return false;
  return round.answers.length > round.kept || round.close || round.unconfirmed || JSON.stringify(round.waiting) !== round.sentWaiting;
}
