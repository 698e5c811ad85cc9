"""From a name and key=value pairs to an answer, one at a time or many as JSON lines."""

import math
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any, NamedTuple

from steadycone.errors import InputError, OutOfRange, SolveError, SteadyconeError, UnknownName, nearest
from steadycone.units import Pressure, ReferenceState
from steadycone.worksheets.declare import Answer, Ask, AtPressure, Worksheet, asks, is_needed

_NO_WORKSHEETS = {"__init__", "declare", "kinds", "run"}
LONGEST_LINE = 100_000  # characters
MOST_CASES = 1_000_000
LONGEST_MESSAGE = 500
ACETYLENE_CAUTION = "acetylene: never over 15 psi (1.03 bar) gauge in the US, 1.5 bar elsewhere; it can explode by itself"


@cache
def names() -> tuple[str, ...]:
    """Every worksheet's name: the files here."""
    return tuple(sorted(path.stem for path in Path(__file__).parent.glob("*.py") if path.stem not in _NO_WORKSHEETS))


@cache
def sheet(name: str) -> type[Worksheet]:
    """The worksheet of a name; only its own file is loaded.

    Raises  UnknownName
    """
    if name not in names():
        raise UnknownName(f'there is no worksheet "{name[:60]}"', where="calc", try_=nearest(name[:60], names()))
    module = import_module(f"steadycone.worksheets.{name}")
    return next(
        item
        for item in vars(module).values()
        if isinstance(item, type) and issubclass(item, Worksheet) and item.__module__ == module.__name__
    )


class Described(NamedTuple):
    """One field for a form or a help page."""

    name: str
    kind: str
    help: str
    example: str
    default: str | None
    needed: bool  # by itself; see Worksheet.either for sets of which one is needed
    words: tuple[str, ...]  # of a choice


def describe(name: str) -> tuple[Described, ...]:
    """The fields of a worksheet, its own before the common ones."""
    found = sheet(name)
    return tuple(
        Described(
            field, ask.kind.kind, ask.help, ask.kind.example, ask.default, is_needed(found, field), tuple(getattr(ask.kind, "words", ()))
        )
        for field, ask in asks(found).items()
    )


def read(name: str, pairs: Mapping[str, object]) -> Worksheet:
    """A filled worksheet.

    Parameters
    ----------
    name : str   see `names`
    pairs : field to text with its unit, such as {"bore": "6.3 mm"}; from JSON also numbers, lists and objects

    Raises
    ------
    UnknownName : no such worksheet or field. BadUnit, OutOfRange : a value that cannot be. InputError : fields missing or too many.
    """
    kind = sheet(name)
    fields = asks(kind)
    for key in pairs:
        if key not in fields:
            raise UnknownName(f'there is no field "{str(key)[:60]}"', where=name, try_=nearest(str(key)[:60], fields))
    given = {key: value for key, value in pairs.items() if value is not None}
    state = given.get("reference_state")
    reference = _value(name, "reference_state", fields["reference_state"], state, None) if state is not None else None
    values = {key: _value(name, key, fields[key], value, reference) for key, value in given.items()}
    _check_either(name, kind, fields, values)
    missing = [key for key in fields if key not in values and is_needed(kind, key)]
    if missing:
        raise InputError(f"{_listed(missing)} missing", where=name, try_=_write(missing, fields))
    return kind(**values)


def answer(name: str, pairs: Mapping[str, object]) -> Answer:
    """The flat answer, numbers in the units their keys name. Raises as `read`, and where the sum itself has no answer."""
    filled = read(name, pairs)
    try:
        found = filled.answer()
    except SteadyconeError as error:
        raise error.at(name) from None
    except (OverflowError, ZeroDivisionError) as error:
        raise OutOfRange(
            "these values together are outside what can be worked out", where=name, try_="Check each value and its unit."
        ) from error
    for key, value in found.items():
        if isinstance(value, float) and not math.isfinite(value):
            raise OutOfRange(f"{key} has no finite value here", where=name, try_="Check each value and its unit.")
    return found | _caution(filled, found)


