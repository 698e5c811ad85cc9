"""How much of a list one A5 side holds: sizes of the page in one place, in millimetres and points, for HTML and PDF alike."""

from dataclasses import dataclass

from steadycone.render.model import Box, FindingLine, Panel, View
from steadycone.render.textwidth import fit, text_width, wrap
from steadycone.render.train import WIDTH, height

POINT = 25.4 / 72  # mm
SIDE = 6.0  # mm, margin left and right
_TOP, _HEADER, _VERDICT, _SIGN, _FLOOR = 4.5, 15.8, 10.7, 5.5, 28.6
_TIMES, _TIMES_SHORT = 15.5, 6.5
_AS_SET = 4.2
_SOURCE_LINE, _SOURCE_SIZE = 2.85, 6.8
SIZES = {"A5": (148.0, 210.0), "Letter": (139.7, 215.9)}  # Letter: the half sheet, 5.5 by 8.5 in


@dataclass(frozen=True, slots=True)
class Density:
    """How close the page is set. Heights in mm, type in points."""

    name: str
    big: float  # height of the digits' row in a panel
    digits: float
    digits_three: float
    panel_row: float
    row: float  # one finding
    bold: float
    plain: float
    gap: float
    source_lines: int  # at most

    def panel(self, three: bool) -> float:
        """Height of a panel: heading, how, digits, bar, two rows, frame."""
        big, row = (min(self.big, 11.5), 4.4) if three else (self.big, self.panel_row)
        return 1.7 + 5.0 + 5.4 + big + 6.2 + 2 * row + 0.6 + 0.4


DENSITIES = (
    Density("d0", 16.0, 50, 34, 5.7, 5.7, 10.0, 8.5, 1.5, 3),
    Density("d1", 16.0, 50, 34, 5.7, 4.5, 9.0, 8.0, 1.5, 3),
    Density("d2", 11.5, 36, 34, 5.3, 4.5, 9.0, 8.0, 1.5, 3),
    Density("d3", 8.5, 28, 26, 4.6, 4.1, 8.8, 7.8, 1.0, 2),
)


@dataclass(frozen=True, slots=True)
class Row:
    """One finding line as it fits: imperative, detail, letters."""

    verdict: str
    do: str
    detail: str
    letters: str


@dataclass(frozen=True, slots=True)
class Page:
    """What of the view goes on the one side, and how."""

    width: float
    height: float
    density: Density
    short_times: bool  # a stop card waits for nothing: its boxes shrink to a line before a stop is left out
    name: str
    name_size: float
    job: str
    job_size: float
    says_size: float  # of the sentence in the verdict's band
    digits: tuple[int, ...]  # type size of each panel's number
    rows: tuple[Row, ...]
    more: str  # "and 3 more stops …", or empty
    go: tuple[str, str]  # bold part, the rest
    never_size: float
    as_set: tuple[tuple[str, str], ...]
    note_size: float  # under the times
    box_widths: tuple[float, ...]  # mm
    source_letters: tuple[tuple[str, str], ...]


def page_of(view: View) -> Page:
    """Large figures and lines when everything fits, then closer ones; at the closest, as many lines as fit, and the number of the rest."""
    width, tall = SIZES[view.paper]
    inner = width - 2 * SIDE
    density, short, fits = _densest(view, inner, tall)
    letters, _ = _sources(view, inner, density.source_lines)
    shown = view.findings if len(view.findings) <= fits else view.findings[: max(1, fits - 1)]
    head = (inner - 20) / POINT  # beside the QR code
    name_size = next((size for size in (19.0, 16.0, 13.0) if text_width(view.name, size) <= head), 13.0)
    job_size = next((size for size in (12.5, 10.5, 9.0) if text_width(view.job, size) <= head), 9.0)
    return Page(
        width=width, height=tall, density=density, short_times=short,
        name=fit(view.name, name_size, head), name_size=name_size, job=fit(view.job, job_size, head), job_size=job_size,
        says_size=_says_size(view, inner), digits=tuple(_digits_size(panel, density, inner, len(view.panels)) for panel in view.panels),
        rows=tuple(_row(finding, inner, density) for finding in shown),
        more=_more(view, len(shown)),
        go=_go(view, inner, density), never_size=_never_size(view, inner, density),
        as_set=_as_set(view, inner),
        note_size=_boxes(view, inner)[0], box_widths=_boxes(view, inner)[1],
        source_letters=letters,
    )  # fmt: skip


def _says_size(view: View, inner: float) -> float:
    """The sentence beside the verdict: it stays clear of the caution's tape."""
    room = (
        (inner - 17.5 - (17 if view.verdict == "caution" else 3)) / POINT - text_width(view.verdict_word, 20) - 0.4 * len(view.verdict_word)
    )
    return next((size for size in (12.5, 10.5) if text_width(view.verdict_says, size) <= room), 9.0)


_DIGIT_SIZES = (50, 42, 36, 34, 28, 26, 22, 18)


def _digits_size(panel: Panel, density: Density, inner: float, panels: int) -> int:
    """The largest type that leaves room for the unit beside the number."""
    three = panels > 2
    room = ((inner - 3 * (panels - 1)) / panels - 5.4 - 4.5) / POINT - text_width(panel.unit, 11 if three else 15) - 5
    room -= text_width(panel.also, 8.5) + 7 if panel.also else 0
    framed = panel.digits.style in ("estimate", "unknown")
    told = ("≈" if panel.digits.style == "estimate" else "") + panel.digits.text
    room -= 9 if framed else 0
    highest = density.digits_three if three else density.digits
    fitting = [size for size in _DIGIT_SIZES if size <= highest * (0.9 if framed else 1) and text_width(told, size) <= room]
    return fitting[0] if fitting else _DIGIT_SIZES[-1]


