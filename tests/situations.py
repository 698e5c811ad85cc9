"""Situations of real yards, shops, farms, schools and vans, each with the verdict a lead hand would give.

The verdicts were written before the program was run on them. A situation starts from sound gear of its region and fuel; `but` says what
is otherwise: `path=value`, a path alone after `-` taken away, a part after `+` added at the line's end.
"""

import re
from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text

ON = date(2026, 11, 25)
CHARTS = Path(__file__).parent.parent / "examples" / "charts"
TABLE = Path(__file__).parent / "situations.txt"
Table = dict[str, Any]


@dataclass(frozen=True)
class Situation:
    where: str
    base: str  # region, fuel, work, thickness or size, length or time
    but: str
    verdicts: str  # those that an expert could give: g go, c caution, s stop
    why: str


_CUT = "size,thickness from [mm],thickness to [mm],oxygen pressure [bar],fuel pressure [bar],cutting oxygen [m3/h],preheat oxygen [m3/h],"
_CUT += "fuel flow [m3/h],cutting bore [mm],speed from [mm/min],speed to [mm/min]\n"
_ABOUT = "# title: {} tips\n# fuel: {}\n# attachment: {}\n# basis: torch inlet\n# reference state: 0 °C, 1.01325 bar\n# source: invented\n"
_ROWS = (("1", "5,12,2.5", "1.56", "1.0,400,540"), ("2", "12,25,3.0", "3.00", "1.3,320,440"), ("3", "25,50,3.5", "5.15", "1.6,230,330"))


def _cutting(fuel: str, pressure: str, flow: float, ratio: float) -> str:
    rows = [f"{size},{first},{pressure},{jet},{flow * ratio:.2f},{flow:.2f},{last}" for size, first, jet, last in _ROWS]
    return _ABOUT.format(fuel.capitalize(), fuel, "cutting") + _CUT + "\n".join(rows) + "\n"


OWN_CHARTS = {
    "propylene.csv": _cutting("propylene", "0.35", 0.40, 3.0),
    "mps.csv": _cutting("mps", "0.4", 0.45, 2.8),
    "butane.csv": _cutting("butane", "0.3", 0.28, 4.2),
    "hydrogen.csv": _cutting("hydrogen", "0.5", 2.4, 0.35),
    "lpg.csv": _cutting("lpg", "0.35", 0.36, 3.9),
}
_CHARTS = {
    "acetylene cut": "demo-acetylene-cutting.csv",
    "acetylene heat": "demo-acetylene-heating.csv",
    "acetylene weld": "demo-acetylene-welding.csv",
    "propane cut": "demo-propane-cutting.csv",
    "lpg cut": "lpg.csv",
    "lpg heat": "demo-lpg-heating.csv",
    "natural gas cut": "demo-natural-gas-cutting.csv",
    "propylene cut": "propylene.csv",
    "mps cut": "mps.csv",
    "butane cut": "butane.csv",
    "hydrogen cut": "hydrogen.csv",
}
_US_CHARTS = {
    "acetylene cut": "demo-acetylene-cutting-us.csv",
    "acetylene heat": "demo-acetylene-heating-us.csv",
    "lpg heat": "demo-lpg-heating-us.csv",
}
_MADE = {"made": "2024-03", "tested": "2026-06-10"}
_LIQUID_MARK = {
    "propylene": "propylene",
    "mps": "Y",
    "butane": "P",
    "propane": "P",
    "lpg": "P",
    "natural gas": "M",
    "hydrogen": "H",
    "acetylene": "A",
}
_HOSE_GRADE = {"propylene": "any fuel", "mps": "orange"}
_FUEL_SUPPLIES: dict[str, Table] = {
    "acetylene": {"content": "8 kg", "gross": "70.0 kg", "tare": "62.4 kg"},
    "propane": {"content": "47 kg", "gross": "90.0 kg", "tare": "45.0 kg"},
    "lpg": {"content": "45 kg", "gross": "88.0 kg", "tare": "45.0 kg", "composition": {"propane": "95 %", "butane": "5 %"}},
    "butane": {"content": "33 kg", "gross": "58.0 kg", "tare": "28.0 kg"},
    "propylene": {"content": "45 kg", "gross": "84.0 kg", "tare": "42.0 kg"},
    "mps": {"content": "45 kg", "gross": "84.0 kg", "tare": "42.0 kg"},
    "natural gas": {"kind": "pipeline", "pressure": "1.5 bar", "available_flow": "20 m3/h", "composition": {"methane": "95 %", "ethane": "5 %"}},
    "hydrogen": {"cylinders": 2, "water_volume": "50 L", "pressure": "160 bar", "reserve": "5 bar"},
}  # fmt: skip


