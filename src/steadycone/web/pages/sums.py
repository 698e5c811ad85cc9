"""The worksheets: one sum a page, as `steadycone calc` does it."""

import json
import shlex
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from starlette.responses import Response

from steadycone.data.reader import toml
from steadycone.errors import InputError, SteadyconeError
from steadycone.render.worksheet import title, told_answer, worded
from steadycone.web.answer import status_of
from steadycone.web.desk import Desk
from steadycone.web.fields import Field, Problem, command, field, marked, problem_of, typed
from steadycone.web.page import get

if TYPE_CHECKING:
    from steadycone.worksheets.run import Described


def _list(desk: Desk) -> Response:
    from steadycone.worksheets.run import sheet

    groups = [
        (group["says"], [(name, title(name, desk.words), _about(sheet(name), desk)) for name in group["sheets"]])
        for group in toml("sums.toml")["group"]
    ]
    return desk.page("sums.html.j2", "Sums", groups=groups)


def _about(sheet: type, desk: Desk) -> str:
    return worded((sheet.__doc__ or "").strip().splitlines()[0], desk.words)


def _sum(desk: Desk) -> Response:
    from steadycone.worksheets.run import describe, sheet

    name = desk.path["name"]
    found, described = sheet(name), describe(name)
    given = typed(desk)
    pairs = {key: value for key, value in given.items() if value}
    answer: dict[str, Any] | None = None
    problem: Problem | None = None
    status = 200
    if given:
        try:
            answer = _worked(name, pairs)
        except InputError as error:
            if desk.asked.get("as") == "json":
                return desk.told(
                    {"error": {"code": error.code, "where": error.where, "says": error.says, "try": error.try_}}, status_of(error)
                )
            problem, status = problem_of(error, [each.name for each in described]), status_of(error)
    if answer is not None and desk.asked.get("as") == "json":
        return Response(json.dumps(answer, ensure_ascii=False, allow_nan=False), media_type="application/json")
    example = _example(found.example)
    fields = marked([_field(each, desk, given.get(each.name, ""), example) for each in described], problem)
    return desk.page(
        "sum.html.j2", title(name, desk.words), status=status, name=name, about=_about(found, desk), parts=_parts(fields, found.either),
        problem=problem, answer=told_answer(answer, desk.words) if answer is not None else None, command=command(f"steadycone calc {name}", pairs),
        query=urlencode(pairs), example=urlencode(example), reference=desk.words.numbers.reference_state,
    )  # fmt: skip


def _worked(name: str, pairs: dict[str, str]) -> dict[str, Any]:
    """Raises  InputError: also for numbers that the sum could not bring to an end."""
    from steadycone.worksheets.run import answer

    try:
        return dict(answer(name, pairs))
    except InputError:
        raise
    except SteadyconeError as error:
        raise InputError(error.says, where=error.where, try_=error.try_ or "Check each value and its unit.") from error


def _example(line: str) -> dict[str, str]:
    return dict(word.partition("=")[::2] for word in shlex.split(line))


def _field(each: "Described", desk: Desk, value: str, example: dict[str, str]) -> Field:
    from steadycone.physics.gas.load import MIXED, NAMES

    options = (*NAMES, *MIXED) if each.kind == "gas" else each.words
    shown = example.get(each.name, each.example)
    return field(each.name, each.kind, each.help, shown, each.default, each.needed, options, desk.words, value)


def _parts(fields: list[Field], either: tuple[tuple[tuple[str, ...], ...], ...]) -> dict[str, Any]:
    """The fields as the form groups them: needed, each choice between sets, and the rest."""
    by_name = {each.name: each for each in fields}
    grouped = {name for group in either for way in group for name in way}
    rest = [each for each in fields if not each.needed and each.name not in grouped]
    return {
        "needed": [each for each in fields if each.needed],
        "either": [[[by_name[name] for name in way] for way in group] for group in either],
        "rest": rest,
        "open": any(each.value or each.wrong for each in rest),
    }


PAGES = (get("/sums", _list), get("/sums/{name}", _sum))
