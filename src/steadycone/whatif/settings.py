"""How a what-if states its settings: each field its kind, its help and its default; command line, pages and docs read them."""

from dataclasses import Field, dataclass, field, fields
from typing import Any, ClassVar, Self, TypeVar, dataclass_transform

from steadycone import kinds
from steadycone.errors import BadUnit, OutOfRange
from steadycone.kinds import Kind
from steadycone.units import Duration, ReferenceState


@dataclass(frozen=True, slots=True)
class Setting:
    """What one field wants. `default` is as a person would write it; None: left out, the station or the what-if decides."""

    kind: Kind
    help: str
    default: str | None = None


class Choice(kinds.Choice):
    """One of some words; any white space may stand between the parts of one."""

    def parse(self, given: object, reference: ReferenceState | None = None, /) -> str:
        return super().parse(" ".join(given.split()) if isinstance(given, str) else given)


class Count:
    """A whole number from `least` to `most`."""

    kind, example = "whole number", "200"

    def __init__(self, least: int, most: int) -> None:
        self.least, self.most = least, most

    def parse(self, given: object, reference: ReferenceState | None = None, /) -> int:
        text = str(given).strip()
        if isinstance(given, bool) or not text.lstrip("-").isdecimal() or len(text) > 18:
            raise BadUnit(f"{text[:60]!r} is not a whole number", try_=f"Write for example {self.example}.")
        value = int(text)
        if not self.least <= value <= self.most:
            raise OutOfRange(f"{value} must be from {self.least} to {self.most}", try_=f"Write for example {self.example}.")
        return value


class Seconds(Duration):
    """A time; a bare number is seconds."""

    kind, example = "time in seconds", "5"
    units: ClassVar = {**Duration.units, "": 1.0}

    @classmethod
    def _bare(cls, given: float) -> Self:
        return cls(float(given), f"{given:g}")


def setting(kind: Any, help: str, default: str | None = None) -> Any:
    """A field of a what-if. Every one may be left out; without a default it is then None."""
    value = None if default is None else kind.parse(default)
    return field(default=value, metadata={"setting": Setting(kind, help, default)})


_Class = TypeVar("_Class")


@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(setting,))
def whatif(kind: type[_Class]) -> type[_Class]:
    """A frozen dataclass whose fields are named when it is made."""
    return dataclass(frozen=True, kw_only=True)(kind)


def settings_of(kind: type) -> dict[str, Setting]:
    """The settings of a what-if: its own first, `runs` and `seed` last."""
    every: list[Field[Any]] = [f for f in fields(kind) if "setting" in f.metadata]
    return {f.name: f.metadata["setting"] for f in sorted(every, key=lambda f: f.name in ("runs", "seed"))}