def _regulators(fuel: str, work: str, us: bool) -> tuple[Table, Table]:
    """Oxygen's and the fuel's: two gauges that can show what this work takes."""
    weld = work == "weld"
    oxygen = (
        {
            "inlet_rating": "4000 psi",
            "outlet_rating": "150 psi",
            "rated_flow": "1500 CFH",
            "outlet_division": "2 psi",
            "outlet_scale": "200 psi",
        }
        if us
        else {
            "inlet_rating": "300 bar",
            "outlet_rating": "10 bar",
            "rated_flow": "45 m3/h",
            "outlet_division": "0.1 bar",
            "outlet_scale": "16 bar",
        }
    )
    if weld:
        oxygen |= {"outlet_rating": "2.5 bar", "rated_flow": "12 m3/h", "outlet_division": "0.02 bar", "outlet_scale": "4 bar"}
    gas = (
        {
            "inlet_rating": "400 psi",
            "outlet_rating": "15 psi",
            "rated_flow": "200 CFH",
            "outlet_division": "0.5 psi",
            "outlet_scale": "30 psi",
        }
        if us
        else {
            "inlet_rating": "25 bar",
            "outlet_rating": "1.5 bar",
            "rated_flow": "6 m3/h",
            "outlet_division": "0.02 bar",
            "outlet_scale": "2.5 bar",
        }
    )
    if fuel != "acetylene":
        gas |= {"outlet_rating": "2.5 bar", "rated_flow": "15 m3/h", "outlet_division": "0.02 bar", "outlet_scale": "4 bar"}
    if fuel == "hydrogen":
        gas |= {"inlet_rating": "300 bar"}
    both = _MADE | {"lockup": "15 %", "gauge_class": "1.6"}
    return {"gas": "oxygen"} | oxygen | both, {"gas": _LIQUID_MARK[fuel]} | gas | both


def _valve(kind: str, oxygen: bool, gas: str) -> Table:
    point = 'inlet = "5 bar", drop = "0.1 bar", flow = "22 m3/h"' if oxygen else 'inlet = "0.6 bar", drop = "0.02 bar", flow = "3.5 m3/h"'
    most, opens = ("16 bar", "10 mbar") if oxygen else ("5 bar", "5 mbar")
    return {"kind": kind, "gas": gas, "flow_points": f'[ {{ {point}, gas = "air" }} ]', "cracking": opens, "max_pressure": most} | _MADE


def _hose(grade: str, us: bool) -> Table:
    size: Table = (
        {"bore": "3/8 in", "length": "25 ft", "max_pressure": "200 psi"}
        if us
        else {"bore": "8 mm", "length": "10 m", "max_pressure": "20 bar"}
    )
    return {"kind": "hose", "grade": grade, "made": "2024-03"} | size


def _line(region: str, gas: str, grade: str, us: bool) -> list[Table]:
    oxygen = gas == "oxygen"
    parts = [_valve("arrestor", oxygen, gas), _hose(grade, us), _valve("check valve", oxygen, gas)]
    return [parts[1], parts[0]] if region in ("au", "nz") else parts  # there the arrestors sit at the torch


def _base(words: str) -> Table:
    region, _, rest = words.partition(" ")
    fuel, work, first, second = re.match(r"(.+) (cut|heat|weld) ([^,]+), (.+)", rest).groups()  # type: ignore[union-attr]
    us = region in ("us", "ca")
    charts = _CHARTS | (_US_CHARTS if us else {})
    oxygen, gas = _regulators(fuel, work, us)
    job: Table = {"kind": work} if work == "heat" else {"kind": work, "material": "low-carbon steel", "thickness": first}
    job |= {"length": second} if work == "cut" else {"time": second}
    grade = ("R" if fuel == "acetylene" else "T") if us else _HOSE_GRADE.get(fuel, fuel)
    return {
        "station": {"name": "", "region": region, "fuel": fuel, "ambient": "18 °C"},
        "oxygen": {
            "supply": {"capacity": "244 ft3", "pressure": "2000 psi"} if us else {"water_volume": "50 L", "pressure": "170 bar", "reserve": "5 bar"},
            "regulator": oxygen,
            "part": _line(region, "oxygen", "oxygen", us),
        },
        "fuel": {
            "supply": dict(_FUEL_SUPPLIES[fuel]),
            "regulator": gas,
            "part": _line(region, _LIQUID_MARK[fuel], grade, us),
        },
        "torch": {"attachment": {"cut": "cutting", "heat": "heating", "weld": "welding"}[work], "mixer": "equal pressure", "fuels": f'["{fuel}"]'},
        "tip": {"chart": charts[f"{fuel} {work}"]} | ({"size": first} if work == "heat" else {}),
        "job": job,
    }  # fmt: skip


