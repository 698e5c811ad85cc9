"""Cards to render: the examples as they are, and cards made hard on purpose."""

from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.files.read import read_setup
from steadycone.practice.finding import worst, worst_first
from steadycone.quantity import unknown
from steadycone.render.json_card import card_dict
from steadycone.render.model import View
from steadycone.render.view import view_of

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
NAMES = tuple(sorted(path.stem for path in EXAMPLES.glob("*.toml")))
ON = date(2026, 11, 25)
_PART = '[[oxygen.part]]\nkind = "{kind}"\ngas = "oxygen"\nequivalent_bore = "5 mm"\nmax_pressure = "20 bar"\nmade = "2025-05"\ntested = "2026-05"\n\n'


@cache
def card(name: str) -> Card:
    """The card of an example by its file's name without ending."""
    return make_card(read_setup(EXAMPLES / f"{name}.toml"), ON)


def changed(name: str, *changes: tuple[str, str]) -> Card:
    """The card of an example with some of its text changed."""
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return make_card(read_setup(EXAMPLES / f"{name}.toml", text=text), ON)


def view(made: Card) -> View:
    return view_of(made, told(made))


def told(made: Card) -> dict[str, Any]:
    return card_dict(made)


def crowded(verdict: str = "stop", count: int = 14, name: str = "bay-4-us") -> Card:
    """A card with more findings of a verdict than a page holds."""
    made = card(name)
    bad = [finding for finding in made.findings if finding.verdict != "go"]
    more = [replace(bad[i % len(bad)], verdict=verdict) for i in range(count)]  # type: ignore[arg-type]
    more = [replace(finding, text="" if finding.verdict == verdict else finding.text) for finding in more]
    findings = worst_first([*more, *(finding for finding in made.findings if finding.verdict == "go")])
    return replace(made, findings=findings, verdict=worst(finding.verdict for finding in findings))


def many_parts(count: int) -> Card:
    """The demo with so many parts more on its oxygen line."""
    kinds = ("check valve", "valve", "coupling", "arrestor")
    parts = "".join(_PART.format(kind=kinds[i % len(kinds)]) for i in range(count))
    return changed("slip-2", ("[fuel.supply]", parts + "[fuel.supply]"))


def long_names() -> Card:
    name = "Tern Quay, north slip, portable frame-cutting bench number 14 with the long boom"
    return changed("slip-2", ("Slip 2, frame bench", name))


def blind() -> Card:
    """A card whose figures are not known: every number is a question mark."""
    made = card("slip-2")
    lines = {}
    for name, line in made.figures.lines.items():
        blank = unknown("gauge pressure")
        parts = tuple(replace(part, inlet=blank, outlet=blank, loss=unknown("pressure difference"), static=blank) for part in line.parts)
        lines[name] = replace(
            line, torch_inlet=blank, flowing=blank, static=blank, set_pressure=blank, flow=unknown("flow"), parts=parts,
            loss_hoses=unknown("pressure difference"), loss_parts=unknown("pressure difference"),
        )  # fmt: skip
    return replace(made, figures=replace(made.figures, lines=lines), verdict="caution")


def estimated() -> Card:
    made = card("slip-2")
    return replace(made, figures=replace(made.figures, tip=replace(made.figures.tip, estimate=True)))


def choked() -> Card:
    """A line that chokes in its hose."""
    made = card("slip-2")
    line = made.figures.lines["fuel"]
    parts = list(line.parts)
    parts[1] = replace(parts[1], state="choked")
    lines = made.figures.lines | {"fuel": replace(line, parts=tuple(parts), state="choked")}
    return replace(made, figures=replace(made.figures, lines=lines), verdict="stop")
