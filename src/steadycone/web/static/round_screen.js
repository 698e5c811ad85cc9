// The moving parts of a step's screen: the count of a wait, the gauge's scale, the tones of a purge.
// @ts-check

/** @param {number} seconds */
export function clock(seconds) {
  const whole = Math.max(0, Math.ceil(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** @param {number} at ms */
export function hours(at) {
  return new Date(at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
}

const SVG = "http://www.w3.org/2000/svg";

/** @param {string} name @param {{[name: string]: string | number}} given */
function shape(name, given) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(given)) made.setAttribute(key, String(value));
  return made;
}

/**
 * The gauge around the reading: a mark at each smallest readable change, open before and solid now.
 * @param {Element} svg @param {import("./round_fold.js").Asked} ask @param {number | null} now @param {number | null} before
 */
export function scale(svg, ask, now, before) {
  const around = now ?? before;
  svg.toggleAttribute("hidden", around === null);
  if (around === null) return;
  const middle = Math.max(4, Math.round(around / ask.press));
  /** @param {number} value */
  const x = (value) => 179 + (value / ask.press - middle) * 40.25;
  const parts = [shape("path", { class: "gl", d: "M18 44H340" })];
  for (let mark = middle - 4; mark <= middle + 4; mark++) {
    const at = x(mark * ask.press).toFixed(1);
    const long = (mark - middle) % 2 === 0;
    parts.push(shape("path", { class: "gl", d: `M${at} 44v-${long ? 18 : 10}` }));
    if (!long) continue;
    const text = shape("text", { class: "round-mark", x: at, y: 68 });
    text.textContent = (mark * ask.press).toFixed(ask.decimals);
    parts.push(text);
  }
  for (const [value, kind] of /** @type {[number | null, string][]} */ ([[before, "frame"], [now, "gi"]])) {
    if (value === null || Math.abs(value / ask.press - middle) > 4.2) continue;
    parts.push(shape("path", { class: kind, d: `M${x(value).toFixed(1)} 22l-9 -16h18Z` }));
  }
  svg.replaceChildren(...parts);
  svg.setAttribute("aria-label", `Gauge: ${before === null ? "" : `was ${before.toFixed(ask.decimals)}, `}${now === null ? "not read yet" : `now ${now.toFixed(ask.decimals)}`} ${ask.unit}`);
}

/**
 * Tones laid ahead on the sound's own clock, after a press: a page that the phone slows down still sounds on time.
 * @param {number} lead s until the valve is opened @param {number} seconds open
 */
export function tones(lead, seconds) {
  const made = new AudioContext();
  const begin = made.currentTime;
  for (const [at, long, pitch] of [[lead, 1.5, 880], [lead + seconds, 1.5, 660]]) {
    const tone = made.createOscillator();
    const loud = made.createGain();
    tone.frequency.value = pitch;
    loud.gain.value = 0.6;
    tone.connect(loud).connect(made.destination);
    tone.start(begin + at);
    tone.stop(begin + at + long);
  }
  window.setTimeout(() => void made.close(), (lead + seconds + 4) * 1000);
}

/**
 * Where a wait stands. It runs on by the clock alone: nothing of it is lost with the page.
 * @param {Element} section @param {{since: number, seconds: number, lead: number}} wait @param {number} now ms
 * @returns {boolean} whether it is over
 */
export function showWait(section, wait, now) {
  const due = wait.since + wait.seconds * 1000;
  const left = (due - now) / 1000;
  const before = (wait.since - now) / 1000;
  const over = left <= 0;
  const timer = section.querySelector("[data-timer]");
  const shown = before > 0 ? Math.ceil(before) : Math.max(0, Math.ceil(left));
  const told = wait.lead ? String(shown) : clock(left);
  if (timer && timer.getAttribute("data-told") !== told) {
    timer.setAttribute("data-told", told);
    timer.replaceChildren(...(wait.lead ? [bold(told), small("s")] : [told]));
  }
  fill(section, wait, now);
  const end = section.querySelector("[data-due]");
  if (end) end.textContent = `Read at ${hours(due)}. Runs on when locked.`;
  const done = /** @type {HTMLButtonElement | null} */ (section.querySelector("[data-done]"));
  if (done) {
    done.classList.toggle("hold", !over);
    done.setAttribute("aria-disabled", String(!over));
    const word = before > 0 ? `Open the valve in ${Math.ceil(before)} s` : wait.lead ? `Shut it in ${Math.ceil(left)} s` : `Go on in ${clock(left)}`;
    const said = over ? (done.dataset.say ?? "Done") : word;
    if (done.textContent !== said) done.textContent = said;
  }
  return over;
}

/** @param {Element} section @param {{since: number, seconds: number, lead: number}} wait @param {number} now */
function fill(section, wait, now) {
  const bar = section.querySelector("[data-fill]");
  if (!bar) return;
  const clear = wait.lead ? 1 - (wait.since - now) / (wait.lead * 1000) : (now - wait.since) / (wait.seconds * 1000);
  const open = (now - wait.since) / (wait.seconds * 1000);
  const part = (/** @type {number} */ share, /** @type {number} */ width) => (Math.min(1, Math.max(0, share)) * width).toFixed(1);
  bar.setAttribute("width", wait.lead ? part(clear, 148) : part(clear, 355.6));
  section.querySelector(".teeth")?.setAttribute("d", `M${160 + Number(part(open, 198))} 16H358`);
  section.querySelector(".spine")?.setAttribute("d", `M${160 + Number(part(open, 198))} 16H358`);
}

/** @param {string} text */
function bold(text) {
  const made = document.createElement("b");
  made.textContent = text;
  return made;
}

/** @param {string} text */
function small(text) {
  const made = document.createElement("small");
  made.textContent = text;
  return made;
}
