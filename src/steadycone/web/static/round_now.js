// A step of a round that the server leads: its wait counts down, its gauge has plus and minus. Without this it works all the same.
// @ts-check
import { dial } from "./round_dial.js";
import { showWait } from "./round_screen.js";

/** @param {HTMLElement} root */
export default function start(root) {
  const { due, since, now, ask, lead } = root.dataset;
  const before = Number.parseFloat(root.dataset.before ?? "");
  if (ask) dial(root, JSON.parse(ask), { before: Number.isNaN(before) ? null : before, at: root.dataset.beforeAt ?? "" });
  if (!due || !since || !now) return;
  const ahead = Date.now() - Date.parse(now); // the yard's clock counts, not the phone's
  const wait = { since: Date.parse(since), seconds: (Date.parse(due) - Date.parse(since)) / 1000, lead: Number(lead) };
  const tick = () => showWait(root, wait, Date.now() - ahead);
  tick();
  window.setInterval(tick, 250);
}
