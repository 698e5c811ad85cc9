"""The form of a station: sections, groups and boxes in the region's words, each box with its value and what is wrong with it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from steadycone.data import reader
from steadycone.errors import InputError
from steadycone.render.numbers import region_table
from steadycone.render.station_form_errors import Faults, faults_of
from steadycone.render.words import Words, capital
from steadycone.station.form import FUELS, LINES, LISTS, FormField, Key, field_at, fields_in, form_table, path_of, table_order
from steadycone.station.marks import hose_grades


@dataclass(frozen=True, slots=True)
class Option:
    value: str
    label: str


@dataclass(frozen=True, slots=True)
class Field:
    """One box. `kind`: text, choice (a select of `options`), flag (a select of yes and no), count, date, rows (several lines).

    `suggest`: what a list beside the box offers. `unit`: the unit of the example, for a value that has one. `error`: empty when all is well.
    """

    path: str
    id: str
    label: str
    value: str
    kind: str
    options: tuple[Option, ...]
    suggest: tuple[str, ...]
    hint: str
    example: str
    unit: str
    required: bool
    advanced: bool
    error: str


@dataclass(frozen=True, slots=True)
class Group:
    """One table of the file. `number` of `count`: where it stands among the parts of its line; 0 for a table that does not repeat."""

    path: str
    id: str
    title: str
    legend: str
    kind: str
    number: int
    count: int
    fields: tuple[Field, ...]
    errors: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with its groups: the whole of a line, or one table. `id`: "oxygen", "torch", ..."""

    id: str
    title: str
    groups: tuple[Group, ...]
    errors: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Form:
    """`errors` belong to no box or heading. `missing`: every needed box that is empty, as (path, "Oxygen hose: Length")."""

    sections: tuple[Section, ...]
    errors: tuple[str, ...]
    missing: tuple[tuple[str, str], ...]


def form_of(
    values: Mapping[str, str],
    region: str,
    fuel: str,
    errors: Sequence[InputError] = (),
    suggest: Mapping[str, Sequence[str]] | None = None,
) -> Form:
    """The whole form.

    values : by path, as files/edit has them, parts counted from 1
    region, fuel : the station's; words and examples follow them
    errors : of the reader; each is put beside its box where it has one
    suggest : more words to offer, by the table's name for them, such as {"chart": names of the charts there are}

    Raises  UnknownName: no such region.
    """
    maker = _Maker(values, Words.of(region), fuel, faults_of(errors, values), _offers() | dict(suggest or {}))
    sections = tuple(maker.section(name) for name in form_table()["order"] if name not in LINES or maker.has(name))
    missing = tuple(
        (field.path, f"{group.title}: {field.label}")
        for section in sections
        for group in section.groups
        for field in group.fields
        if field.required and not field.value
    )
    return Form(sections, tuple(maker.faults.rest(_paths(sections))), missing)


def _paths(sections: Sequence[Section]) -> frozenset[str]:
    """Every place of the form that an error can be shown at."""
    groups = [group for section in sections for group in section.groups]
    fields = [field.path for group in groups for field in group.fields]
    return frozenset([*(section.id for section in sections), *(group.path for group in groups), *fields])


def _offers() -> dict[str, Sequence[str]]:
    return {
        "gas": ("oxygen", *FUELS),
        "fuel": FUELS,
        "grade": hose_grades(),
        "material": tuple(reader.toml("materials.toml")["materials"]),
    }


