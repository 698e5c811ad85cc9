"""The printed question sheet and answer sheet: as many pages as it takes, gauges drawn, the emergency floor on each."""

from typing import Any

from steadycone.data import reader
from steadycone.render import emergency, glyphs, styles
from steadycone.render.drill import Told, answer_line, grouped
from steadycone.render.drill_dials import dials_svg, told
from steadycone.render.letters import fonts_for, printable
from steadycone.render.numbers import region_table
from steadycone.render.typeset import typeset
from steadycone.render.view import hose_colours as hoses_of
from steadycone.whatif.drills.mark import sources
from steadycone.whatif.drills.model import Drill, Question

_SIZES = {"A5": (210.0, 297.0), "Letter": (215.9, 279.4)}  # a class's sheet is twice a card's paper, mm


def pdf_drill(drill: Drill, name: str = "") -> bytes:
    """The question sheet. name : of the trainee, printed on it. Raises SolveError."""
    return typeset("drill.typ", _inputs(drill, answers=False, name=name), pdf_standards=["ua-1"])


def pdf_answers(drill: Drill, name: str = "") -> bytes:
    """The answer sheet. name : of the trainee whose sheet it answers. Raises SolveError."""
    return typeset("drill.typ", _inputs(drill, answers=True, name=name), pdf_standards=["ua-1"])


def _inputs(drill: Drill, answers: bool, name: str) -> dict[str, Any]:
    words, common = Told(drill), reader.toml("drills.toml")
    about = drill.figures.setup.station.station
    width, height = _SIZES[region_table(about.region)["paper"]["size"]]
    shown = {
        "title": words.title,
        "sheet": common["answers" if answers else "questions"],
        "intro": words.intro,
        "station": printable(about.name),
        "name": printable(name),
        "again": words.plain(common["again"]),
        "never": common["never"],
        "answers": answers,
        "questions": [_question(words, number, question, answers) for number, question in enumerate(drill.questions, start=1)],
        "sources": [f"{key}: {reader.sources()[key]['title']} ({reader.sources()[key]['kind']})" for key in sources(drill)]
        if answers
        else [],
    }
    style = styles.alone(hoses_of(about.region, about.fuel))
    return shown | {
        "fonts": fonts_for(shown),
        "width": width,
        "height": height,
        "colours": styles.light_colours(),
        "nuts": {side: _nut(side, style) for side in ("ox", "fu")},
        "floor": emergency.floor(about.region),
    }


def _nut(side: Any, style: str) -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-1 -1 22 22"><style>{style}</style>{glyphs.nut_shape(side)}</svg>'


def _question(words: Told, number: int, question: Question, answers: bool) -> dict[str, Any]:
    found: dict[str, Any] = {
        "number": number,
        "asks": words.fill(question.asks),
        "options": [[option.letter, words.fill(option.says)] for option in question.options],
        "kind": question.kind,
        "boxes": len(question.options) if question.kind == "order" else 1,
        "line": answer_line(question).partition(":")[0],
        "dials": dials_svg(question.dials, words.words) if question.dials else "",
        "dials_told": told(question.dials, words.words) if question.dials else "",
        "side": ("fu" if question.dials.line == "fuel" else "ox") if question.dials else "",
    }
    if answers:
        found["accepted"] = [
            [answers, "" if one.credit == 1.0 else "half a point", words.fill(one.reason), ", ".join(one.sources)]
            for answers, one in grouped(question)
        ]
        found["note"] = words.fill(question.note) if question.note else ""
    return found
