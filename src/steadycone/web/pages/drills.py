"""The drills: one question a screen, its answer with the reason, the marks at the end, and the same sheet on paper."""

from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.responses import Response

from steadycone.data.reader import sources as all_sources
from steadycone.data.reader import toml
from steadycone.errors import BadUnit
from steadycone.render import styles
from steadycone.render.drill import Told
from steadycone.render.drill_dials import dials_svg
from steadycone.render.drill_dials import told as dials_told
from steadycone.web.chosen import chosen, stations
from steadycone.web.desk import Desk
from steadycone.web.fields import command
from steadycone.web.page import get

if TYPE_CHECKING:
    from steadycone.web.chosen import Chosen
    from steadycone.whatif.drills.model import Drill, Question

MOST = 20  # questions of a sheet that a page asks for
_SEED = 2**53
_LONGEST = 60  # characters of an answer


def _list(desk: Desk) -> Response:
    from steadycone.whatif.drills.make import names

    return desk.page(
        "drills.html.j2", "Drills", drills=[(name, _title(desk, name)) for name in names()], stations=stations(desk), most=MOST
    )


def _title(desk: Desk, name: str) -> str:
    title: str = toml("drills.toml")["mixed_title"] if name == "mixed" else toml(f"drills/{name}.toml")["title"]
    return desk.words.fill(title, {})


def _begin(desk: Desk) -> Response:
    """From the list's form to the first question's own address, which can be passed on."""
    asked = {name: desk.asked.get(name, "") for name in ("station", "seed", "questions")}
    return desk.to(f"/drills/{_known(desk.asked.get('name', ''))}?{urlencode({each: value for each, value in asked.items() if value})}")


def _known(name: str) -> str:
    """Raises  UnknownName."""
    from steadycone.errors import UnknownName, nearest
    from steadycone.whatif.drills.make import names

    if name not in names():
        raise UnknownName(f'there is no drill "{name[:60]}"', where="drill", try_=nearest(name[:60], names()))
    return name


def _drill(desk: Desk) -> Response:
    from steadycone.whatif.drills.make import make_drill

    name = _known(desk.path["name"])
    station = chosen(desk, desk.asked.get("station", "") or stations(desk)[0][0])
    seed, count = _number(desk, "seed", 1, 0, _SEED), _number(desk, "questions", 6, 1, MOST)
    drill = make_drill(name, station.card, seed, count)
    if (sheet := _sheet(desk, drill)) is not None:
        return sheet
    answers = {number: text for number in range(1, count + 1) if (text := _given(desk, number))}
    base = {"station": station.slug, "seed": str(seed), "questions": str(count)}
    number = _number(desk, "n", 1, 1, count)
    if desk.asked.get("marks"):
        return _marks(desk, drill, answers, base, station)
    return _question(desk, drill, number, answers, base, station)


def _number(desk: Desk, name: str, otherwise: int, least: int, most: int) -> int:
    """Raises  BadUnit."""
    text = desk.asked.get(name, "").strip()
    if not text:
        return otherwise
    if not (text.isascii() and text.isdigit() and len(text) <= 16 and least <= int(text) <= most):
        raise BadUnit(f'"{text[:40]}" is not a number from {least} to {most:,}', where=name, try_="Write it in digits.")
    return int(text)


def _given(desk: Desk, number: int) -> str:
    """The answer to a question: a letter, a number, or letters in order, each out of its own field."""
    return " ".join(" ".join(desk.asked.getlist(f"a{number}")).split())[:_LONGEST]


def _sheet(desk: Desk, drill: "Drill") -> Response | None:
    """The printed sheets; None where a page is asked for."""
    from steadycone.render.drill_pdf import pdf_answers, pdf_drill

    wanted = desk.asked.get("as", "")
    if wanted not in ("questions", "answers"):
        return None
    data = pdf_drill(drill) if wanted == "questions" else pdf_answers(drill)
    return desk.file(data, f"{drill.name} {drill.seed} {wanted}.pdf", "application/pdf", show=True)


def _question(desk: Desk, drill: "Drill", number: int, answers: dict[int, str], base: dict[str, str], station: "Chosen") -> Response:
    from steadycone.whatif.drills.mark import mark

    told, question = Told(drill), drill.questions[number - 1]
    count = len(drill.questions)
    carried = base | {f"a{each}": text for each, text in answers.items() if each != number}
    marked = None
    if desk.asked.get("seen"):
        one = mark(drill, answers)[number - 1]
        marked = {
            "points": one.points, "says": told.fill(one.says), "given": " ".join(one.given), "right": " ".join(one.right),
            "note": told.fill(question.note) if question.note else "", "sources": [_source(key) for key in one.sources],
        }  # fmt: skip
        carried[f"a{number}"] = answers.get(number, "")
    following = {"n": str(number + 1)} if number < count else {"marks": "1"}
    return desk.page(
        "drill.html.j2", told.title, told=told, name=drill.name, number=number, count=count, question=_shown(told, question), marked=marked,
        carried={each: value for each, value in carried.items() if value}, next=f"/drills/{drill.name}?{urlencode(carried | following)}",
        station=station, base=urlencode(base), never=toml("drills.toml")["never"], last=number == count,
    )  # fmt: skip


def _shown(told: Told, question: "Question") -> dict[str, Any]:
    drawn = ""
    if question.dials:
        # the sheet's own ink, so that the gauges can be read in the dark too
        drawn = dials_svg(question.dials, told.words).replace(styles.light_colours()["ink"], "currentColor")
    return {
        "kind": question.kind,
        "asks": told.fill(question.asks),
        "options": [(option.letter, told.fill(option.says)) for option in question.options],
        "dials": drawn,
        "dials_told": dials_told(question.dials, told.words) if question.dials else "",
        "side": ("fu" if question.dials.line == "fuel" else "ox") if question.dials else "",
    }


def _source(key: str) -> tuple[str, str]:
    found = all_sources()[key]
    return found["title"], found["kind"]


def _marks(desk: Desk, drill: "Drill", answers: dict[int, str], base: dict[str, str], station: "Chosen") -> Response:
    from steadycone.whatif.drills.mark import mark, total

    told, marks = Told(drill), mark(drill, answers)
    points = total(marks)
    rows = [
        (one.number, told.fill(question.asks), " ".join(one.given) or "—", " ".join(one.right), one.points, told.fill(one.says))
        for one, question in zip(marks, drill.questions, strict=True)
    ]
    again = base | {"seed": str((int(base["seed"]) + 1) % _SEED)}
    return desk.page(
        "drill-marks.html.j2", told.title, told=told, name=drill.name, rows=rows, points=told.words.numbers.text(points, 0 if points == int(points) else 1),
        count=len(rows), base=urlencode(base), again=urlencode(again), station=station, never=toml("drills.toml")["never"],
        command=command(f"steadycone drill {drill.name} {station.file} --seed {drill.seed} --questions {len(rows)}", {}),
    )  # fmt: skip


PAGES = (get("/drills", _list), get("/drills/begin", _begin), get("/drills/{name}", _drill))
