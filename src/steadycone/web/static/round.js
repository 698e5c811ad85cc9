// A round on a phone: one step a screen, saved here before the screen goes on, sent when the yard can be reached.
// @ts-check
import { NotTaken, clean, fold, moment, needles, nextStep, state, stops, take, upcoming, waitSince } from "./round_fold.js";
import { dial } from "./round_dial.js";
import { button, ended, item, link, problem, said, stamp, toggle } from "./round_parts.js";
import { hours, showWait, tones } from "./round_screen.js";
import { deliver, here, keepSending } from "./round_send.js";
import { mark } from "./round_sent.js";
import { all, get, isWaiting, put, tidy, update } from "./round_store.js";

/**
 * @typedef {import("./round_fold.js").Plan & {station: string, slug: string, file: string, hashes: {[what: string]: string}, on: string,
 *   digest: string, until: string}} PagePlan
 * @typedef {import("./round_fold.js").Step} Step
 * @typedef {import("./round_fold.js").Stop} Stop
 * @typedef {import("./round_store.js").Kept} Kept
 */

const CLOCK_OFF = 120000; // ms: more than two clocks on one site differ by
const KEEP = 14 * 86400000; // ms that a round stays on the phone after it is over
const MARKS = { here: "M2 2h12v12H2z", waiting: "M2 6v8h12V6M8 11V2M4.5 5L8 1.5L11.5 5", sent: "M2 2h12v12H2zM5 8l2.2 2.4L11.2 5.5" };

class Screen {
  /** @param {HTMLElement} root @param {string} page @param {PagePlan} plan */
  constructor(root, page, plan) {
    this.root = root;
    this.page = page;
    this.plan = plan;
    /** @type {Kept | null} */
    this.kept = null;
    /** @type {{step: string, again: boolean} | null} */
    this.mending = null;
    this.shown = "";
    this.unreached = false;
    this.ticking = 0;
  }

  /** @template {HTMLElement} T @param {string} asked @returns {T} */
  find(asked) {
    const found = document.querySelector(asked);
    if (!found) throw new Error(`${asked} is not on this page`);
    return /** @type {T} */ (found);
  }

  async start() {
    await tidy(Date.now() - KEEP);
    this.root.addEventListener("submit", (event) => this.submitted(/** @type {SubmitEvent} */ (event)));
    this.root.addEventListener("click", (event) => this.pressed(event));
    const asked = await get(location.hash.slice(1) || "-");
    if (asked && asked.person === this.root.dataset.person) await this.open(asked);
    else await this.list();
    void keepSending((found) => this.sent(found));
    void here().then((found) => this.sayClock(found));
  }

  // --- begin, or go on ---

  async list() {
    const own = this.root.dataset.person;
    const found = (await all()).filter((round) => round.slug === this.plan.slug && (!round.over || round.problem));
    const place = this.find("[data-rounds]");
    for (const round of found.reverse()) {
      const line = document.createElement("li");
      const told = `begun ${new Date(round.begun).toLocaleDateString("en-GB", { day: "numeric", month: "short" })} ${hours(round.begun)}, ${round.answers.length} answers`;
      place.querySelector(`a[href="/rounds/${CSS.escape(round.id)}"]`)?.closest("li")?.remove();
      if (round.person === own) {
        line.append(button(round.over ? `See what became of it: ${told}` : `Go on: ${told}`, "quiet", () => void this.open(round)));
      } else {
        line.append(mark(MARKS.waiting), ` ${isWaiting(round) ? `Waiting for ${round.person}` : round.person}: ${told}. Only they can send it.`);
      }
      place.prepend(line);
    }
    this.saveState(null);
  }

  async begin() {
    const today = stamp(Date.now()).slice(0, 10);
    if (today > this.plan.until || today < this.plan.on) {
      const says = `This page was made on ${this.plan.on}. Load it with a connection before you begin: dates may have run out since.`;
      return problem(this.find("[data-begin-problem]"), says);
    }
    /** @type {Kept} */
    const round = {
      id: crypto.randomUUID(), person: this.root.dataset.person ?? "", station: this.plan.station, slug: this.plan.slug, file: this.plan.file,
      hashes: this.plan.hashes, on: today, digest: this.plan.digest, plan: this.plan.plan, page: this.page, answers: [], waiting: null,
      sentWaiting: "null", kept: 0, close: false, unconfirmed: false, over: false, problem: "", reply: null, replyTo: -1, sentAt: 0,
      begun: Date.now(), verdicts: {},
    };
    await put(round);
    void navigator.storage?.persist?.();
    await this.open(round);
  }

