"""How much of a list one A5 side holds: sizes of the page in one place, in millimetres and points, for HTML and PDF alike."""

from dataclasses import dataclass

from steadycone.render.model import Box, FindingLine, View
from steadycone.render.panel_fit import POINT, digits_size, how_size, row_sizes
from steadycone.render.textwidth import fit, text_width, wrap
from steadycone.render.train import WIDTH, height

SIDE = 6.0  # mm, margin left and right
_TOP, _VERDICT, _SIGN, _FLOOR = 4.5, 10.7, 5.5, 28.6
NEEDS = 2.9  # the line "Needs 0.51. On your gauge:" over the digits
_TIMES, _TIMES_SHORT = 15.5, 6.5
_AS_SET = 4.2
_STEP = 1.15 * POINT  # mm from line to line for each point of type
_PLACE_SIZE, _PLACE_LINE, _PLACE_EDGE = 7.6, 3.2, 2.0  # of a closed place: type, mm a line, frame
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
        """Height of a panel: heading, how, needs, digits, bar, two rows, frame."""
        big, row = (min(self.big, 11.0), 4.4) if three else (self.big, self.panel_row)
        return 1.7 + 5.0 + 5.4 + NEEDS + big + 6.2 + 2 * row + 0.6 + 0.4


DENSITIES = (
    Density("d0", 14.5, 50, 34, 5.7, 5.7, 10.0, 8.5, 1.5, 3),
    Density("d1", 14.5, 50, 34, 5.7, 4.5, 9.0, 8.0, 1.5, 3),
    Density("d2", 11.0, 36, 34, 5.3, 4.5, 9.0, 8.0, 1.5, 3),
    Density("d3", 8.0, 28, 26, 4.6, 4.1, 8.8, 7.8, 1.0, 2),
)


@dataclass(frozen=True, slots=True)
class Head:
    """Name and job as lines, none of them cut, beside the QR code. Heights in mm, type in points."""

    name: tuple[str, ...]
    name_size: float
    job: tuple[str, ...]
    job_size: float
    job_at: float
    made_at: float
    height: float

    @property
    def name_step(self) -> float:
        return self.name_size * _STEP

    @property
    def job_step(self) -> float:
        return self.job_size * _STEP


def head_of(view: View, inner: float) -> Head:
    """Large type on one line if it fits, then two lines, then as many as it takes: by its name a card is known."""
    room = (inner - 20) / POINT
    name, name_size = _in_lines(view.name, ((19.0, 1), (16.0, 1), (13.0, 1), (13.0, 2), (11.0, 2), (9.0, 99)), room)
    job, job_size = _in_lines(view.job, ((12.5, 1), (10.5, 1), (9.0, 1), (9.0, 99)), room)
    job_at = 8.0 if len(name) == 1 else 1.4 + len(name) * name_size * _STEP
    made_at = max(13.4, job_at + len(job) * job_size * _STEP + 0.5)
    return Head(name, name_size, job, job_size, job_at, made_at, made_at + 2.4)


def _in_lines(text: str, choices: tuple[tuple[float, int], ...], room: float) -> tuple[tuple[str, ...], float]:
    """The text in lines, and its size: the first choice of (size, at most so many lines) that holds it."""
    for size, most in choices:
        lines = wrap(text, size, room)
        if len(lines) <= most and all(text_width(line, size) <= room for line in lines):
            break
    return tuple(lines), size


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
    head: Head
    says_size: float  # of the sentence in the verdict's band
    digits: tuple[int, ...]  # type size of each panel's number
    how_size: float
    row_sizes: tuple[float, float]  # of label and value in a panel
    rows: tuple[Row, ...]
    more: str  # "and 3 more stops …", or empty
    go: tuple[str, str]  # bold part, the rest
    never_size: float
    as_set: tuple[tuple[str, str], ...]
    note_size: float  # under the times
    box_widths: tuple[float, ...]  # mm
    place: float  # mm, of what is said of a closed place
    source_letters: tuple[tuple[str, str], ...]  # the sources by letter, each whole; empty where they are on the back
    source_note: str  # instead of them: where they stand, and which of them are weak


