// Steps through the frames of a what-if, and says that a slow one is being worked out.
// @ts-check

const HOLD = 2.5; // s, as the drawing was made (render/whatif_svg.py)
const SLIDE = 0.25;

/** @param {Element} part */
export default function whatif(part) {
  const form = part.querySelector("form");
  const go = form?.querySelector("button.act");
  if (form && go) {
    form.addEventListener("submit", () => {
      go.textContent = "Working …";
      go.classList.add("wait");
    });
    window.addEventListener("pageshow", () => {
      go.textContent = "Work it out";
      go.classList.remove("wait");
    });
  }
  const moves = part.querySelector(".whatif-moves");
  const drawing = moves?.querySelector("svg");
  const caption = moves?.querySelector("figcaption");
  if (moves && drawing instanceof SVGSVGElement && caption instanceof HTMLElement) stepped(moves, drawing, caption);
}

/**
 * @param {Element} moves
 * @param {SVGSVGElement} drawing
 * @param {HTMLElement} caption
 */
function stepped(moves, drawing, caption) {
  const frames = Number(caption.dataset.frames);
  const still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  const says = document.createElement("span");
  says.setAttribute("role", "status");
  let at = 0;
  let stop = 0;

  /** @param {number} number */
  const show = (number) => {
    const forward = number === at + 1 && !still;
    at = number;
    const turn = at * (HOLD + SLIDE);
    window.clearTimeout(stop);
    drawing.pauseAnimations();
    drawing.setCurrentTime(forward ? turn - SLIDE : turn + 0.01);
    if (forward) {
      drawing.unpauseAnimations();
      stop = window.setTimeout(() => {
        drawing.pauseAnimations();
        drawing.setCurrentTime(turn + 0.01);
      }, 1000 * SLIDE + 60);
    }
    says.textContent = `Frame ${at + 1} of ${frames}`;
    before.disabled = at === 0;
    step.disabled = at === frames - 1;
  };

  /**
   * @param {string} text
   * @param {() => number} to
   */
  const button = (text, to) => {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = text;
    made.addEventListener("click", () => show(to()));
    return made;
  };
  const before = button("Before", () => 0);
  const step = button("Step", () => Math.min(at + 1, frames - 1));
  const after = button("After", () => frames - 1);
  moves.setAttribute("data-stepped", "");
  caption.replaceChildren(before, step, after, says);
  show(0);
}