class _Maker:
    """What every box needs to know of the whole form."""

    def __init__(self, values: Mapping[str, str], words: Words, fuel: str, faults: Faults, offers: Mapping[str, Sequence[str]]) -> None:
        self.values, self.words, self.fuel, self.faults, self.offers = values, words, fuel, faults, offers
        units = region_table(words.region)["units"]
        self.system, self.units = "us" if units["length"] == "ft" else "metric", frozenset(units.values())
        self.counts: dict[str, int] = {}
        self.heads: set[str] = set()
        for place in {found[0] for path in values if (found := field_at(path))}:
            self._count(place)

    def _count(self, place: tuple[Key, ...]) -> None:
        self.heads |= {str(place[0]), ".".join(map(str, place))}
        if isinstance(place[-1], int):
            owner = ".".join(map(str, place[:-1]))
            self.counts[owner] = max(self.counts.get(owner, 0), place[-1])

    def has(self, line: str) -> bool:
        """A station always has an oxygen and a fuel line."""
        return line in ("oxygen", "fuel") or line in self.heads

    def section(self, name: str) -> Section:
        groups: list[Group] = []
        for order in table_order():
            if order[0] != name:
                continue
            if order[-1] not in LISTS:
                groups.append(self.group(order, 0, 0))
                continue
            count = self.counts.get(".".join(order), 0)
            groups += [self.group((*order, number), number, count) for number in range(1, count + 1)]
        errors = self.faults.at(name) + (self.faults.at(f"{name}.part") if name in LINES else ())
        own = () if len(groups) == 1 and groups[0].path == name else errors
        return Section(name, self.title(name, name), tuple(groups), own)

    def group(self, place: tuple[Key, ...], number: int, count: int) -> Group:
        path = ".".join(map(str, place))
        noun = str(place[1] if place[0] in LINES else place[0])
        kind = self.values.get(f"{path}.kind", "") if noun in LISTS else ""
        asked = [
            field for field in fields_in(noun).values() if self.values.get(path_of(place, field.name)) or self.asked(field, place, kind)
        ]
        begun = place[0] in LINES or noun in ("station", "torch", "job") or bool(number) or path in self.heads
        fields = tuple(self.field(field, place, begun) for field in asked)
        title = self.title(noun, str(place[0]), kind, self._nth(place, kind))
        legend = self.filled(form_table()["legend"].get(noun, ""))
        return Group(path, f"g-{path.replace('.', '-')}", title, legend, kind, number, count, fields, self.faults.at(path))

    def _nth(self, place: tuple[Key, ...], kind: str) -> str:
        """The number of a part among those of its kind, where there are several."""
        if not isinstance(place[-1], int) or place[0] not in LINES:
            return ""
        owner = path_of(place[:-1], "")
        same = [at for at in range(1, self.counts.get(owner[:-1], 0) + 1) if self.values.get(f"{owner}{at}.kind", "") == kind]
        return f" {same.index(place[-1]) + 1}" if len(same) > 1 else ""

    def title(self, noun: str, owner: str, kind: str = "", nth: str = "") -> str:
        gas = form_table()["gas"].get(owner) or self.words.gas(self.fuel or "fuel")
        part = (self.choice(kind).lower() if kind == "arrestor" else self.words.part(kind)) if kind else "part"
        return capital(self.filled(form_table()["title"][noun], gas=gas, part=part) + nth)

    def asked(self, field: FormField, place: tuple[Key, ...], kind: str) -> bool:
        """Whether a box is shown though it is empty."""
        if field.kinds and field.name != "kind" and kind not in field.kinds:
            return False
        return all(self._holds(name, allowed, place) for name, allowed in field.only_when.items())

    def _holds(self, name: str, allowed: Sequence[str], place: tuple[Key, ...]) -> bool:
        if name == "line":
            return place[0] in allowed
        if name == "has":
            return all(line in self.heads for line in allowed)
        if name == "station.fuel":
            return self.fuel in allowed
        path = name if "." in name else path_of(place, name)
        owner, _, own = path.rpartition(".")
        default = fields_in(owner.rpartition(".")[2])[own].default if not owner[-1:].isdigit() else ""
        return (self.values.get(path) or default) in allowed

    def field(self, field: FormField, place: tuple[Key, ...], begun: bool) -> Field:
        path = path_of(place, field.name)
        value = self.values.get(path, "")
        example = self.example(field, place)
        return Field(
            path=path,
            id=f"f-{path.replace('.', '-')}",
            label=self.filled(field.label),
            value=value,
            kind=_BOXES.get(field.kind, "text"),
            options=self.options(field, value),
            suggest=tuple(self.offers.get(field.suggest, ())),
            hint=self.filled(field.hint),
            example=example if field.kind not in ("choice", "flag") else "",
            unit=_unit(example) if field.kind in ("measure", "share") else "",
            required=field.required and begun,
            advanced=field.advanced and not value,
            error=" ".join(self.faults.at(path)),
        )

    def example(self, field: FormField, place: tuple[Key, ...]) -> str:
        """In the region's system of units; where only one system's unit is among the region's, in that."""
        metric, us = field.metric, field.us
        if place[0] == "fuel" and field.fuel_metric:
            metric, us = field.fuel_metric, field.fuel_us
        given = [system for system, told in (("metric", metric), ("us", us)) if _unit(told) in self.units]
        return self.filled({"metric": metric, "us": us}[given[0] if len(given) == 1 else self.system], gas=self.fuel)

    def options(self, field: FormField, value: str) -> tuple[Option, ...]:
        """The words allowed; before them nothing stated, after them what the file says where that is none of them."""
        words = field.choices if field.kind == "choice" else ("true", "false") if field.kind == "flag" else ()
        if not words:
            return ()
        first = [] if field.required and value else [Option("", self.unstated(field.default))]
        last = [Option(value, value)] if value and value not in words else []
        return (*first, *(Option(word, self.choice(word)) for word in words), *last)

    def unstated(self, default: str) -> str:
        told = form_table()["choice"]["none_default" if default else "none"]
        return self.filled(told, default=self.choice(default).lower())

    def choice(self, word: str) -> str:
        return capital(self.filled(form_table()["choice"].get(word, word)))

    def filled(self, told: str, **blanks: Any) -> str:
        return self.words.fill(told, blanks) if "{" in told else told


_BOXES = {"choice": "choice", "flag": "flag", "count": "count", "date": "date", "points": "rows", "shares": "rows"}


def _unit(example: str) -> str:
    """The unit at the end of an example: "mm" of "6.3 mm", "in" of "1 1/4 in"."""
    return example.lstrip("0123456789./ ")


__all__ = ["Field", "Form", "Group", "Option", "Section", "form_of"]