  /** @param {Kept} round */
  async open(round) {
    const { plan, html } = JSON.parse(round.page);
    if (plan.plan !== this.plan.plan) {
      this.root.replaceChildren(...new DOMParser().parseFromString(html, "text/html").body.childNodes);
      this.plan = plan;
    }
    history.replaceState(null, "", `#${round.id}`);
    this.kept = round;
    this.render();
  }

  // --- what is shown ---

  round() {
    const kept = /** @type {Kept} */ (this.kept);
    return fold(this.plan, kept.answers, kept.verdicts);
  }

  render() {
    const kept = this.kept;
    if (!kept) return;
    const { round } = this.round();
    const step = this.mending ? this.plan.steps.find((each) => each.id === this.mending?.step) : nextStep(round);
    const told = this.serverStops();
    for (const section of this.root.querySelectorAll("section")) section.hidden = true;
    this.find("[data-line]").hidden = false;
    this.line(round.given.size);
    this.answered(round);
    window.clearInterval(this.ticking);
    if (kept.over || kept.close || (!upcoming(round) && state(round) === "signed" && !this.mending && !told.length)) this.end(round);
    else if (step && (this.mending || !told.length)) this.step(round, step);
    else this.stopped(told.length ? told : [...this.cardStops(), ...stops(round)]);
    this.saveState(kept);
  }

  /** What the yard said of the very answers that stand here, where it stops. @returns {Stop[]} */
  serverStops() {
    const kept = /** @type {Kept} */ (this.kept);
    const told = kept.reply;
    if (!told || kept.replyTo !== kept.answers.length || told.state !== "stopped") return [];
    return (told.stops ?? []).map(([id, says, remedy]) => {
      const step = /** @type {Step} */ (this.plan.steps.find((each) => each.id === id));
      return { kind: "server", step, group: step.group, says: `Step ${step.number}: ${says}`, remedy, again: step.again };
    }).concat(/** @type {Stop[]} */ (this.cardStops()));
  }

  /** @returns {Stop[]} */
  cardStops() {
    const first = this.plan.steps[0];
    return this.plan.cardStops.map(([says, remedy]) => ({ kind: "card", step: first, group: "", says, remedy, again: "" }));
  }

  /** @param {import("./round_fold.js").Round} round @param {Step} step */
  step(round, step) {
    const kept = /** @type {Kept} */ (this.kept);
    const section = this.find(`[data-step="${step.id}"]`);
    section.hidden = false;
    this.find("[data-where]").textContent = `${step.phase} · step ${step.number} of ${this.plan.steps.length}`;
    const bad = stops(round).length;
    const stands = /** @type {HTMLElement | null} */ (section.querySelector(".round-stands"));
    if (stands) {
      stands.hidden = bad === 0 || Boolean(this.mending);
      const says = stands.querySelector("[data-stands]");
      if (says) says.textContent = `${bad} ${bad === 1 ? "stop stands" : "stops stand"}. Answer what is left here; then nothing goes on before it is mended.`;
    }
    this.underName(section, step, round);
    const fresh = this.shown !== `${kept.id} ${step.id} ${kept.answers.length}`;
    if (fresh) {
      this.shown = `${kept.id} ${step.id} ${kept.answers.length}`;
      const form = /** @type {HTMLFormElement} */ (section.querySelector("form"));
      form.reset();
      problem(form.querySelector(".round-problem"), kept.problem && !kept.over ? kept.problem : "");
      const first = step.from ? round.given.get(step.from) : undefined;
      dial(section, step.asked, { before: first?.value.number ?? null, at: first ? hours(first.firstAt) : "" });
      window.scrollTo(0, 0);
      /** @type {HTMLElement | null} */ (section.querySelector("h2"))?.focus({ preventScroll: true });
    }
    if (step.kind === "wait") this.wait(section, round, step);
  }

