// A round on the phone alone: plan and answers in, what is asked next out. Never further than the yard's server would go: where it
// judges with physics, a needle that moved stops until it was judged. No clock, no storage.
// @ts-check

/**
 * @typedef {{unit: string, press: number, decimals: number, start?: number, size: number, low?: number, high?: number, dead?: boolean,
 *   wanted?: number, cap?: number, half?: number, assumed?: boolean, least?: number, most?: number}} Asked
 * @typedef {{id: string, number: number, phase: string, kind: string, group: string, label: string, gas: boolean, fails: [string, string],
 *   again: string, only?: [string, string], seconds?: number, runsOn?: boolean, lead?: number, optional?: boolean, judged?: boolean,
 *   options?: [string, boolean][], reading?: string, asked?: Asked, from?: string, line?: string, beside?: string, letters?: number, purges?: boolean,
 *   lights?: boolean}} Step
 * @typedef {{plan: string, steps: Step[], lines: string[], cardStops: [string, string][], reclose: number, longestShift: number, purgeGone: number, held: {pop: string[], first: string[]},
 *   unjudged: {moved: string, still: string}, decimal: string, until?: string}} Plan `until`: the last day on which the card has the same stops
 * @typedef {{step: string, value: string, at: string, again?: boolean, since?: string}} Answer
 * @typedef {{said: string, stops: boolean, number: number | null, notRead: boolean, until: number | null}} Value
 * @typedef {{value: Value, answer: Answer, firstAt: number}} Given
 * @typedef {{step: Step, group: string, says: string, remedy: string, again: string, kind: string}} Stop
 * @typedef {{[line: string]: {of: string, verdict: string, says: string}}} Verdicts what the server said of the needles, and of which readings
 * @typedef {{plan: Plan, given: Map<string, Given>, log: Answer[], verdicts: Verdicts}} Round
 */

const LONGEST = 300; // characters of one answer
const ON_A_MARK = 1e-6; // of a press
const STILL_KELVIN = 0.5; // a still needle can't count as moved while the thermometer changed by no more: its own doubt is 0.5 K and a quarter of the change
const NOT_READ = "not read";

/** An answer that is not taken: nothing of it was kept. */
export class NotTaken extends Error {
  /** @param {string} says @param {string} [hint] @param {boolean} [stopped] */
  constructor(says, hint = "", stopped = false) {
    super(says);
    this.hint = hint;
    this.stopped = stopped;
  }
}

/** @param {Plan} plan @param {Verdicts} [verdicts] @returns {Round} */
export function begin(plan, verdicts = {}) {
  return { plan, given: new Map(), log: [], verdicts };
}

/** @param {Round} now @param {Step} step */
export function isAsked(now, step) {
  return !step.only || now.given.get(step.only[0])?.value.said === step.only[1];
}

/** @param {Round} now */
export function asked(now) {
  return now.plan.steps.filter((step) => isAsked(now, step));
}

/** The first step without an answer, whether or not a stop stands before it. @param {Round} now @returns {Step | undefined} */
export function upcoming(now) {
  return asked(now).find((step) => !now.given.has(step.id));
}

/** @param {Round} now @param {Step} step */
function stopped(now, step) {
  if (now.plan.cardStops.length && step.gas) return true;
  return stops(now).some((stop) => stop.group !== step.group);
}

/** What is asked next; undefined when all is answered or a stop stands before it. @param {Round} now */
export function nextStep(now) {
  const step = upcoming(now);
  return step && !stopped(now, step) ? step : undefined;
}

/**
 * The round with one more answer.
 * @param {Round} now @param {Answer} answer @returns {Round}
 */
export function take(now, answer) {
  const step = now.plan.steps.find((each) => each.id === answer.step);
  if (!step) throw new NotTaken("This is no step of the round.");
  const at = moment(answer.at);
  const last = now.log.at(-1);
  if (last && at < moment(last.at)) throw new NotTaken("This phone’s clock went back.", "Set it right, or begin a new round.");
  const value = readValue(step, answer);
  checkMended(now, step, answer, value);
  const base = unsigned(answer.again ? goneAgain(now, step) : now, step);
  checkTurn(base, step);
  if (step.kind === "wait" && !value.stops) checkWait(base, step, answer, at);
  if (step.id === "sign") checkShift(base, at);
  const given = new Map(base.given);
  given.set(step.id, { value, answer, firstAt: base.given.get(step.id)?.firstAt ?? at });
  const later = { ...base, given, log: [...base.log, answer] };
  checkNeedles(later, step);
  return later;
}