def _caution(filled: Worksheet, found: Answer) -> Answer:
    """Acetylene's cap beside every acetylene pressure above it; a cylinder's own pressure is another matter."""
    if "acetylene" not in (getattr(filled, "gas", None), getattr(filled, "service_gas", None)) or not isinstance(filled, AtPressure):
        return {}
    from steadycone.assembly.ceiling import strictest_cap

    given = [filled.absolute(value) - filled.atmosphere.si for value in vars(filled).values() if type(value) is Pressure]
    worked = [value * 1e5 for key, value in found.items() if key.endswith("_bar_gauge") and isinstance(value, float)]
    return {"caution": ACETYLENE_CAUTION} if max(given + worked, default=0.0) > strictest_cap(filled.atmosphere.si) * (1 + 1e-9) else {}


def cases(lines: Iterable[str]) -> Iterator[str]:
    """JSON lines in, JSON lines out, in order. Blank lines are skipped.

    A case is {"calc": "hose", "gas": "oxygen", ...}. One that cannot be worked out gives a line that starts with {"error": and holds
    code, where, says and try.
    """
    import json  # here: a single answer needs none

    count = 0
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        count += 1
        if count > MOST_CASES:
            yield _error(InputError(f"more than {MOST_CASES} cases", where=f"line {number}", try_="Split the file."))
            return
        try:
            yield json.dumps(_case(line), ensure_ascii=False, allow_nan=False)
        except SteadyconeError as error:
            yield _error(error.at(f"line {number}"))


def _case(line: str) -> Answer:
    import json

    if len(line) > LONGEST_LINE:
        raise InputError(f"a case of {len(line)} characters", try_=f"A case is at most {LONGEST_LINE} characters.")
    try:
        given = json.loads(line, object_pairs_hook=_once, parse_constant=_no_constant)
    except SteadyconeError:
        raise
    except (ValueError, RecursionError) as error:
        raise InputError("not JSON", try_='Write for example {"calc": "bevel", "thickness": "30 mm", "angle": "30°"}.') from error
    if not isinstance(given, dict) or not isinstance(given.get("calc"), str):
        raise InputError('not an object with "calc"', try_='Write for example {"calc": "bevel", "thickness": "30 mm"}.')
    return answer(given.pop("calc"), {key: _plain(key, value) for key, value in given.items()})


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        twice = next(key for key in found if sum(k == key for k, _ in pairs) > 1)
        raise InputError(f'"{twice[:60]}" is there twice', try_="Give each key once.")
    return found


def _no_constant(word: str) -> float:
    raise InputError(f"{word} is not a number", try_="Leave the key out.")


def _plain(key: str, value: object) -> object:
    """A number small enough to be one of ours."""
    if isinstance(value, int | float) and not isinstance(value, bool) and not abs(value) < 1e15:
        raise OutOfRange("the number is far too large", where=key[:60], try_="Check it.")
    return value


def _value(name: str, key: str, ask: Ask, given: object, reference: ReferenceState | None) -> Any:
    try:
        return ask.kind.parse(given, reference)
    except SolveError:
        raise
    except SteadyconeError as error:
        raise error.at(f"{name}, {key}") from None
    except (OverflowError, RecursionError) as error:
        raise OutOfRange("the value is far too large", where=f"{name}, {key}", try_="Check it.") from error


def _check_either(name: str, kind: type[Worksheet], fields: Mapping[str, Ask], values: Mapping[str, object]) -> None:
    """Of each group exactly one set, and that whole."""
    for group in kind.either:
        begun = [way for way in group if any(key in values for key in way)]
        wording = " or ".join(_listed(way) for way in group)
        if not begun:
            raise InputError(f"{wording} missing", where=name, try_=_write(group[0], fields))
        if len(begun) > 1:
            raise InputError(f"give {wording}, not both", where=name, try_=f"Leave out {_listed([k for k in begun[1] if k in values])}.")
        missing = [key for key in begun[0] if key not in values]
        if missing:
            raise InputError(f"{_listed(missing)} missing", where=name, try_=_write(missing, fields))


def _listed(keys: Iterable[str]) -> str:
    return " and ".join(keys)


def _write(keys: Iterable[str], fields: Mapping[str, Ask]) -> str:
    written = (f'{key}="{fields[key].kind.example}"' for key in keys)
    return f"Add {' '.join(written)}."


def _error(error: SteadyconeError) -> str:
    import json

    said = {"code": error.code, "where": error.where, "says": error.says, "try": error.try_}
    # a lone surrogate out of JSON could not be printed, and a message may quote a long value
    safe = {key: text[:LONGEST_MESSAGE].encode("utf-8", "replace").decode() for key, text in said.items()}
    return json.dumps({"error": safe}, ensure_ascii=False)