  /** What the name will stand under, beside what the card says. @param {Element} section @param {Step} step @param {import("./round_fold.js").Round} round */
  underName(section, step, round) {
    if (step.id !== "sign") return;
    const kept = /** @type {Kept} */ (this.kept);
    const notes = kept.reply && kept.replyTo === kept.answers.length ? (kept.reply.notes ?? []) : needles(round).notes;
    let place = section.querySelector("[data-notes]");
    if (!place) {
      place = document.createElement("ul");
      place.setAttribute("data-notes", "");
      place.className = "round-under-name";
      section.querySelector(".round-text")?.before(place);
    }
    place.replaceChildren(...notes.map((says) => item(says)));
  }

  /** @param {HTMLElement} section @param {import("./round_fold.js").Round} round @param {Step} step */
  wait(section, round, step) {
    const kept = /** @type {Kept} */ (this.kept);
    const begun = kept.waiting && kept.waiting[0] === step.id ? moment(kept.waiting[1]) : null;
    const since = step.runsOn ? waitSince(round, step) : begun;
    toggle(section.querySelector("[data-begin]"), since === null);
    toggle(section.querySelector("[data-done]"), since !== null || step.seconds === undefined);
    if (since === null || step.seconds === undefined) return;
    const wait = { since, seconds: step.seconds, lead: step.lead ?? 0 };
    if (!showWait(section, wait, Date.now())) {
      this.ticking = window.setInterval(() => {
        if (showWait(section, wait, Date.now())) {
          window.clearInterval(this.ticking);
          navigator.vibrate?.([300, 150, 300]);
        }
      }, 250);
    }
  }

  /** @param {Stop[]} found */
  stopped(found) {
    const section = this.find("[data-stop]");
    section.hidden = false;
    this.find("[data-where]").textContent = "Stopped";
    this.find("[data-stops]").replaceChildren(...found.map((stop) => this.stopLine(stop)));
    if (this.shown !== "stop") this.find("#t-stop").focus({ preventScroll: true });
    this.shown = "stop";
  }

  /** @param {Stop} stop */
  stopLine(stop) {
    const line = document.createElement("li");
    const says = document.createElement("b");
    says.textContent = stop.says;
    const does = document.createElement("p");
    does.textContent = stop.remedy;
    line.append(says, does);
    if (stop.kind === "card") return line;
    const acts = document.createElement("p");
    acts.className = "round-act";
    if (stop.kind === "old" || stop.kind === "held") return line;
    const from = this.plan.steps.find((each) => each.id === stop.again);
    if (from && from !== stop.step) {
      acts.append(button(`Mended: go round again from step ${from.number}`, "round-main", () => this.mend(from.id, true)));
      acts.append(button(`Written wrong: correct step ${stop.step.number}`, "round-second", () => this.mend(stop.step.id, false)));
    } else {
      acts.append(button(`Mended: answer step ${stop.step.number} again`, "round-main", () => this.mend(stop.step.id, false)));
    }
    line.append(acts);
    return line;
  }

  /** @param {string} step @param {boolean} again */
  mend(step, again) {
    this.mending = { step, again };
    this.shown = "";
    this.render();
  }

  /** @param {import("./round_fold.js").Round} round */
  end(round) {
    const kept = /** @type {Kept} */ (this.kept);
    this.find("[data-end]").hidden = false;
    this.find("[data-answered]").hidden = true;
    this.find("[data-where]").textContent = "The end";
    const { title, says, confirm } = ended(kept, round);
    this.find("[data-end-title]").textContent = title;
    this.find("[data-end-says]").textContent = says;
    problem(this.find("[data-end-problem]"), kept.problem);
    this.find("[data-confirm]").hidden = !confirm;
    const name = /** @type {HTMLInputElement} */ (this.root.querySelector("#c-name"));
    if (name && !name.value) name.value = round.given.get("sign")?.value.said ?? "";
    const links = [];
    if (kept.over) links.push(link("See the report", `/rounds/${kept.id}/report`), link("Take the answers away", `/rounds/${kept.id}/answers.json`));
    links.push(link("To the station", `/stations/${kept.slug}`));
    this.find("[data-end-links]").replaceChildren(...links);
    if (this.shown !== `end ${title}`) this.find("[data-end-title]").focus({ preventScroll: true });
    this.shown = `end ${title}`;
  }

