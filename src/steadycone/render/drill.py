"""A drill as data and as text: question sheet, answer sheet, and marks, in the region's words and units."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from steadycone.data import reader
from steadycone.quantity import Quantity
from steadycone.render import emergency
from steadycone.render.text import WIDTH, wrapped
from steadycone.render.view_panels import gas_word
from steadycone.render.words import Words, capital
from steadycone.whatif.drills.mark import sources, total
from steadycone.whatif.drills.model import Accepted, Drill, Mark, Question, Text

FORMAT = "steadycone-drill/1"


class Told:
    """Fills a drill's texts: the region's words, the emergency list's service and number, the station's name and fuel."""

    def __init__(self, drill: Drill) -> None:
        about = drill.figures.setup.station.station
        self.drill, self.region, self.words = drill, about.region, Words.of(about.region)
        self.common: dict[str, str] = {
            **emergency.words(about.region), "station": about.name, "fuel": gas_word(drill.figures, "fuel", self.words),
            "name": drill.name, "seed": str(drill.seed), "count": str(len(drill.questions)),
            "file": Path(drill.figures.setup.file).name,
        }  # fmt: skip

    def fill(self, text: Text) -> str:
        blanks: dict[str, Quantity | str] = {**self.common, **text.blanks}
        return " ".join(capital(self.words.fill(text.template, blanks)).split(" "))

    def plain(self, template: str) -> str:
        return self.fill(Text(template))

    @property
    def title(self) -> str:
        return self.plain(_table(self.drill)["title"])

    @property
    def intro(self) -> str:
        return self.plain(_table(self.drill)["intro"])


def _table(drill: Drill) -> dict[str, Any]:
    if drill.name == "mixed":
        common = reader.toml("drills.toml")
        return {"title": common["mixed_title"], "intro": common["mixed_intro"]}
    return reader.toml(f"drills/{drill.name}.toml")


def drill_dict(drill: Drill) -> dict[str, Any]:
    """A drill as JSON has it, answers included: whoever hands out the sheet takes `questions` without `accepted`."""
    told, about = Told(drill), drill.figures.setup.station.station
    return {
        "format": FORMAT,
        "name": drill.name,
        "seed": drill.seed,
        "station": {"name": about.name, "region": about.region, "fuel": about.fuel},
        "title": told.title,
        "intro": told.intro,
        "questions": [_question(told, number, question) for number, question in enumerate(drill.questions, start=1)],
        "sources": {key: reader.sources()[key] for key in sources(drill)},
    }


def _question(told: Told, number: int, question: Question) -> dict[str, Any]:
    found: dict[str, Any] = {"number": number, "kind": question.kind, "asks": told.fill(question.asks)}
    if question.options:
        found["options"] = {option.letter: told.fill(option.says) for option in question.options}
    found["accepted"] = [
        {"answer": list(one.answer), "points": one.credit, "reason": told.fill(one.reason), "source": list(one.sources)}
        for one in question.accepted
    ]
    if question.note:
        found["note"] = told.fill(question.note)
    return found


def marks_dict(drill: Drill, marks: tuple[Mark, ...]) -> dict[str, Any]:
    """Marks as JSON has them."""
    told = Told(drill)
    return {
        "format": FORMAT,
        "name": drill.name,
        "seed": drill.seed,
        "points": total(marks),
        "of": len(marks),
        "marks": [
            {
                "number": one.number, "given": list(one.given), "points": one.points, "says": told.fill(one.says),
                "right": list(one.right), "source": list(one.sources),
            }
            for one in marks
        ],
        "sources": {key: reader.sources()[key] for key in dict.fromkeys(key for one in marks for key in one.sources)},
    }  # fmt: skip


def drill_text(drill: Drill) -> str:
    """The question sheet for a terminal."""
    told, common = Told(drill), reader.toml("drills.toml")
    blocks = [[told.title.upper(), common["questions"], *wrapped(told.intro)]]
    for number, question in enumerate(drill.questions, start=1):
        lines = wrapped(told.fill(question.asks), f"{number:>2}. ")
        lines += [line for option in question.options for line in wrapped(told.fill(option.says), f"    {option.letter}  ")]
        blocks.append([*lines, "", f"    {answer_line(question)}"])
    return _joined([*blocks, _foot(told)])


def answer_line(question: Question) -> str:
    """What is to be filled in."""
    if question.kind == "order":
        return "Order: " + " ".join(["___"] * len(question.options))
    return "Answer: ____"


def answers_text(drill: Drill) -> str:
    """The answer sheet for a terminal."""
    told, common = Told(drill), reader.toml("drills.toml")
    blocks = [[told.title.upper(), common["answers"]]]
    blocks += [_answer(told, number, question) for number, question in enumerate(drill.questions, start=1)]
    return _joined([*blocks, _foot(told)])


def grouped(question: Question) -> list[tuple[str, Accepted]]:
    """The accepted answers as a sheet lists them, best first: those of one reason stand together ("A B C or B A C")."""
    found: dict[tuple[str, tuple[str, ...], float], list[Accepted]] = {}
    for one in question.accepted:
        found.setdefault((one.reason.template, one.sources, one.credit), []).append(one)
    return [(" or ".join(" ".join(each.answer) for each in same), same[0]) for same in found.values()]


def _answer(told: Told, number: int, question: Question) -> list[str]:
    lines = []
    for count, (answers, one) in enumerate(grouped(question)):
        head = f"{number:>2}. " if count == 0 else "    "
        points = "" if one.credit == 1.0 else "(half a point) "
        lines += wrapped(f"{answers}  {points}{told.fill(one.reason)} [{', '.join(one.sources)}]", head)
    return lines + (wrapped(told.fill(question.note), "    ") if question.note else [])


def marks_text(drill: Drill, marks: tuple[Mark, ...]) -> str:
    """The marks for a terminal."""
    told = Told(drill)
    blocks = [[told.title.upper(), f"{total(marks):g} of {len(marks)}"]]
    blocks += [_mark(told, one) for one in marks]
    return _joined([*blocks, _foot(told)])


def _mark(told: Told, one: Mark) -> list[str]:
    given = " ".join(one.given) or "—"
    head = f"{one.number:>2}. {given}: {one.points:g}"
    lines = [head if one.points == 1.0 else f"{head}   (right: {' '.join(one.right)})"]
    return [*lines, *wrapped(f"{told.fill(one.says)} [{', '.join(one.sources)}]", "    ")]


def _foot(told: Told) -> list[str]:
    common = reader.toml("drills.toml")
    return [*wrapped(told.plain(common["again"])), *wrapped(common["never"]), *_emergency(told.region)]


def _emergency(region: str) -> Iterator[str]:
    yield "=" * WIDTH
    yield from wrapped(f"EMERGENCY: steadycone emergency --region {region}")


def _joined(blocks: list[list[str]]) -> str:
    return "\n\n".join("\n".join(line.replace("\u00a0", " ") for line in block) for block in blocks) + "\n"
