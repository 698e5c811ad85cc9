// Small parts of a round's screen: what was pressed, what became of a round, buttons and links.
// @ts-check
import { NotTaken, clean } from "./round_fold.js";
import { hours } from "./round_screen.js";

/**
 * @typedef {import("./round_fold.js").Step} Step
 * @typedef {import("./round_store.js").Kept} Kept
 */

/** The time of an answer: this phone's clock with its zone. @param {number} at ms */
export function stamp(at) {
  const off = -new Date(at).getTimezoneOffset();
  const two = (/** @type {number} */ value) => String(Math.floor(Math.abs(value))).padStart(2, "0");
  return `${new Date(at + off * 60000).toISOString().slice(0, 23)}${off < 0 ? "-" : "+"}${two(off / 60)}:${two(off % 60)}`;
}

/** What was pressed or typed, as an answers file has it. @param {Step} step @param {HTMLFormElement} form @param {HTMLButtonElement | null} did */
export function said(step, form, did) {
  const told = new FormData(form);
  const field = (/** @type {string} */ name) => clean(String(told.get(name) ?? ""));
  if (did?.name === "choice") return did.value;
  if (did?.value === "fail") return field("why") ? `fail: ${field("why")}` : "fail";
  if (did?.value === "not-read") return "not read";
  if (step.id === "sign") return field("name");
  if (step.kind === "text") return field("text");
  if (step.kind !== "reading") return "done";
  const typed = field("number").replace(",", ".");
  if (!typed) throw new NotTaken("Nothing was read.", "Set what the gauge shows, or say that you can’t read it.");
  return step.asked?.unit ? `${typed} ${step.asked.unit}` : typed;
}

/** @param {Kept} kept @param {import("./round_fold.js").Round} round */
export function ended(kept, round) {
  const by = round.given.get("sign")?.value.said ?? "";
  if (kept.over && kept.reply?.draft === "refused") return { title: "This round can’t be used", says: "The answers are kept at the yard as they are.", confirm: false };
  if (kept.over && kept.reply?.state === "signed" && !kept.problem) {
    return { title: "Signed off", says: `By ${by}, until ${kept.reply.until ? hours(Date.parse(kept.reply.until)) : "the shift ends"}. It is in the log.`, confirm: false };
  }
  if (kept.over && kept.reply?.state === "signed") return { title: "Not signed", says: "The records refuse the signature. The round is in the log as evidence, unsigned.", confirm: false };
  if (kept.over) return { title: "Closed", says: "The stop stands. The round is in the log.", confirm: false };
  if (kept.close) return { title: "Closed here", says: "It counts when it is sent.", confirm: false };
  return { title: "Signed here, not yet confirmed", says: `${by} signed on this phone. It counts when it is sent, and their password is asked for then.`, confirm: true };
}

/** @param {Element | null} place @param {string} says */
export function problem(place, says) {
  if (!place) return;
  place.toggleAttribute("hidden", !says);
  const text = place.querySelector("span");
  if (text) text.textContent = says;
}

/** @param {Element | null} place @param {boolean} shown */
export function toggle(place, shown) {
  place?.toggleAttribute("hidden", !shown);
}

/** @param {string} says */
export function item(says) {
  const made = document.createElement("li");
  made.textContent = says;
  return made;
}

/** @param {string} says @param {string} kind @param {() => void} act */
export function button(says, kind, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = kind;
  made.textContent = says;
  made.onclick = act;
  return made;
}

/** @param {string} says @param {string} to */
export function link(says, to) {
  const made = document.createElement("a");
  made.className = "round-second";
  made.href = to;
  made.textContent = says;
  return made;
}