  /** @param {number} done */
  line(done) {
    const x = (358 * done) / this.plan.steps.length;
    const drawn = this.find("[data-line] svg");
    drawn.setAttribute("aria-label", `${done} of ${this.plan.steps.length} answered`);
    drawn.querySelector(".gi")?.setAttribute("width", x.toFixed(1));
    drawn.querySelector(".hair")?.setAttribute("d", `M${x.toFixed(1)} 8H358`);
    drawn.querySelector(".frame")?.setAttribute("x", Math.min(x, 344).toFixed(1));
  }

  /** @param {import("./round_fold.js").Round} round */
  answered(round) {
    const place = this.find("[data-answered]");
    const kept = /** @type {Kept} */ (this.kept);
    place.hidden = round.given.size === 0 || kept.over;
    const lines = this.plan.steps.filter((step) => round.given.has(step.id)).map((step) => {
      const line = document.createElement("li");
      line.value = step.number;
      const said = document.createElement("b");
      said.textContent = round.given.get(step.id)?.value.said ?? "";
      const title = document.createElement("span");
      title.textContent = this.root.querySelector(`[data-step="${step.id}"] h2`)?.textContent ?? step.label;
      line.append(title, " ", said, " ", button("Correct", "", () => this.mend(step.id, false)));
      return line;
    });
    place.querySelector("ol")?.replaceChildren(...lines.reverse());
  }

  /** Always a mark and a word. @param {Kept | null} kept */
  saveState(kept) {
    const place = document.getElementById("sent");
    if (!place) return;
    if (!kept || (!kept.answers.length && !kept.kept)) return place.replaceChildren();
    const missing = Math.max(kept.answers.length - kept.kept, 1);
    /** @type {[keyof typeof MARKS, string]} */
    const told = !isWaiting(kept) ? ["sent", `sent ${hours(kept.sentAt)}`] : this.unreached || !navigator.onLine ? ["waiting", `${missing} waiting`] : ["here", "saved here"];
    const word = document.createElement("span");
    word.textContent = told[1];
    place.replaceChildren(mark(MARKS[told[0]], told[0] === "here" ? "gi" : "gl"), word);
  }

  /** @param {import("./round_send.js").Here | null} found */
  sayClock(found) {
    if (!found) return;
    const off = Math.abs(found.ahead) > CLOCK_OFF;
    const minutes = Math.round(Math.abs(found.ahead) / 60000);
    const says = `This phone’s clock is ${minutes} min ${found.ahead > 0 ? "ahead of" : "behind"} the yard’s. Set it right: every reading carries its time.`;
    let place = /** @type {HTMLElement | null} */ (this.root.querySelector("[data-clock]"));
    if (!place && off) {
      place = document.createElement("p");
      place.className = "round-clock";
      place.setAttribute("data-clock", "");
      this.root.prepend(place);
    }
    if (place) {
      place.hidden = !off;
      place.textContent = says;
    }
  }

  // --- what a hand does ---

  /** @param {Event} event */
  pressed(event) {
    const target = /** @type {Element} */ (event.target);
    if (target.closest("[data-close]")) void this.close();
  }

  async close() {
    const kept = /** @type {Kept} */ (this.kept);
    this.kept = await update(kept.id, (now) => ({ ...now, close: true, problem: "" }));
    this.render();
    await this.send();
  }

