// The station's form, worked out while somebody types. Without it every button still sends the form and shows it again.
// @ts-check

const PAUSE = 120; // ms after the last key

/** @typedef {{html: string, strip: string, hoses: string, verdict: string, errors: Record<string, string>}} Told */
/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Box */

/** @param {Element} part */
export default function edit(part) {
  let timer = 0;
  let turn = 0;
  let verdict = "";
  /** @type {AbortController | undefined} */
  let asking;

  const form = () => /** @type {HTMLFormElement} */ (part.querySelector("#edit-form"));
  const result = () => /** @type {HTMLElement} */ (part.querySelector("#edit-result"));

  /** What stands in the form, and what is unfolded. */
  function state() {
    /** @type {Record<string, string>} */
    const values = {};
    let text = "";
    for (const [name, value] of new FormData(form())) {
      if (name === "text") text = String(value);
      else if (name.includes(".")) values[name] = String(value);
    }
    const all = result().querySelector("details[open] > ul") !== null; // what is in order is listed when it is unfolded
    return { text: text.replaceAll("\r\n", "\n"), values, all };
  }

  /** No old number beside a new input. @param {string} [why] */
  function stale(why) {
    part.classList.add("edit-stale");
    result().setAttribute("aria-busy", "true");
    const wait = result().querySelector(".edit-wait strong");
    if (wait) wait.textContent = why ?? "NOT WORKED OUT YET";
  }

  /** @param {string} html */
  const made = (html) => document.createRange().createContextualFragment(html); // of our own server, escaped there

  /** @param {Told} told */
  function show(told) {
    const box = result();
    const top = box.scrollTop;
    const open = new Set([...box.querySelectorAll("details[open] summary b")].map((b) => b.textContent));
    box.replaceChildren(made(told.html));
    for (const b of box.querySelectorAll("summary b")) {
      if (open.has(b.textContent)) b.closest("details")?.setAttribute("open", "");
    }
    box.scrollTop = top;
    part.querySelector("#edit-strip")?.replaceChildren(made(told.strip));
    if (told.hoses) document.documentElement.className = told.hoses;
    faults(told.errors);
    fresh(told.verdict);
  }

  /** @param {string} word */
  function fresh(word) {
    part.classList.remove("edit-stale");
    result().removeAttribute("aria-busy");
    const said = part.querySelector("#edit-said");
    if (said && word !== verdict) said.textContent = word || "No answer";
    verdict = word;
  }

  /** @param {Record<string, string>} errors by path */
  function faults(errors) {
    const told = new Map(Object.entries(errors).map(([path, says]) => [path.replaceAll(".", "-"), says]));
    for (const wrong of form().querySelectorAll(".edit-wrong")) {
      const id = wrong.id.slice(2);
      const says = told.get(id) ?? "";
      /** @type {HTMLElement} */ (wrong).hidden = !says;
      const words = wrong.querySelector("span");
      if (words) words.textContent = says;
      const box = document.getElementById(`f-${id}`);
      box?.classList.toggle("bad", Boolean(says));
      if (says) box?.setAttribute("aria-invalid", "true");
      else box?.removeAttribute("aria-invalid");
    }
    for (const section of form().querySelectorAll(".edit-section")) count(section);
  }

  /** What a section still needs. @param {Element} section */
  function count(section) {
    const told = section.querySelector("summary span");
    const left = [...section.querySelectorAll('[aria-required="true"]')].filter((box) => !(/** @type {Box} */ (box).value)).length;
    const bad = [...section.querySelectorAll(".edit-wrong")].some((wrong) => !(/** @type {HTMLElement} */ (wrong).hidden));
    if (told) told.textContent = bad ? "to mend" : left ? `${left} to fill in` : "";
  }

  async function live() {
    const mine = ++turn;
    asking?.abort();
    asking = new AbortController();
    const token = /** @type {HTMLInputElement} */ (form().elements.namedItem("token")).value;
    try {
      const answer = await fetch("/stations/live.json", {
        method: "POST",
        headers: { "content-type": "application/json", "x-form-token": token },
        body: JSON.stringify(state()),
        signal: asking.signal,
      });
      const told = await answer.json();
      if (mine !== turn) return;
      if (answer.ok) show(told);
      else stale(`NOT WORKED OUT: ${told.error?.says ?? answer.status}. ${told.error?.try ?? ""}`);
    } catch (error) {
      if (mine === turn) stale("NOT WORKED OUT: no connection. What you typed is still here.");
    }
  }

  function later() {
    stale();
    turn += 1; // an answer on its way is of an older input
    window.clearTimeout(timer);
    timer = window.setTimeout(live, PAUSE);
  }

  /** The whole form again, for a change that brings other boxes. @param {string} op */
  async function reshape(op) {
    const mine = ++turn;
    window.clearTimeout(timer);
    asking?.abort();
    stale();
    const data = new FormData(form());
    const before = state();
    data.append("op", op);
    const open = new Map([...part.querySelectorAll("details[data-keep]")].map((d) => [d.getAttribute("data-keep"), d.hasAttribute("open")]));
    const focused = document.activeElement?.id ?? "";
    let page;
    try {
      const answer = await fetch(form().action, { method: "POST", body: data });
      page = new DOMParser().parseFromString(await answer.text(), "text/html");
    } catch {
      stale("NOT WORKED OUT: no connection. What you typed is still here.");
      return false;
    }
    const found = page.querySelector("#edit-form")?.closest(".edit");
    if (!found || mine > turn) return false;
    const typed = Object.entries(state().values).filter(([name, value]) => value !== before.values[name]);
    part.replaceChildren(...found.childNodes);
    document.documentElement.className = page.documentElement.className;
    for (const details of part.querySelectorAll("details[data-keep]")) {
      if (open.get(details.getAttribute("data-keep"))) details.setAttribute("open", "");
    }
    for (const [name, value] of typed) {
      const box = form().elements.namedItem(name);
      if (box instanceof HTMLElement && "value" in box) box.value = value;
    }
    if (focused) document.getElementById(focused)?.focus();
    fresh(result().querySelector(".edit-band strong")?.textContent ?? "");
    if (typed.length || mine !== turn) later();
    return true;
  }

  /** Where the eye goes after a button. @param {string} op */
  function follow(op) {
    const [word, line, number] = op.split(" ");
    const step = { same: 1, down: 1, up: -1 }[word ?? ""] ?? 0;
    const groups = part.querySelectorAll(`#s-${line || "declared"} .edit-group`);
    let to = step ? document.getElementById(`g-${line}-part-${Number(number) + step}`) : null;
    if (word === "add" || word === "declare") to = /** @type {HTMLElement | null} */ (groups[groups.length - 1] ?? null);
    if (word === "work") {
      result().focus();
      result().scrollIntoView({ block: "start" });
      return;
    }
    const box = to?.querySelector("select, input, textarea") ?? part.querySelector(`#s-${line || "declared"} summary`);
    if (box instanceof HTMLElement) box.focus();
  }

  part.addEventListener("input", (event) => {
    const box = /** @type {Box} */ (event.target);
    if (box.hasAttribute("data-reshapes")) return;
    if (box.name === "text" || box.name.includes(".")) later();
  });
  part.addEventListener(
    "toggle",
    (event) => {
      const fold = /** @type {Element} */ (event.target);
      if (fold.matches("#edit-result details[open]") && fold.querySelector(":scope > ul:empty") && !part.matches(".edit-stale")) live();
    },
    true, // it does not bubble
  );
  part.addEventListener("change", (event) => {
    if (/** @type {Element} */ (event.target).hasAttribute("data-reshapes")) reshape("work");
  });
  part.addEventListener("submit", async (event) => {
    const button = /** @type {SubmitEvent} */ (event).submitter;
    const op = button instanceof HTMLButtonElement ? button.value : "";
    if (!op || ["save", "text", "form"].includes(op)) return;
    event.preventDefault();
    if (await reshape(op)) follow(op);
  });

  if (window.matchMedia("(min-width:900px)").matches) {
    for (const section of part.querySelectorAll(".edit-section")) section.setAttribute("open", "");
  }
  verdict = result().querySelector(".edit-band strong")?.textContent ?? "";
  const changed = [...form().querySelectorAll("input, textarea")].some((box) => {
    const found = /** @type {HTMLInputElement | HTMLTextAreaElement} */ (box);
    return found.value !== found.defaultValue;
  });
  if (changed) later(); // the browser brought back what was typed before
}