/** @param {Plan} plan @param {Answer[]} answers @param {Verdicts} [verdicts] */
export function fold(plan, answers, verdicts = {}) {
  let round = begin(plan, verdicts);
  for (const answer of answers) {
    try {
      round = take(round, answer);
    } catch (error) {
      if (error instanceof NotTaken) return { round, problem: error };
      throw error;
    }
  }
  return { round, problem: null };
}

/** Milliseconds of an ISO time with its zone. @param {string} iso */
export function moment(iso) {
  const found = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,6})?([+-]\d\d:\d\d|Z)$/.test(iso) ? Date.parse(iso) : NaN;
  if (Number.isNaN(found)) throw new NotTaken("This is no time.");
  return found;
}

/** @param {Round} now @param {Step} step @returns {Round} */
function goneAgain(now, step) {
  if (!now.given.has(step.id)) throw new NotTaken("It was not answered yet.");
  if (step === now.plan.steps[0]) throw new NotTaken("Again from step 1 is a new round.", "Begin a new round.");
  const place = now.plan.steps.indexOf(step);
  const kept = now.plan.steps.slice(0, place).filter((each) => now.given.has(each.id));
  return { ...now, given: new Map(kept.map((each) => [each.id, /** @type {Given} */ (now.given.get(each.id))])) };
}

/** What failed with gas let in is gone round again from where the plan says. @param {Round} now @param {Step} step @param {Answer} answer @param {Value} value */
function checkMended(now, step, answer, value) {
  const place = (/** @type {string} */ id) => now.plan.steps.findIndex((each) => each.id === id);
  for (const [name, given] of now.given) {
    const failed = now.plan.steps[place(name)];
    if (!given.value.stops || failed.again === name || (answer.again && place(step.id) <= place(failed.again))) continue;
    const unasked = failed.only?.[0] === step.id; // "not lit now" does not take back what happened while lighting
    if ((answer.again && place(step.id) <= place(name)) || unasked || (name === step.id && !value.stops)) {
      throw new NotTaken("It failed, and gas was let in.", `Mend it, then go round again from step ${place(failed.again) + 1}.`);
    }
  }
}

/** A signature stands under what was written when it was given. @param {Round} now @param {Step} step @returns {Round} */
function unsigned(now, step) {
  if (!now.given.has("sign") || step.id === "sign") return now;
  const given = new Map(now.given);
  given.delete("sign");
  return { ...now, given };
}

/** @param {Round} now @param {Step} step */
function checkTurn(now, step) {
  if (now.given.has(step.id)) return;
  if (!isAsked(now, step)) throw new NotTaken("It is not asked in this round.");
  const turn = upcoming(now);
  if (turn?.id !== step.id) throw new NotTaken("Another step comes first.");
  if (stopped(now, step)) throw new NotTaken("A stop stands before it.", "Clear it, answer that step again, then go on.", true);
}

/** When the step before this one was answered first. @param {Round} now @param {Step} step @returns {number | null} */
export function waitSince(now, step) {
  const all = asked(now);
  const before = all[all.indexOf(step) - 1];
  return before ? now.given.get(before.id)?.firstAt ?? null : null;
}

/** @param {Round} now @param {Step} step @param {Answer} answer @param {number} at */
function checkWait(now, step, answer, at) {
  let since = waitSince(now, step);
  if (answer.since) since = Math.max(since ?? -Infinity, moment(answer.since));
  const last = now.log.at(-1);
  if (answer.again && !step.runsOn && since !== null && last) since = Math.max(since, moment(last.at)); // what was waited before counts no more
  if (step.seconds === undefined || since === null) return;
  if (at - since < step.seconds * 1000) throw new NotTaken("Too early.", "Wait it out, or say what you saw.");
}

/** @param {Round} now @param {number} at */
function checkShift(now, at) {
  const until = now.given.get("shift-end")?.value.until;
  if (until != null && at >= until) throw new NotTaken("The shift has ended by now.", "Correct when it ends, or let the next shift go round.");
}

// --- values ---------------------------------------------------------------------------

/** @param {string} said @param {Partial<Value>} [more] @returns {Value} */
const value = (said, more = {}) => ({ said, stops: false, number: null, notRead: false, until: null, ...more });