  /** @param {SubmitEvent} event */
  async submitted(event) {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.target);
    if (form.hasAttribute("data-begin-form")) return this.begin();
    if (form.hasAttribute("data-confirm")) return this.confirm(form);
    const section = /** @type {HTMLElement} */ (form.closest("[data-step]"));
    const step = this.plan.steps.find((each) => each.id === section.dataset.step);
    if (!step || !this.kept) return;
    const did = /** @type {HTMLButtonElement | null} */ (event.submitter);
    if (did?.getAttribute("aria-disabled") === "true") return;
    try {
      if (did?.value === "begin") await this.beginWait(step);
      else await this.answer(step, said(step, form, did), form);
    } catch (error) {
      if (!(error instanceof NotTaken)) throw error;
      problem(form.querySelector(".round-problem"), `${error.message} ${error.hint}`.trim());
    }
  }

  /** @param {Step} step */
  async beginWait(step) {
    const lead = step.lead ?? 0;
    const since = stamp(Date.now() + lead * 1000);
    if (lead) tones(lead, step.seconds ?? 0);
    this.kept = await update(/** @type {Kept} */ (this.kept).id, (now) => ({ ...now, waiting: [step.id, since] }));
    this.render();
    await this.send();
  }

  /** @param {Step} step @param {string} value @param {HTMLFormElement} form */
  async answer(step, value, form) {
    const kept = /** @type {Kept} */ (this.kept);
    const { round } = this.round();
    /** @type {import("./round_fold.js").Answer} */
    const given = { step: step.id, value, at: stamp(Date.now()) };
    if (this.mending?.again || (step.id === "sign" && round.given.has("sign"))) given.again = true;
    if (step.kind === "wait" && kept.waiting && kept.waiting[0] === step.id) given.since = kept.waiting[1];
    take(round, given); // throws before anything is kept
    const count = kept.answers.length;
    this.kept = await update(kept.id, (now) => {
      if (now.answers.length !== count || now.over) return undefined; // another tab was faster: its answers stand
      const waiting = now.waiting && now.waiting[0] === step.id ? null : now.waiting;
      return { ...now, answers: [...now.answers, given], waiting, unconfirmed: step.id === "sign" || now.unconfirmed, problem: "" };
    });
    this.mending = null;
    const password = step.id === "sign" ? String(new FormData(form).get("password") ?? "") : "";
    form.reset();
    this.render();
    await this.send(password ? { by: value, password } : undefined);
  }

  /** The signature confirmed later, or by another person. @param {HTMLFormElement} form */
  async confirm(form) {
    const told = new FormData(form);
    const name = clean(String(told.get("name") ?? ""));
    const step = /** @type {Step} */ (this.plan.steps.find((each) => each.id === "sign"));
    const { round } = this.round();
    try {
      if (round.given.get("sign")?.value.said !== name) await this.answer(step, name, form);
      else await this.send({ by: name, password: String(told.get("password") ?? "") });
      const password = /** @type {HTMLInputElement} */ (form.elements.namedItem("password"));
      password.value = "";
    } catch (error) {
      if (!(error instanceof NotTaken)) throw error;
      problem(this.find("[data-end-problem]"), `${error.message} ${error.hint}`.trim());
    }
  }

  /** @param {{by: string, password: string}} [sign] */
  async send(sign) {
    const kept = /** @type {Kept} */ (this.kept);
    const found = await here();
    this.sayClock(found);
    this.unreached = !found;
    let after = null;
    if (found && found.person === kept.person) after = await deliver(kept.id, found, sign).catch(() => null);
    if (found && !after) this.unreached = true;
    await this.refresh(after ?? undefined);
    if (sign && this.unreached) problem(this.root.querySelector("[data-end-problem]"), "The yard can’t be reached. Type the password again when it can.");
  }

  /** @param {Kept} [after] */
  async refresh(after) {
    if (!this.kept) return;
    this.kept = after ?? (await get(this.kept.id)) ?? this.kept;
    this.render();
  }

  /** @param {import("./round_send.js").Here | null} found */
  async sent(found) {
    this.sayClock(found);
    if (found) this.unreached = false;
    await this.refresh();
  }
}

/** @param {HTMLElement} root */
export default async function start(root) {
  const plan = /** @type {PagePlan} */ (JSON.parse(root.querySelector("#plan")?.textContent ?? "{}"));
  const page = JSON.stringify({ plan, html: root.innerHTML });
  await new Screen(root, page, plan).start();
  document.documentElement.dataset.awake = "yes"; // only now a press is heard
}
