"""From a name and key=value pairs to an outcome. Every file here but the frame's own is one what-if; what they share lives in common/."""

from collections.abc import Mapping
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any, NamedTuple

from steadycone.card.card import Card
from steadycone.errors import OutOfRange, SolveError, SteadyconeError, UnknownName, nearest
from steadycone.whatif.frame import Outcome, WhatIf
from steadycone.whatif.settings import Setting, settings_of

_FRAME = {"__init__", "bands", "frame", "run", "settings"}


@cache
def names() -> tuple[str, ...]:
    """Every what-if's name: the files here, with hyphens."""
    return tuple(sorted(path.stem.replace("_", "-") for path in Path(__file__).parent.glob("*.py") if path.stem not in _FRAME))


@cache
def kind_of(name: str) -> type[WhatIf]:
    """The what-if of a name; only its own file is loaded.

    Raises  UnknownName
    """
    plain = name.strip().lower().replace("_", "-")
    if plain not in names():
        raise UnknownName(f'there is no what-if "{name[:60]}"', where="whatif", try_=nearest(plain[:60], names()))
    module = import_module(f"steadycone.whatif.{plain.replace('-', '_')}")
    return next(
        item for item in vars(module).values() if isinstance(item, type) and issubclass(item, WhatIf) and item.__module__ == module.__name__
    )


class Described(NamedTuple):
    """One setting for a form or a help page."""

    name: str
    kind: str
    help: str
    example: str
    default: str | None
    words: tuple[str, ...]  # of a choice


def describe(name: str) -> tuple[Described, ...]:
    """The settings of a what-if, in order."""
    return tuple(
        Described(key, s.kind.kind, s.help, s.kind.example, s.default, tuple(getattr(s.kind, "words", ())))
        for key, s in settings_of(kind_of(name)).items()
    )


def read(name: str, pairs: Mapping[str, object]) -> WhatIf:
    """A filled what-if. `pairs`: setting to text with its unit; None and "" count as left out.

    Raises  UnknownName: no such what-if, setting or word. BadUnit, OutOfRange: a value that cannot be.
    """
    kind = kind_of(name)
    settings = settings_of(kind)
    for key in pairs:
        if key not in settings:
            raise UnknownName(f'there is no setting "{str(key)[:60]}"', where=f"whatif {name}", try_=nearest(str(key)[:60], settings))
    return kind(**{key: _value(name, key, settings[key], given) for key, given in pairs.items() if given not in (None, "")})


def answer(name: str, card: Card, pairs: Mapping[str, object]) -> Outcome:
    """Work a what-if out on a card's station.

    Raises  as `read`; InputError: the station lacks what it needs; OutOfRange: values beyond what the physics covers.
    """
    filled = read(name, pairs)
    try:
        return filled.answer(card)
    except SteadyconeError as error:
        raise error.at(f"whatif {name}") from None
    except (OverflowError, ZeroDivisionError) as error:
        raise OutOfRange(
            "these values together are outside what can be worked out", where=f"whatif {name}", try_="Check each one."
        ) from error


def _value(name: str, key: str, setting: Setting, given: object) -> Any:
    try:
        return setting.kind.parse(given)
    except SolveError:
        raise
    except SteadyconeError as error:
        raise error.at(f"whatif {name}, {key}") from None
    except (OverflowError, RecursionError) as error:
        raise OutOfRange("the value is far too large", where=f"whatif {name}, {key}", try_="Check it.") from error