/** @param {Step} step @param {Answer} answer @returns {Value} */
function readValue(step, answer) {
  const said = answer.value;
  if (typeof said !== "string" || said !== clean(said) || !/[\p{L}\p{N}]/u.test(said)) throw new NotTaken("Nothing was answered.");
  if (said.length > LONGEST) throw new NotTaken(`At most ${LONGEST} characters.`);
  if (step.kind === "tick" || step.kind === "wait") {
    if (said === "done") return value(said);
    if (/^fail(: \S.*)?$/.test(said)) return value(said, { stops: true });
    throw new NotTaken("Say done, or what you saw.");
  }
  if (step.kind === "choice") {
    const option = step.options?.find(([name]) => name === said);
    if (!option) throw new NotTaken("That is not a choice here.");
    return value(said, { stops: option[1] });
  }
  if (step.kind === "text") {
    if ([...said].filter((letter) => /\p{L}/u.test(letter)).length < (step.letters ?? 0)) throw new NotTaken("That is no name.", "Write the name by which people know you.");
    return value(said);
  }
  if (step.reading === "time of day") return timeOfDay(said, answer); // without an end a signature holds for no time: it can't be left open
  return said === NOT_READ ? value(said, { notRead: true }) : number(step, said);
}

/** One line of text without what a terminal would obey. @param {string} typed */
export function clean(typed) {
  return typed.replace(/[\p{C}\p{Zl}\p{Zp}]/gu, " ").split(/\s+/u).filter(Boolean).join(" ");
}

/** @param {Step} step @param {string} said */
function number(step, said) {
  const ask = /** @type {Asked} */ (step.asked);
  const found = /^(-?\d{1,6})(?:\.(\d{1,6}))? (\S+)$/.exec(said);
  if (!found || found[3] !== ask.unit) throw new NotTaken(`Write a number of ${ask.unit}.`);
  const read = Number(`${found[1]}.${found[2] ?? 0}`);
  if (step.reading === "temperature") {
    const kelvin = ask.unit === "°F" ? ((read - 32) * 5) / 9 + 273.15 : read + 273.15;
    if (!(kelvin > 220.001 && kelvin < 334.999)) throw new NotTaken("That is no temperature to work at.", "Check the unit.");
    return value(said, { number: read });
  }
  if (read < 0) throw new NotTaken("A gauge under test shows pressure; an air test shows a share.");
  if (step.reading === "share") {
    if (read > 100) throw new NotTaken("A share goes to 100 %.");
    return value(said, { number: read });
  }
  const marks = read / ask.press;
  if (!ask.assumed && (Math.abs(marks - Math.round(marks)) > ON_A_MARK || (found[2] ?? "").length > ask.decimals)) {
    throw new NotTaken("Finer than the gauge can be read.", `Read to the nearest ${ask.press.toFixed(ask.decimals)} ${ask.unit}.`);
  }
  if (read * ask.size > 9.9e7) throw new NotTaken("No gauge shows that.");
  return value(said, { number: read });
}

/** @param {string} said @param {Answer} answer */
function timeOfDay(said, answer) {
  const found = /^(\d{1,2}):(\d\d)$/.exec(said);
  if (!found || Number(found[1]) > 23 || Number(found[2]) > 59) throw new NotTaken("Write hours and minutes, as 16:30.");
  const at = moment(answer.at);
  const zone = /([+-])(\d\d):(\d\d)$/.exec(answer.at);
  const offset = zone ? (zone[1] === "-" ? -1 : 1) * (Number(zone[2]) * 60 + Number(zone[3])) * 60000 : 0;
  const day = Math.floor((at + offset) / 86400000) * 86400000;
  let until = day + (Number(found[1]) * 60 + Number(found[2])) * 60000 - offset;
  if (until <= at) until += 86400000;
  if (until - at > 12 * 3600000) throw new NotTaken("That is more than 12 h ahead.", "A sign-off lasts no longer than one shift.");
  return value(said, { until });
}

// --- stops ------------------------------------------------------------------------------

/** @param {Round} now @returns {[Step, Given][]} */
function answered(now) {
  return asked(now)
    .filter((step) => now.given.has(step.id))
    .map((step) => [step, /** @type {Given} */ (now.given.get(step.id))]);
}

/** @param {string} kind @param {Step} step @param {string} says @param {string} [remedy] @returns {Stop} */
function stop(kind, step, says, remedy = step.fails[1]) {
  return { kind, step, group: step.group, says, remedy, again: step.again };
}

/** Every stop of the answers so far. @param {Round} now @returns {Stop[]} */
export function stops(now) {
  const found = answered(now);
  return [...found.flatMap(([step, given]) => [...ofAnswer(step, given), ...beside(now, step, given)]), ...held(now), ...late(now, found), ...needles(now).stops, ...breaks(now, found), ...old(now)];
}