_WHOLE: dict[str, Callable[[Table], Table]] = {  # what one path cannot say
    "oil": lambda station: {"declared": [{"kind": "oil", "where": "oxygen regulator inlet"}]},
    "adaptor": lambda station: {"declared": [{"kind": "adaptor", "where": "between acetylene cylinder and regulator"}]},
    "three hoses": lambda station: {"preheat_oxygen": deepcopy(station["oxygen"])},
}


def _part(line: list[Table], word: str) -> Table:
    kind, number = re.match(r"([a-z ]+)(\d*)", word).groups()  # type: ignore[union-attr]
    return [part for part in line if part["kind"] == kind][int(number or 1) - 1]


def _place(station: Table, path: list[str]) -> Table:
    table = station
    for word in path:
        table = _part(table["part"], word) if "part" in table and word not in table else table.setdefault(word, {})
    return table


def _but(station: Table, change: str) -> None:
    if change in _WHOLE:
        station |= _WHOLE[change](station)
    elif change[0] == "+":
        gas, word = change[1:].split(".")
        fuel = station["fuel"]["regulator"]["gas"] if gas == "fuel" else "oxygen"
        near = {"kind": word, "bore": "8 mm", "length": "2 m"} if word == "pipe" else {"kind": word, "max_pressure": "20 bar"}
        line = station[gas]["part"]
        if word in ("arrestor", "check valve"):
            near = _valve(word, gas != "fuel", fuel)
        line.append(dict(_part(line, word)) if word == "hose" else near)
    elif change[0] == "-":
        *path, last = change[1:].split(".")
        table = _place(station, path)
        if last in table:
            del table[last]
        else:
            table["part"].remove(_part(table["part"], last))
    else:
        name, value = change.split("=", 1)
        *path, last = name.split(".")
        _place(station, path)[last] = {} if value == "{ }" else value


_RAW = re.compile(r"\[.*|\{.*|true|false|\d+")
_NUMBERS = ("cylinders", "welders", "stages", "enclosed", "confined", "ship", "low_points")


def _toml(key: str, value: object) -> str:
    if isinstance(value, dict):
        return f"{key} = {{ " + ", ".join(f'{name} = "{share}"' for name, share in value.items()) + " }"
    text = str(value)
    raw = not isinstance(value, str) or text[0] in "[{" or (key in _NUMBERS and _RAW.fullmatch(text))
    return f"{key} = {text}" if raw else f'{key} = "{text}"'


def station_text(situation: Situation) -> str:
    """The station's file, as its owner would have written it."""
    station = _base(situation.base)
    for change in filter(None, (part.strip() for part in situation.but.split(";"))):
        _but(station, change)
    station["station"]["name"] = situation.where
    lines = ['format = "steadycone-station/1"']
    for name, table in station.items():
        if isinstance(table, list):
            lines += [line for row in table for line in (f"[[{name}]]", *(_toml(*pair) for pair in row.items()))]
        elif "part" not in table:
            lines += [f"[{name}]", *(_toml(*pair) for pair in table.items())]
        else:
            for room in ("supply", "regulator"):
                lines += [f"[{name}.{room}]", *(_toml(*pair) for pair in table[room].items())]
            for part in table["part"]:
                lines += [f"[[{name}.part]]", *(_toml(*pair) for pair in part.items())]
    return "\n".join(lines) + "\n"


def situations() -> tuple[Situation, ...]:
    """All of them, from the table beside this file."""
    rows = (line for line in TABLE.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#"))
    return tuple(Situation(*(cell.strip() for cell in row.split("|"))) for row in rows)


def card(situation: Situation) -> Card:
    """Its card on the day."""
    return make_card(setup_from_text(station_text(situation), "situation.toml", _chart), ON)


def _chart(name: str, limit: int, what: str) -> bytes:
    return OWN_CHARTS[name].encode() if name in OWN_CHARTS else (CHARTS / name).read_bytes()
