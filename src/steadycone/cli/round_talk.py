"""A round with a person: asks step by step, counts waits down from a stored moment, saves after each answer."""

import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TextIO

from steadycone.errors import InputError
from steadycone.procedures.rounds import Answer, PlanStep, Round, judged, next_step, stops, take, upcoming, wait_since
from steadycone.render.round_ask import HELP, MARKS, ahead, floor, opening, prompt, question, why
from steadycone.render.round_words import RoundWords
from steadycone.render.text import wrapped

_CLEAR = 10.0  # s to put this device down before gas flows; the look of the phone's purge step


class Clock:
    """The machine's clock, in its own zone."""

    def now(self) -> datetime:
        return datetime.now(UTC).astimezone().replace(microsecond=0)

    def sleep(self, seconds: float) -> None:
        import time

        time.sleep(seconds)


@dataclass(frozen=True, slots=True)
class Begun:
    """A wait that was begun."""

    step: str
    since: datetime


Save = Callable[[Round, Begun | None], None]


class Left(Exception):
    """The person left, or the input ended. Everything is saved."""


class Talk:
    """One sitting of a round. `words` come from `source`, what is shown goes to `screen`."""

    def __init__(self, clock: Clock, save: Save, source: TextIO, screen: TextIO) -> None:
        self.clock, self.save, self.source, self.screen = clock, save, source, screen
        self.begun: Begun | None = None

    def go(self, now: Round, begun: Begun | None = None) -> Round:
        """Asks until all is answered, or until the person leaves; gives the round as far as it came."""
        self.begun, told = begun, RoundWords(now.plan)
        self.show(f"{opening(now, told)}\n{HELP}")
        try:
            while upcoming(now) is not None or stops(now):
                step = next_step(now)
                now = self._step(now, step, told) if step else self._stopped(now, told)
        except Left as left:
            now = left.args[0]
            self.show("Saved. Run the same command to go on.")
        except KeyboardInterrupt:
            self.show("\nSaved. Run the same command to go on.")
            raise
        return now

    def show(self, text: str) -> None:
        self.screen.write(text + "\n")
        self.screen.flush()

    def _line(self, now: Round, asked: str) -> str:
        """What was typed. Raises Left at the end of the input, or at q."""
        self.screen.write(asked)
        self.screen.flush()
        typed = self.source.readline()
        if not typed or typed.strip().lower() in ("q", "quit"):
            raise Left(now)
        return typed.strip()

    # --- one step -------------------------------------------------------------------

    def _step(self, now: Round, step: PlanStep, told: RoundWords) -> Round:
        if step.group == "purge-ready":
            self.show(ahead(step, now, told))
        if step.id == "sign":
            self._before_signing(now, told)
        self.show(question(step, now, told))
        typed = self._wait(now, step) if step.kind == "wait" and step.seconds else None
        if typed is None:
            typed = self._line(now, prompt(step, told))
        if (commanded := self._command(now, step, typed, told)) is not None:
            return commanded
        since = self.begun.since if self.begun and self.begun.step == step.id and step.kind == "wait" else None
        return self._take(now, Answer(step.id, value_of(step, typed, told), self.clock.now(), since=since), told)

    def _take(self, now: Round, answer: Answer, told: RoundWords) -> Round:
        """The round with the answer, saved; or the same round, with what was wrong said."""
        try:
            later = take(now, answer)
        except InputError as error:
            self.show("\n".join([*wrapped(f"Not taken: {error.says}."), *wrapped(error.try_)]))
            return now
        if self.begun and self.begun.step == answer.step:
            self.begun = None
        self.save(later, self.begun)
        self._say_new(now, later, told)
        return later

    def _say_new(self, before: Round, later: Round, told: RoundWords) -> None:
        known = [each.finding for each in judged(before)]
        for each in judged(later):
            if each.finding not in known and (each.finding.verdict != "go" or each.drop is not None):
                finding = told.finding(each, later)
                self.show("\n".join(wrapped(f"{finding.subject}: {told.words.says(finding)}", f"{MARKS[finding.verdict]:<7}")))
                if finding.verdict != "go":
                    self.show("\n".join(wrapped(told.words.remedy(finding), " " * 7)))

    def _before_signing(self, now: Round, told: RoundWords) -> None:
        """What the name will stand under."""
        found = [told.finding(each, now) for each in judged(now)] + list(now.plan.judged.findings)
        open_ones = [each for each in found if each.verdict != "go"]
        self.show(f"\n{len(found) - len(open_ones)} checks go, {len(open_ones)} to know of:" if open_ones else f"\n{len(found)} checks go.")
        for each in open_ones:
            self.show("\n".join(wrapped(f"{told.words.subject(each.subject)}: {told.words.says(each)}", f"{MARKS[each.verdict]:<7}")))

    # --- commands -------------------------------------------------------------------

    def _command(self, now: Round, step: PlanStep | None, typed: str, told: RoundWords) -> Round | None:
        """The round after a command; None where it is an answer."""
        if not typed:
            self.show(
                "s starts the count." if step is not None and step.kind == "wait" and self.begun is None else "Enter alone is never a yes."
            )
            return now
        word, _, rest = typed.partition(" ")
        if word.lower() in ("why", "?"):
            self.show(why(step, told) if step else HELP)
            return now
        if word.lower() in ("fix", "again") and rest.strip().isdigit():
            return self._mend(now, int(rest), word.lower() == "again", told)
        return None

    def _mend(self, now: Round, number: int, again: bool, told: RoundWords) -> Round:
        """Answer an earlier step once more: mend what was written, or go round again from there."""
        if not 1 <= number <= len(now.plan.steps) or now.plan.steps[number - 1].id not in now.given:
            self.show(f"Step {number} has no answer yet.")
            return now
        step = now.plan.steps[number - 1]
        self.show(question(step, now, told))
        self.show(f"It was answered: {now.given[step.id].value.said}")
        typed = self._line(now, prompt(step, told))
        if not typed:
            self.show("Enter alone is never a yes. Nothing changed.")
            return now
        return self._take(now, Answer(step.id, value_of(step, typed, told), self.clock.now(), again=again), told)

    def _stopped(self, now: Round, told: RoundWords) -> Round:
        """A stop stands: say what, and what would clear it."""
        card, plan = now.plan.card_stops, now.plan
        for finding in card:
            self.show("\n".join(wrapped(f"The card, {told.words.subject(finding.subject)}: {told.words.says(finding)}", "[STOP] ")))
            self.show("\n".join(wrapped(f"{told.words.remedy(finding)} Then make a new card and begin a new round.", " " * 7)))
        for each in judged(now):
            if each.finding.verdict == "stop":
                found = told.finding(each, now)
                self.show("\n".join(wrapped(f"Step {told.number(each.step)}: {told.words.says(found)}", "[STOP] ")))
                self.show("\n".join(wrapped(told.words.remedy(found), " " * 7)))
        self.show(f"The round goes no further. It can't be signed so.\n{floor()}")
        typed = self._line(now, f"fix N, again N (1 to {len(plan.steps)}), or q: ")
        commanded = self._command(now, None, typed, told)
        if commanded is None:
            self.show(HELP)
        return commanded or now

    # --- waits ----------------------------------------------------------------------

    def _wait(self, now: Round, step: PlanStep) -> str | None:
        """Counts down from when the wait was begun, which is stored; then None. Else what was typed instead of a start."""
        assert step.seconds is not None
        if step.runs_on:
            since = wait_since(now, step) or self.clock.now()
        elif self.begun and self.begun.step == step.id:
            since = self.begun.since
        else:
            lead = _CLEAR if step.phase == "purge" else 0.0
            typed = self._line(
                now, f"s = start, {lead:.0f} s to put this device down, away from the gas: " if lead else "s = start the count: "
            )
            if typed.lower() != "s":
                return "" if typed.lower() in ("y", "yes", "done") else typed  # done is said after the count, never instead of it
            since = self.clock.now() + timedelta(seconds=lead)
            self.begun = Begun(step.id, since)
            self.save(now, self.begun)
        self._count(since, step.seconds)
        return None

    def _count(self, since: datetime, seconds: float) -> None:
        """Sleeps a second at a time where a person looks on, once where nobody does."""
        end = since + timedelta(seconds=seconds)
        seen = self.screen.isatty()
        if (lead := (since - self.clock.now()).total_seconds()) > 0:
            self.show(f"Count begins in {lead:.0f} s.")
            self._sleep_until(since, seen)
            self.screen.write("\a")
        self.show(f"{seconds / 60:.0f} min, until {end:%H:%M:%S}." if seconds >= 120 else f"{seconds:.0f} s, until {end:%H:%M:%S}.")
        self._sleep_until(end, seen)
        self.show("\aTime.")

    def _sleep_until(self, end: datetime, seen: bool) -> None:
        while (left := (end - self.clock.now()).total_seconds()) > 0:
            if seen:
                self.screen.write(f"\r  {int(left) // 60}:{int(left) % 60:02d} ")
                self.screen.flush()
            self.clock.sleep(min(left, 1.0) if seen else left)
        if seen:
            self.screen.write("\r")


def value_of(step: PlanStep, typed: str, told: RoundWords) -> str:
    """What was typed, as an answers file has it: words for a tick, the choice by name, a reading with its unit."""
    word, _, rest = typed.partition(" ")
    if step.kind in ("tick", "wait"):
        if word.lower().rstrip(":") in ("n", "no", "fail"):
            return f"fail: {rest.strip()}" if rest.strip() else "fail"
        return "done" if typed.lower() in ("y", "yes", "done") else typed
    if step.kind == "choice" and typed.isdigit() and 1 <= int(typed) <= len(step.options):
        return step.options[int(typed) - 1].value
    if step.kind == "reading" and step.reading != "time of day":
        if told.words.numbers.decimal == ",":
            typed = typed.replace(",", ".")
        if typed.replace(".", "", 1).removeprefix("-").isdigit():
            return f"{typed} {told.unit(step)}"
    return typed


def talk_with_person(now: Round, begun: Begun | None, clock: Clock, save: Save, *, quiet: bool) -> Round:
    """On this terminal. With `quiet` the screen is stderr, so that stdout holds the report alone."""
    return Talk(clock, save, sys.stdin, sys.stderr if quiet else sys.stdout).go(now, begun)