/** @param {Step} step @param {Given} given @returns {Stop[]} */
function ofAnswer(step, given) {
  const { value: read } = given;
  if (read.stops) return [stop("answer", step, step.fails[0].replace("@said@", read.said))];
  if (step.kind === "wait" && step.seconds === undefined) return [stop("number", step, "The card has no number for this step.")];
  if (!step.judged && (read.notRead || read.number === null)) return [];
  if (read.notRead) return step.optional ? [] : [stop("unread", step, `${step.label}: not read, and nothing else shows it.`)];
  const ask = step.asked;
  if (!ask || read.number === null) return [];
  if (ask.dead) return [stop("reading", step, `${step.label}: ${read.said}, and the card has no number to hold it against.`)];
  if (ask.low !== undefined && read.number < ask.low) return [stop("reading", step, `${step.label}: ${read.said} is too low. ${limits(ask)}`)];
  if (ask.high !== undefined && read.number > ask.high) return [stop("reading", step, `${step.label}: ${read.said} is too high. ${limits(ask)}`)];
  return [];
}

/** Beside the earlier reading of the same gauge. @param {Round} now @param {Step} step @param {Given} given @returns {Stop[]} */
function beside(now, step, given) {
  const ask = step.asked;
  const before = step.beside ? now.given.get(step.beside)?.value.number : undefined;
  const read = given.value.number;
  if (!ask || before == null || read === null) return [];
  const lost = before - read;
  const says = `${step.label}: ${given.value.said}, and before it showed ${before.toFixed(ask.decimals)} ${ask.unit}.`;
  if (ask.least !== undefined && lost > ask.least) return [stop("reading", step, `${says} It fell.`)];
  if (ask.most !== undefined && -lost > ask.most) return [stop("reading", step, `${says} Read both again.`)];
  return [];
}

/** A fail while purging or at the flame, of anything but a pop: it happened, whatever is answered again. @param {Round} now @returns {Stop[]} */
function held(now) {
  return now.log.flatMap((answer) => {
    const step = now.plan.steps.find((each) => each.id === answer.step);
    if (!step || !(step.purges || step.lights) || !answer.value.startsWith("fail")) return [];
    if (now.plan.held.pop.includes(answer.value.slice(5).trim().toLowerCase())) return [];
    return [stop("held", step, `${step.label}: ${answer.value}. The station is held.`, now.plan.held.first.join(" "))];
  });
}

/** Lit too long after the purge. @param {Round} now @param {[Step, Given][]} found @returns {Stop[]} */
function late(now, found) {
  const purged = found.filter(([step]) => step.purges).at(-1);
  const lit = found.find(([step]) => step.lights);
  if (!purged || !lit || lit[1].value.stops) return [];
  const gap = (lit[1].firstAt - purged[1].firstAt) / 1000;
  return gap > now.plan.purgeGone ? [stop("purge", lit[0], `${lit[0].label}: the purge was ${Math.round(gap / 60)} min ago.`)] : [];
}

/** @param {Asked} ask */
function limits(ask) {
  return ask.wanted === undefined ? "" : `The card says ${ask.wanted.toFixed(ask.decimals)} ${ask.unit}.`;
}

/** With gas let in, a longer break than a sign-off may be left for. @param {Round} now @param {[Step, Given][]} found @returns {Stop[]} */
function breaks(now, found) {
  const withGas = found.filter(([step]) => step.gas);
  return withGas.slice(1).flatMap(([step, given], place) => {
    const gap = (given.firstAt - withGas[place][1].firstAt) / 1000 - (step.seconds ?? 0);
    if (gap <= now.plan.reclose) return [];
    return [stop("break", step, `${step.label}: a break of ${Math.round(gap / 60)} min stood before it; ${Math.round(now.plan.reclose / 60)} min is the most.`)];
  });
}

/** From the first answer ever given, whatever was answered again since. @param {Round} now @returns {Stop[]} */
function old(now) {
  if (!now.log.length) return [];
  const first = now.log[0].at;
  const last = now.log[now.log.length - 1].at;
  const step = now.plan.steps[0];
  const anew = "Begin a new round.";
  /** @type {Stop[]} */
  const stopped = [];
  if ((moment(last) - moment(first)) / 1000 > now.plan.longestShift) stopped.push(stop("old", step, "The round began in another shift.", anew));
  const until = now.plan.until;
  if (until && last.slice(0, 10) > until) stopped.push(stop("old", step, "This page is too old: dates may have run out since.", anew));
  return stopped;
}

// --- the needles --------------------------------------------------------------------------

/** @param {Round} now @param {string} line @param {string} when @param {string} side @returns {Given | undefined} */
const read = (now, line, when, side) => now.given.get(`leak-${when}-${side}.${line}`);

/** @param {Round} now @param {string} id */
const stepOf = (now, id) => /** @type {Step} */ (now.plan.steps.find((step) => step.id === id));

