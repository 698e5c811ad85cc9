"""One step of a round as a person is asked it in a terminal."""

from steadycone.procedures.rounds import PlanStep, Round
from steadycone.render.round_words import RoundWords
from steadycone.render.text import WIDTH, wrapped
from steadycone.render.words import capital

MARKS = {"go": "[ok]", "caution": "[ ! ]", "stop": "[STOP]"}
FLOOR = "EMERGENCY: steadycone emergency"
HELP = "q saves and leaves · why · fix N mends what was written at step N · again N goes round again from step N"


def question(step: PlanStep, now: Round, told: RoundWords) -> str:
    """The step on the screen: where one is, what to do, when to stop, what is asked. The emergency line is its floor."""
    number, count = told.number(step), len(now.plan.steps)
    lines = ["", f"{step.phase.upper()}  step {number} of {count}  {_done(now, count)}", "", *wrapped(capital(told.do(step)))]
    for look in step.looks:
        lines += wrapped(told.fill(look.look, look.numbers), "  - ")
        lines += wrapped(f"Passes: {told.fill(look.passes, look.numbers)}", "    ")
        lines += wrapped(f"Fails: {told.fill(look.fails, look.numbers)}", "    ")
        lines += [f"    The station file says: {look.stated}"] if look.stated else []
    if step.stop:
        lines += wrapped(told.fill(step.stop, step.numbers), "  STOP: ")
    lines += [f"  {place}  {option.says}" for place, option in enumerate(step.options, 1)]
    if step.kind == "text" and step.id == "sign":
        lines += wrapped(told.why(step), "  ")
    return "\n".join([*lines, floor()])


def ahead(step: PlanStep, now: Round, told: RoundWords) -> str:
    """Before gas flows: the steps up to the flame, to be read while the hands are still free."""
    place = now.plan.index(step.id)
    coming = [each for each in now.plan.steps[place + 1 :] if each.phase in ("purge", "light") and now.is_asked(each)]
    lines = ["", "Read these first. This device can ignite gas: it is put down before a valve is opened."]
    return "\n".join([*lines, *(line for each in coming for line in wrapped(told.do(each), f"  {told.number(each)}. "))])


def opening(now: Round, told: RoundWords) -> str:
    """Which station, how far, and what its card says."""
    judged = now.plan.judged
    about = judged.figures.setup.station.station
    lines = [f"{about.name} · {len(now.plan.steps)} steps, {len(now.given)} answered"]
    for finding in judged.findings:
        if finding.verdict != "go":
            lines += wrapped(f"{capital(told.words.subject(finding.subject))}: {told.words.says(finding)}", f"{MARKS[finding.verdict]:<7}")
    return "\n".join(lines)


def floor() -> str:
    """The emergency line, as wide as the screen."""
    return f"{'─' * WIDTH}\n{FLOOR}"


def why(step: PlanStep, told: RoundWords) -> str:
    sources = ", ".join(step.source)
    return "\n".join(wrapped(f"{told.why(step)} ({sources})", "  Why: "))


def prompt(step: PlanStep, told: RoundWords) -> str:
    """What is typed: the words or the unit that count."""
    if step.kind in ("tick", "wait"):
        return "y = done and in order; n what you saw = fail: "
    if step.kind == "choice":
        return f"1 to {len(step.options)}: "
    if step.kind == "text":
        return "Name: " if step.id in ("who", "sign") else "Write: "
    if step.reading == "time of day":
        return "Hours and minutes, as 16:30: "
    other = f", or written out in {step.division.unit}" if step.division and step.division.unit != told.unit(step) else ""
    marks = f", to the nearest {told.division(step)}" if step.division else ""
    return f"In {told.unit(step)}{other}{marks}{'; or not read' if step.optional else ''}: "


def _done(now: Round, count: int) -> str:
    """The round as a line: done, now, to come."""
    width = 24
    done = round(width * len(now.given) / count)
    return "█" * done + "□" + "─" * (width - done)
