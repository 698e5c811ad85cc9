"""A round's questions and findings in its region's words and units."""

from collections.abc import Mapping
from dataclasses import replace

from steadycone.practice.drop import DropReading
from steadycone.practice.finding import Finding
from steadycone.procedures.rounds import LineDrop, Look, Plan, PlanStep, Round, RoundFinding, again_from, happened
from steadycone.quantity import Quantity, exact
from steadycone.render import emergency
from steadycone.render.words import Words, capital, needle_words


class RoundWords:
    """Fills the texts of one plan."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.words = Words.of(plan.judged.figures.setup.station.station.region)

    def fill(self, text: str, numbers: Mapping[str, Quantity | str]) -> str:
        blanks = dict(numbers)
        if isinstance(gas := blanks.get("gas"), str):
            blanks["gas"] = self.words.gas(gas)
        if isinstance(subject := blanks.get("subject"), str):
            blanks["subject"] = self.words.subject(subject)
        return self.words.fill(text, blanks)

    def do(self, step: PlanStep) -> str:
        return self.fill(step.do, step.numbers)

    def why(self, step: PlanStep) -> str:
        return self.fill(step.why, step.numbers)

    def stop(self, step: PlanStep) -> str:
        """When not to go on; of a look, what fails."""
        return self.fill(step.stop, step.numbers) or " ".join(self.fill(look.fails, look.numbers) for look in step.looks)

    def mend(self, step: PlanStep) -> str:
        """What puts a fail right: the action of each line of a look, else the step's own cure."""
        actions = " ".join(self._action(look, len(step.looks) > 1) for look in step.looks)
        return actions or capital(self.fill(step.mend, step.numbers))

    def label(self, step: PlanStep) -> str:
        """What a step is about, in a few words."""
        if step.line and step.reading in ("high", "low"):
            return f"{self.words.subject(step.subject)}, {step.reading} gauge"
        return self.words.subject(step.subject) if step.subject else step.phase

    def unit(self, step: PlanStep) -> str:
        """What a reading is asked in: the region's unit, which the step's own numbers are told in."""
        if step.division is not None:
            return self.words.numbers.unit("gauge pressure")
        if step.reading == "temperature":
            return self.words.numbers.unit("temperature")
        return "%" if step.reading == "share" else ""

    def division(self, step: PlanStep) -> str:
        """The gauge's smallest readable change in that unit; nothing where no gauge is read."""
        if step.division is None:
            return ""
        return self.words.numbers.show(exact(step.division.si, "pressure difference")).replace("\u00a0", " ")

    def number(self, step: PlanStep) -> int:
        return self.plan.index(step.id) + 1

    def again(self, step: PlanStep) -> str:
        """What is asked again once a stop is mended; nothing of a round that is over."""
        if step.over:
            return "Then begin a new round."
        if step.looks:
            return "Then answer this step again. Another part in its place is written into the station file, and the round begun anew."
        start = again_from(step)
        if not start:
            return "Then answer this step again."
        return f"Then go round again from step {self.number(self.plan.step(start))}, {start}."

    def _again(self, step: PlanStep, now: Round) -> str:
        """As `again`; but where something happened that holds the station, no step of this round clears anything."""
        return "Then begin a new round, once the gate is cleared." if happened(now) else self.again(step)

    def finding(self, found: RoundFinding, now: Round) -> Finding:
        """The finding with everything its wording may ask for, and its subject in words."""
        step, finding = found.step, found.finding
        blanks: dict[str, Quantity | str] = {"asked": self.do(step), "again": self._again(step, now), "action": self.mend(step)}
        if found.drop is not None:
            blanks |= self._drop(found.drop)
        if isinstance(first := finding.blanks.get("first"), str):
            finding = replace(finding, blanks={**finding.blanks, "first": self.actions(first)})
        return replace(
            finding, subject=self.label(step) if found.drop is None else self.words.subject(step.subject), blanks=blanks | finding.blanks
        )

    def actions(self, text: str) -> str:
        """First actions in the region's words, with its number to call."""
        return self.words.fill(text, dict(emergency.words(self.words.region)))

    def _action(self, look: Look, named: bool) -> str:
        """What to do about a look that fails, with its name where the step has several."""
        action = self.fill(look.action, look.numbers)
        return f"{self.fill(look.look, look.numbers).rstrip('.')}: {action[0].lower()}{action[1:]}" if named else action

    def _drop(self, drop: LineDrop) -> dict[str, Quantity | str]:
        gas = capital(self.words.gas(str(self.plan.step(f"leak-end-low.{drop.line}").numbers["gas"])))
        if drop.reading is None:
            return {"gas": gas, "because": drop.trouble}
        read = drop.reading
        floor = read.low_floor_at_working or read.low_floor
        also = ", ".join(needle_words(each) for each in read.also_possible)
        return {
            "gas": gas,
            "reading": needle_words(read.reading),
            "also": also,
            "may_also": f" May also be: {also}." if also else "",
            "because": ", ".join(needle_words(each) for each in read.because[1:] or read.because[:1]),
            "high": self.leak(read.high_leak),
            "low": self.leak(read.low_leak),
            "high_floor": self.words.numbers.show(read.high_floor, "up"),
            "low_floor": self.words.numbers.show(floor, "up"),
            "wait": self.words.numbers.show(longest_wait(read), "up"),
        }

    def leak(self, leak: Quantity) -> str:
        """A signed leak with its band: positive is lost."""
        show = self.words.numbers.show
        if leak.value is not None and leak.low is not None and leak.high is None:
            return f"loses at least {show(self._end(leak, leak.low), 'down')}"
        if leak.value is None or leak.low is None or leak.high is None:
            return "not to be told"
        if leak.low <= 0.0 <= leak.high and abs(leak.value) <= 0.5 * (leak.high - leak.low):
            return f"between {show(self._end(leak, leak.low))} and {show(self._end(leak, leak.high))}"
        ends = sorted((abs(leak.low), abs(leak.high))) if leak.low * leak.high > 0 else [0.0, max(abs(leak.low), abs(leak.high))]
        verb = "loses" if leak.value > 0 else "gains"
        low, high = (show(self._end(leak, end)) for end in ends)
        return f"{verb} {show(self._end(leak, abs(leak.value)))} ({low} to {high})"

    def _end(self, leak: Quantity, value: float) -> Quantity:
        return Quantity(value, value, value, leak.kind)


def longest_wait(read: DropReading) -> Quantity:
    """Of both gauges; unknown where one can't tell."""
    if read.high_wait.value is None or read.low_wait.value is None:
        return read.low_wait if read.high_wait.value is None else read.high_wait
    return max(read.high_wait, read.low_wait, key=lambda wait: wait.value or 0.0)
