"""The view: every string and share a page needs, in the region's words and units. Renderers only place it."""

from dataclasses import dataclass
from typing import Literal

from steadycone.practice.finding import Verdict

Style = Literal["set", "chart", "plain", "would", "estimate", "unknown", "none"]  # boxed, underlined, bare, dashed, dashed with ≈, ?, —
Side = Literal["ox", "fu"]


@dataclass(frozen=True, slots=True)
class Figure:
    """One number as shown; `style` says how it stands."""

    text: str
    style: Style = "plain"


@dataclass(frozen=True, slots=True)
class Bar:
    """Headroom as shares of the bar's length, from zero: filled to flowing, open to shut, the wall."""

    flowing: float
    shut: float
    wall: float


@dataclass(frozen=True, slots=True)
class Panel:
    """What one hand sets."""

    side: Side
    heading: str
    how: str
    needs: str  # what the chart needs where the gauge's next mark is another number: "Needs 0.51. On your gauge:"; or empty
    digits: Figure
    unit: str
    also: str  # the same in the region's second unit, or empty
    bar: Bar | None
    rows: tuple[tuple[str, str, bool], ...]  # label, value, bold
    sets: bool  # False: DON'T SET


@dataclass(frozen=True, slots=True)
class TrainPart:
    kind: str
    name: str
    note: str  # length and bore of a hose
    waves: int
    outlet: Figure
    loss: str
    lost: float | None  # share of the set pressure lost from the regulator to this part's outlet
    state: str  # "", or CHOKED, BLOCKED, REVERSED, LOCKED UP


@dataclass(frozen=True, slots=True)
class TrainLine:
    side: Side
    heading: str
    flow: str
    shape: Literal["slim", "shouldered", "squat", "pipe"]
    fill: float | None  # share of the gas left
    stock: tuple[str, ...]  # two short lines beside the cylinder
    setting: Figure
    unit: str
    parts: tuple[TrainPart, ...]
    total: str
    limit: float | None  # share of the set pressure the policy allows to be lost
    limit_text: str


@dataclass(frozen=True, slots=True)
class Train:
    title: str
    description: str
    lines: tuple[TrainLine, ...]
    attachment: Literal["cutting", "heating", "welding"]
    work: str  # thickness


@dataclass(frozen=True, slots=True)
class Box:
    """One of the boxes of times."""

    heading: str
    numbers: tuple[tuple[Side | None, str, str], ...]  # mark of the gas, number, unit
    note: str


@dataclass(frozen=True, slots=True)
class FindingLine:
    """One line of the list: bold imperative, numbers, letters of the sources."""

    verdict: Verdict
    do: str
    detail: str
    detail_short: str
    letters: str
    says: str
    remedy: str
    subject: str
    code: str
    margin: str
    source_titles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SourceLine:
    """A source by its letter; `kind` is printed where it is weaker than a text that was read."""

    letter: str
    title: str
    kind: str

    @property
    def told(self) -> str:
        return f"{self.title} ({self.kind})" if self.kind else self.title

    def short(self, longest: int) -> str:
        """Cut at its first comma or colon, then at this many letters; the kind is never cut."""
        title = self.title
        if len(title) > longest:
            ends = [at for at in (title.find(mark, 6) for mark in (", ", ": ", "; ")) if at > 0]
            title = title[: min(ends)] if ends else title
        if len(title) > longest:
            title = title[: longest - 1].rstrip() + "…"
        return f"{title} ({self.kind})" if self.kind else title


@dataclass(frozen=True, slots=True)
class Rows:
    """Label and value lines of the as-set answer or of a table."""

    heading: str
    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Change:
    """When one gas's cylinder is changed: what to look for, and why there."""

    side: Side
    told: str
    why: str


@dataclass(frozen=True, slots=True)
class Back:
    """The card's back side. A stop has what to settle, and nothing to do with gas."""

    changes: tuple[Change, ...]
    orders: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]  # heading, and each step with when to stop
    settle: tuple[FindingLine, ...]
    note: str


@dataclass(frozen=True, slots=True)
class View:
    region: str
    hoses: str  # class names of the page that pick the colours of the gases
    paper: str
    language: str
    name: str
    job: str
    made: str
    hash: str
    verdict: Verdict
    verdict_word: str
    verdict_says: str
    place_note: tuple[str, str] | None  # heading and text right by the verdict, of a closed place
    panels: tuple[Panel, ...]
    train: Train
    boxes: tuple[Box, ...]
    as_set: Rows | None
    findings: tuple[FindingLine, ...]  # stop and caution, worst first
    go_count: int
    go_summary: str
    go_lines: tuple[FindingLine, ...]
    never: tuple[str, ...]
    signs: bool
    advice: str
    chart_note: str
    sources: tuple[SourceLine, ...]
    details: tuple[Rows, ...]  # line by line figures for the terminal
    steps: tuple[tuple[str, str, str], ...]  # phase, do, why
    assumed: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    back: Back | None  # None: a draft that nobody prints
    floor_heading: str
    floor_plates: tuple[tuple[str, str], ...]
    floor_lines: tuple[tuple[str, str], ...]
