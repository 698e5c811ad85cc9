// Rounds on their way to the yard: all of a round each time, from its first answer on, so that sending twice changes nothing.
// @ts-check
import { fold, needlesKey } from "./round_fold.js";
import { all, get, isWaiting, update } from "./round_store.js";

/**
 * @typedef {import("./round_store.js").Kept} Kept
 * @typedef {import("./round_store.js").Reply} Reply
 * @typedef {{person: string, token: string, ahead: number, round: boolean}} Here `ahead`: ms that this phone's clock is ahead of the yard's
 */

const PATIENCE = 15000; // ms for one answer of the yard

/** @param {string} url @param {RequestInit} [more] */
async function ask(url, more = {}) {
  return fetch(url, { ...more, cache: "no-store", credentials: "same-origin", redirect: "error", signal: AbortSignal.timeout(PATIENCE) });
}

/** Who is signed in, as the yard says; null where nobody is, or it can't be reached. @returns {Promise<Here | null>} */
export async function here() {
  const asked = Date.now();
  try {
    const found = await ask("/rounds/here.json");
    if (!found.ok) return null;
    const told = await found.json();
    return { person: told.person, token: told.token, round: told.round, ahead: (asked + Date.now()) / 2 - Date.parse(told.now) };
  } catch {
    return null;
  }
}

/** @returns {Promise<Here | null>} after every round of who is signed in was sent */
export async function deliverAll() {
  const waiting = (await all()).filter(isWaiting);
  if (!waiting.length) return null;
  const found = await here();
  if (!found) return null;
  for (const round of waiting) {
    if (round.person === found.person) await deliver(round.id, found).catch(() => undefined);
  }
  return found;
}

/**
 * Send one round. Only its own person may: another who is signed in on this phone leaves it waiting.
 * @param {string} id @param {Here} as @param {{by: string, password: string}} [sign] never kept
 * @returns {Promise<Kept | undefined>} the round as it is kept then
 */
export async function deliver(id, as, sign) {
  const round = await get(id);
  if (!round || round.over || round.person !== as.person) return round;
  const { station, file, hashes, on, digest, plan, answers, waiting, close } = round;
  const body = JSON.stringify({ station, file, hashes, on, digest, plan, answers, waiting, close, sign: sign ?? null });
  const response = await ask(`/rounds/${id}.json`, {
    method: "POST",
    headers: { "content-type": "application/json", "x-form-token": as.token },
    body,
  });
  const told = await response.json().catch(() => ({})); // a page that says no is none
  if (response.ok) return update(id, (now) => withReply(now, told, answers.length, JSON.stringify(waiting)));
  const error = told.error ?? {};
  if (response.status === 401 || response.status === 403 || response.status >= 500) return round;
  return update(id, (now) => ({ ...now, problem: `${error.says ?? "The yard refuses it"}. ${error.try ?? ""} It is kept on this phone.` }));
}

/** @param {Kept} now @param {Reply} told @param {number} sent @param {string} waiting @returns {Kept} */
function withReply(now, told, sent, waiting) {
  const answers = told.answers && told.answers.length > now.answers.length ? told.answers : now.answers;
  const over = told.draft === "recorded" || told.draft === "refused";
  const verdicts = told.drops ? judgedBy(now, told) : now.verdicts;
  return {
    ...now, answers, verdicts, over, kept: Math.max(now.kept, told.kept), sentWaiting: waiting, problem: told.problem, reply: told, replyTo: sent,
    sentAt: Date.now(), close: now.close && !over && !told.problem, unconfirmed: now.unconfirmed && !over,
  };
}

/** What the yard said of the needles, with the readings that it said it of. @param {Kept} now @param {Reply} told */
function judgedBy(now, told) {
  const plan = JSON.parse(now.page).plan;
  const { round } = fold(plan, (told.answers ?? now.answers).slice(0, told.taken), now.verdicts);
  return Object.fromEntries((told.drops ?? []).map(([line, verdict, says]) => [line, { of: needlesKey(round, line), verdict, says }]));
}

/** Send now, whenever the connection comes back, and every half minute while something waits. @param {(found: Here | null) => void} after */
export function keepSending(after) {
  const go = () =>
    navigator.locks.request("steadycone-send", { ifAvailable: true }, async (lock) => {
      if (lock) after(await deliverAll());
    });
  window.addEventListener("online", go);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && go());
  window.setInterval(go, 30000);
  return go();
}
