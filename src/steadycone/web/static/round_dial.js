// Plus and minus beside a reading: one press is the gauge's smallest readable change. Empty until a hand sets it.
// @ts-check
import { scale } from "./round_screen.js";

/**
 * @param {Element} section @param {import("./round_fold.js").Asked} [ask] @param {{before: number | null, at: string}} [first]
 */
export function dial(section, ask, first = { before: null, at: "" }) {
  const field = /** @type {HTMLInputElement | null} */ (section.querySelector(".round-dial input"));
  if (!field || !ask) return;
  const now = () => {
    const typed = field.value.trim().replace(",", ".");
    return typed !== "" && Number.isFinite(Number(typed)) ? Number(typed) : null;
  };
  const show = () => {
    const read = now();
    section.querySelectorAll("[data-say='Save']").forEach((button) => (button.textContent = read === null ? "Save" : `Save ${field.value.trim()} ${ask.unit}`));
    const drawn = section.querySelector(".round-scale");
    if (drawn) scale(drawn, ask, read, first.before);
    const told = section.querySelector("[data-before]");
    if (told) told.textContent = first.before === null ? "" : `open mark: ${first.before.toFixed(ask.decimals)}${first.at ? ` at ${first.at}` : ""}`;
    const solid = section.querySelector("[data-now]");
    if (solid) solid.textContent = read === null ? "not read yet" : "solid mark: now";
  };
  for (const button of /** @type {NodeListOf<HTMLButtonElement>} */ (section.querySelectorAll("[data-press]"))) {
    button.hidden = false;
    button.onclick = () => {
      const read = now();
      const base = first.before ?? ask.start ?? 0;
      const next = read === null ? base : read + Number(button.dataset.press) * ask.press;
      field.value = Math.max(ask.unit.startsWith("°") ? -60 : 0, Math.round(next / ask.press) * ask.press).toFixed(ask.decimals);
      show();
    };
  }
  field.oninput = show;
  show();
}
