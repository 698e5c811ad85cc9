"""A station's procedures, inspection list and habits as plain text, to be read line by line as the person at the bench.

Run:  python tools/read_procedures.py examples/slip-2.toml [procedure ...]
"""

import sys
from datetime import date
from pathlib import Path

from steadycone.assembly.figures import Figures
from steadycone.card.make import make_card
from steadycone.files.read import read_setup
from steadycone.procedures.choose import procedures, steps, title
from steadycone.procedures.habits import habits
from steadycone.procedures.inspect import inspection
from steadycone.procedures.withhold import WITHHELD, without_pressures
from steadycone.render.words import Words, capital

ON = date(2026, 11, 25)


def procedure_lines(figures: Figures, words: Words, name: str, *, stopped: bool) -> list[str]:
    """`stopped`: the card has a stop, and no pressure to set is said."""
    lines = [title(name).upper()]
    for count, step in enumerate(steps(figures, name), 1):
        numbers = without_pressures(step.numbers) if stopped and step.phase in WITHHELD else step.numbers
        told = [words.fill(text, numbers) for text in (step.do, step.why, step.stop)]
        lines += [f"{count:3} {capital(told[0])}", f"      why: {capital(told[1])}"]
        lines += [f"      stop: {capital(told[2])}"] if told[2] else []
        lines.append(f"      [{step.phase}, {step.id}, {step.evidence}{', ' + step.variant if step.variant else ''}]")
    return lines


def inspection_lines(figures: Figures, words: Words) -> list[str]:
    lines = ["INSPECTION"]
    for item in inspection(figures):
        look, passes, fails, action, interval = (
            words.fill(text, item.numbers) for text in (item.look, item.passes, item.fails, item.action, item.interval)
        )
        lines += [f"{item.component}, {words.subject(item.subject)}: {look} ({interval}){' ' + item.verdict if item.verdict else ''}"]
        lines += [f"      pass: {passes}", f"      fail: {fails} {action}"]
    return lines


def habit_lines(figures: Figures, words: Words, *, stopped: bool) -> list[str]:
    """`stopped`: the card has a stop, and no pressure is said but the habit's own."""
    lines = ["HABITS"]
    for habit in habits(figures):
        numbers = without_pressures(habit.numbers) | {"habit": habit.numbers.get("habit", "")} if stopped else habit.numbers
        lines += [capital(words.fill(habit.habit, numbers)), f"      {words.fill(habit.says, numbers)}"]
    return lines


def main(arguments: list[str]) -> None:
    card = make_card(read_setup(Path(arguments[0])), ON)
    figures = card.figures
    words = Words.of(figures.setup.station.station.region)
    for name in arguments[1:] or procedures():
        print("\n".join(procedure_lines(figures, words, name, stopped=card.verdict == "stop")) + "\n")
    print("\n".join([*inspection_lines(figures, words), "", *habit_lines(figures, words, stopped=card.verdict == "stop")]))


if __name__ == "__main__":
    main(sys.argv[1:])