/** Pa. @param {Round} now @param {Given} given */
function pascal(now, given) {
  const ask = /** @type {Asked} */ (stepOf(now, given.answer.step).asked);
  return { value: /** @type {number} */ (given.value.number) * ask.size, half: ask.half ?? 0, cap: ask.cap };
}

/** Refuse a reading that can't stand beside the others. @param {Round} now @param {Step} step */
function checkNeedles(now, step) {
  const found = /^leak-(start|end)-(?:high|low)\.(.+)$/.exec(step.id);
  if (!found) return;
  const [, when, line] = found;
  const high = read(now, line, when, "high");
  const low = read(now, line, when, "low");
  if (!high || !low || high.value.number === null || low.value.number === null) return;
  const top = pascal(now, high);
  const bottom = pascal(now, low);
  if (top.value + top.half < bottom.value - bottom.half + 1e-3) {
    throw new NotTaken("The high gauge stands below the low one.", "A regulator can only lower a pressure: check whether the two were swapped.");
  }
  const four = fourOf(now, line);
  if (when === "end" && four && Math.min(four[2].firstAt, four[3].firstAt) <= Math.max(four[0].firstAt, four[1].firstAt)) {
    throw new NotTaken("The end is not after the start.");
  }
}

/** @param {Round} now @param {string} line @returns {Given[] | null} start high, start low, end high, end low */
function fourOf(now, line) {
  const found = [read(now, line, "start", "high"), read(now, line, "start", "low"), read(now, line, "end", "high"), read(now, line, "end", "low")];
  return found.every(Boolean) ? /** @type {Given[]} */ (found) : null;
}

/** Which readings a verdict is about. @param {Round} now @param {string} line */
export function needlesKey(now, line) {
  const temperatures = ["start", "end"].map((when) => now.given.get(`leak-${when}-temperature`));
  return JSON.stringify([...(fourOf(now, line) ?? []), ...temperatures].map((given) => (given ? [given.value.said, given.firstAt] : null)));
}

/** The needle tests: what stops, and what is open until the server judged it. @param {Round} now @returns {{stops: Stop[], notes: string[]}} */
export function needles(now) {
  /** @type {{stops: Stop[], notes: string[]}} */
  const found = { stops: [], notes: [] };
  if (!now.given.has("leak-start-temperature") || !now.given.has("leak-end-temperature")) return found;
  for (const line of now.plan.lines) {
    const four = fourOf(now, line);
    if (!four) continue;
    const step = stepOf(now, `leak-end-low.${line}`);
    const known = now.verdicts[line];
    if (known && known.of === needlesKey(now, line)) {
      if (known.verdict === "stop") found.stops.push(stop("needles", step, known.says));
      else if (known.verdict === "caution") found.notes.push(known.says);
      continue;
    }
    const unread = four.filter((given) => given.value.number === null);
    if (unread.length) {
      if (!unread.every((given) => stepOf(now, given.answer.step).optional && given.answer.step.includes("-high."))) {
        found.stops.push(stop("unread", step, `${step.label}: a gauge was not read.`));
      }
    } else if (moved(now, four)) {
      found.stops.push(stop("needles", step, `${step.label}: ${now.plan.unjudged.moved}`));
    } else {
      found.notes.push(`${step.label}: ${now.plan.unjudged.still}`);
    }
  }
  return found;
}

/** Whether anything moved that might be a leak, or acetylene may stand over its cap. @param {Round} now @param {Given[]} four */
function moved(now, four) {
  const [startHigh, startLow, endHigh, endLow] = four.map((given) => pascal(now, given));
  const cap = endLow.cap ?? startLow.cap;
  if (cap !== undefined && Math.max(startLow.value, endLow.value) + endLow.half > cap * (1 - 1e-9)) return true;
  if (Math.abs(startHigh.value - endHigh.value) > 1e-3 || Math.abs(startLow.value - endLow.value) > 1e-3) return true;
  const [before, after] = ["start", "end"].map((when) => now.given.get(`leak-${when}-temperature`));
  if (before?.value.number == null || after?.value.number == null) return false;
  const kelvin = Math.abs(before.value.number - after.value.number) * (stepOf(now, "leak-end-temperature").asked?.size ?? 1);
  return kelvin > STILL_KELVIN + 1e-9;
}

// --- the end --------------------------------------------------------------------------------

/** signed (by name, before it is confirmed), stopped, or open. @param {Round} now */
export function state(now) {
  if (!upcoming(now) && now.given.has("sign") && !now.plan.cardStops.length && !stops(now).length) return "signed";
  return nextStep(now) ? "open" : "stopped";
}
