// What waits on this phone, told in the first line of every page, and sent from there too.
// @ts-check
import { here, keepSending } from "./round_send.js";
import { all, isWaiting } from "./round_store.js";

const TRAY = "M2 6v8h12V6M8 11V2M4.5 5L8 1.5L11.5 5";

/** @param {string} path @param {string} kind */
export function mark(path, kind = "gl") {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", "0 0 16 16");
  svg.setAttribute("aria-hidden", "true");
  const drawn = document.createElementNS("http://www.w3.org/2000/svg", "path");
  drawn.setAttribute("d", path);
  drawn.setAttribute("class", kind);
  svg.append(drawn);
  return svg;
}

/** @param {Element} place */
async function tell(place) {
  const waiting = (await all()).filter(isWaiting);
  const others = [...new Set(waiting.map((round) => round.person))].filter((person) => person !== document.body.dataset.person);
  if (!waiting.length) return place.replaceChildren();
  const word = others.length ? `waiting for ${others.join(", ")}` : `${waiting.length} waiting`;
  const link = document.createElement("a");
  link.href = `/stations/${waiting[0].slug}/round`;
  link.append(mark(TRAY), word);
  place.replaceChildren(link);
}

/** @param {Element} place */
export default async function start(place) {
  if (!("indexedDB" in window) || !navigator.locks) return;
  if (place.hasAttribute("data-own")) return; // a round's own page says it itself
  await tell(place);
  await keepSending(() => void tell(place));
}

export { here };
