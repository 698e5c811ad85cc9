"""The certificate of an examination: one item, its readings with their limits, what they were read with, who, when, and the log's code."""

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any, Literal

from steadycone.practice.finding import Verdict
from steadycone.render import glyphs, pdf_card, styles
from steadycone.render.letters import fonts_for, printable_tree
from steadycone.render.table import plain
from steadycone.render.text import wrapped
from steadycone.render.typeset import typeset

Paper = Literal["A4", "Letter"]
SIZES: dict[str, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm
MARKS = {"go": "[ok]", "caution": "[ ! ]", "stop": "[STOP]"}


@dataclass(frozen=True, slots=True)
class TestLine:
    """One test as the register has it. read : what was read, a piece each. letter : of the limit's source, or empty"""

    __test__ = False

    day: str
    test: str
    value: str
    limit: str
    letter: str
    passed: bool
    gas: str
    read: tuple[str, ...]
    instrument: str
    by: str
    event: int


@dataclass(frozen=True, slots=True)
class Certificate:
    """Everything that stands on it. about : label and text of the item's own lines. sources : letter and text. code : the log's head."""

    site: str
    mark: str
    about: tuple[tuple[str, str], ...]
    verdict: Verdict
    word: str
    says: str
    tests: tuple[TestLine, ...]
    sources: tuple[tuple[str, str], ...]
    code: str
    on: str
    paper: Paper = "A4"


ADVICE = (
    "It says what was measured that day and no more. Look the item over before each use. "
    "The maker's sheet, local law and the competent person on the spot overrule it; the register rules over this paper."
)


def certificate_text(told: Certificate) -> str:
    """As lines to read on a screen."""
    return "".join(line + "\n" for line in _lines(told))


def _lines(told: Certificate) -> Iterator[str]:
    yield plain(f"Certificate of {told.mark}, {told.site}")
    yield from (plain(f"  {label:<16} {text}") for label, text in told.about)
    yield from wrapped(plain(f"{told.word}: {told.says}"), f"{MARKS[told.verdict]} ")
    for line in told.tests:
        letter = f" [{line.letter}]" if line.letter else ""
        limit = f", limit {line.limit}{letter}" if line.limit else ", no limit known"
        yield from wrapped(plain(f"{line.test} {line.value}{limit}: {'passed' if line.passed else 'FAILED'}"), f"  {line.day}  ")
        gas = (f"gas {line.gas}",) if line.gas else ()
        read = ", ".join((*gas, *line.read, *((f"read with {line.instrument}",) if line.instrument else ())))
        yield from wrapped(plain(read), " " * 14)
        yield plain(f"{'':14}{line.by}; event {line.event}")
    for letter, text in told.sources:
        yield from wrapped(plain(text), f"  [{letter}] ")
    yield from wrapped(plain(ADVICE))
    yield plain(f"Printed {told.on}. Log {told.code}: steadycone log verify --code {told.code}")


def certificate_pdf(told: Certificate) -> bytes:
    """The PDF's bytes. Raises SolveError."""
    return typeset("certificate.typ", _inputs(told), pdf_standards=["ua-1"])


def certificate_png(told: Certificate, dots_per_inch: float = 120.0) -> bytes:
    """The first page as a picture. Raises SolveError."""
    return typeset("certificate.typ", _inputs(told), format="png", ppi=dots_per_inch)


def _inputs(told: Certificate) -> dict[str, Any]:
    style = styles.alone("oxygen-blue fuel-red")
    width, height = SIZES[told.paper]
    shown: dict[str, Any] = printable_tree(asdict(told) | {"advice": ADVICE})
    return shown | {
        "fonts": list(fonts_for(shown)),
        "title": f"Certificate of {shown['mark']}",
        "width": width,
        "height": height,
        "colours": styles.light_colours(),
        "marks": {name: pdf_card.drawing(glyphs.mark(name), 24, style) for name in ("go", "caution", "stop")},
    }
