// Long work, an import or a verifying: asks how far it is and draws it; shows the result by itself when it is there.
// @ts-check

const EVERY = 600; // ms
const SAY_EVERY = 3000; // ms: a screen reader is told now and then, not with every row

/** @typedef {{ going: boolean, line: string, done: number, of: number }} Progress */

/** @param {string} address @returns {Promise<Progress | null>} null: no answer now; it is asked again */
async function ask(address) {
  try {
    const answer = await fetch(address, { headers: { accept: "application/json" }, cache: "no-store" });
    if (answer.status === 401 || answer.status === 404) return { going: false, line: "", done: 0, of: 0 }; // the page itself tells why
    return answer.ok ? await answer.json() : null;
  } catch {
    return null;
  }
}

/** @param {HTMLProgressElement} bar @param {Progress} now */
function draw(bar, now) {
  if (now.of > 0) {
    bar.max = now.of;
    bar.value = now.done;
  } else {
    bar.removeAttribute("value");
  }
}

/** @param {Element} part */
export default async function watch(part) {
  const bar = part.querySelector("progress");
  const line = part.querySelector("[role=status]");
  const address = part.getAttribute("data-poll");
  if (!bar || !line || !address) return;
  const seen = document.createElement("p");
  seen.setAttribute("aria-hidden", "true");
  seen.className = line.className;
  seen.textContent = line.textContent;
  line.before(seen);
  line.className = "sr";
  let said = 0;
  for (;;) {
    const now = await ask(address);
    if (now && !now.going) break;
    if (now) {
      draw(bar, now);
      seen.textContent = now.line;
      if (Date.now() - said > SAY_EVERY) {
        line.textContent = now.line;
        said = Date.now();
      }
    }
    await new Promise((done) => setTimeout(done, EVERY));
  }
  location.reload();
}