def _densest(view: View, inner: float, tall: float) -> tuple[Density, bool, int]:
    """The widest density that holds every finding, whether the times are short, and how many findings fit."""
    choices = [(density, False) for density in DENSITIES]
    if view.verdict == "stop":
        choices.append((DENSITIES[-1], True))
    others = 2 if view.go_count else 1  # the folded row, and Never
    for density, short in choices:
        fits = int((tall - _fixed(view, inner, density, short)) / density.row) - others
        if fits >= len(view.findings):
            break
    return density, short, fits


def _fixed(view: View, inner: float, density: Density, short: bool) -> float:
    """Everything but the lines of findings."""
    _, source_lines = _sources(view, inner, density.source_lines)
    train = inner * height(view.train) / WIDTH
    as_set = len(view.as_set.rows) * _AS_SET + density.gap if view.as_set else 0.0
    blocks = _TOP + _HEADER + _VERDICT + density.panel(len(view.panels) > 2) + train + as_set + _SIGN + _FLOOR
    return blocks + (_TIMES_SHORT if short else _TIMES) + source_lines * _SOURCE_LINE + 7 * density.gap


def _row(finding: FindingLine, inner: float, density: Density) -> Row:
    """The imperative whole if it can be; then as much of the numbers as there is room for."""
    bold, plain = density.bold, density.plain
    room = (inner - 7.6) / POINT - text_width(finding.letters, 6.5)
    do = fit(finding.do, bold, room)
    room -= text_width(do + " ", bold)
    options = (finding.detail, finding.detail_short)
    detail = next((told for told in options if told and text_width(told + ".", plain) <= room), "")
    return Row(finding.verdict, do, detail, finding.letters)


def _boxes(view: View, inner: float) -> tuple[float, tuple[float, ...]]:
    """Type size of the notes and widths that let every box keep to its lines; what is over is shared out."""
    size, widths = 0.0, [0.0]
    for size in (8.0, 7.4, 6.8):
        widths = [
            max(_numbers_width(box), text_width(box.note, size), text_width(box.heading, 8.5) * 1.05) * POINT + 3.8 for box in view.boxes
        ]
        if sum(widths) <= inner:
            break
    spare = (inner - sum(widths)) / len(widths)
    return size, tuple(width + spare for width in widths)


def _numbers_width(box: Box) -> float:
    """Of the line of numbers, points: mark 15, number at 17, unit at 10.5."""
    return sum((15 if side else 0) + text_width(number, 17) + text_width(unit, 10.5) + 12 for side, number, unit in box.numbers) - 8


def _as_set(view: View, inner: float) -> tuple[tuple[str, str], ...]:
    """What the gauges give now, a line each beside the heading."""
    if view.as_set is None:
        return ()
    room = inner / POINT - text_width(view.as_set.heading, 8.5) * 1.05 - 12
    return tuple((label, fit(told, 8.5, room - text_width(label + "  ", 8.5))) for label, told in view.as_set.rows)


def _more(view: View, shown: int) -> str:
    """What did not fit, counted by verdict: a stop is never hidden in silence."""
    rest = view.findings[shown:]
    if not rest:
        return ""
    stops = sum(finding.verdict == "stop" for finding in rest)
    cautions = len(rest) - stops
    parts = [f"{count} more {word}{'s' if count > 1 else ''}" for count, word in ((stops, "stop"), (cautions, "caution")) if count]
    return f"And {' and '.join(parts)}: see the list."


def _go(view: View, inner: float, density: Density) -> tuple[str, str]:
    bold, plain = density.bold, density.plain
    head = f"{view.go_count} check{'s' if view.go_count != 1 else ''} go."
    room = (inner - 7.6) / POINT - text_width(head + " ", bold)
    themes = view.go_summary.removesuffix(".").split(" · ")
    while len(themes) > 1 and text_width(" · ".join(themes) + ".", plain) > room:
        themes.pop()
    return head, fit(" · ".join(themes) + ".", plain, room) if view.go_summary else ""


def _never_size(view: View, inner: float, density: Density) -> float:
    """Never is never cut: its type shrinks a little where the sheet is narrow."""
    room = (inner - 7.6) / POINT - text_width("Never ", density.bold)
    told = " · ".join(view.never) + "."
    return next((size for size in (density.plain, 8.0, 7.8) if text_width(told, size) <= room), 7.4)


def _sources(view: View, inner: float, most: int) -> tuple[tuple[tuple[str, str], ...], int]:
    """The sources by letter, each cut to a fair share, in at most so many lines; the list has them whole."""
    room = inner / POINT * 0.97
    letters: tuple[tuple[str, str], ...] = ()
    lines = 0
    for longest in (200, 48, 34, 26, 18, 12):
        letters = tuple((line.letter, line.short(longest)) for line in view.sources)
        told = f"{view.advice} {view.chart_note} " + " · ".join(f"{letter} {text}" for letter, text in letters) + "."
        lines = len(wrap(told, _SOURCE_SIZE, room))
        if lines <= most:
            return letters, lines
    return letters, lines