def page_of(view: View) -> Page:
    """Large figures and lines when everything fits, then closer ones; at the closest, as many lines as fit, and the number of the rest."""
    width, tall = SIZES[view.paper]
    inner = width - 2 * SIDE
    density, short, fits = _densest(view, inner, tall)
    letters, note, _ = _sources(view, inner, density.source_lines)
    shown = view.findings if len(view.findings) <= fits else view.findings[: max(1, fits - 1)]
    panels = len(view.panels)
    largest = density.digits_three if panels > 2 else density.digits
    return Page(
        width=width, height=tall, density=density, short_times=short,
        head=head_of(view, inner), says_size=_says_size(view, inner),
        digits=tuple(digits_size(panel, largest, inner, panels) for panel in view.panels),
        how_size=how_size(view.panels, inner), row_sizes=row_sizes(view.panels, inner, 4.4 if panels > 2 else density.panel_row),
        rows=tuple(_row(finding, inner, density) for finding in shown),
        more=_more(view, len(shown)),
        go=_go(view, inner, density), never_size=_never_size(view, inner, density),
        as_set=_as_set(view, inner),
        note_size=_boxes(view, inner)[0], box_widths=_boxes(view, inner)[1],
        place=_place(view, inner),
        source_letters=letters, source_note=note,
    )  # fmt: skip


def _says_size(view: View, inner: float) -> float:
    """The sentence beside the verdict: it stays clear of the caution's tape."""
    room = (
        (inner - 17.5 - (17 if view.verdict == "caution" else 3)) / POINT - text_width(view.verdict_word, 20) - 0.4 * len(view.verdict_word)
    )
    return next((size for size in (12.5, 10.5) if text_width(view.verdict_says, size) <= room), 9.0)


def _densest(view: View, inner: float, tall: float) -> tuple[Density, bool, int]:
    """The widest density that holds every finding, whether the times are short, and how many findings fit."""
    choices = [(density, False) for density in DENSITIES]
    if view.verdict == "stop" or view.place_note:
        choices.append((DENSITIES[-1], True))
    others = 2 if view.go_count else 1  # the folded row, and Never
    for density, short in choices:
        fits = int((tall - _fixed(view, inner, density, short)) / density.row) - others
        if fits >= len(view.findings):
            break
    return density, short, fits


def _place(view: View, inner: float) -> float:
    """Height of what is said of a closed place, mm; the heading is set larger, and counts as such."""
    if view.place_note is None:
        return 0.0
    room = (inner - 5.6) / POINT
    return len(wrap("  ".join(view.place_note), _PLACE_SIZE * 1.04, room)) * _PLACE_LINE + _PLACE_EDGE


def _fixed(view: View, inner: float, density: Density, short: bool) -> float:
    """Everything but the lines of findings."""
    _, _, source_lines = _sources(view, inner, density.source_lines)
    train = inner * height(view.train) / WIDTH
    as_set = len(view.as_set.rows) * _AS_SET + density.gap if view.as_set else 0.0
    place = _place(view, inner) + density.gap if view.place_note else 0.0
    blocks = place + _TOP + head_of(view, inner).height + _VERDICT + density.panel(len(view.panels) > 2) + train + as_set + _SIGN + _FLOOR
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
    return f"And {' and '.join(parts)}: see the {'back' if view.back else 'list'}."


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


def _sources(view: View, inner: float, most: int) -> tuple[tuple[tuple[str, str], ...], str, int]:
    """The sources by letter where all of them go whole into so many lines; else a note that they stand on the back. And how many lines."""
    room = inner / POINT * 0.97
    letters = tuple((line.letter, line.told) for line in view.sources)
    told = f"{view.advice} {view.chart_note} "
    lines = len(wrap(told + " · ".join(f"{letter} {text}" for letter, text in letters) + ".", _SOURCE_SIZE, room))
    if lines <= most:
        return letters, "", lines
    note = _weak(view)
    return (), note, len(wrap(told + note, _SOURCE_SIZE, room))


def _weak(view: View) -> str:
    """Where the sources stand, and the letters of those that are weaker than a text that was read."""
    kinds = dict.fromkeys(line.kind for line in view.sources if line.kind)
    weak = [f"{', '.join(line.letter for line in view.sources if line.kind == kind)} {kind}" for kind in kinds]
    return "; ".join(["Sources by letter: on the back", *weak]) + "."
