"""Worked situations of our own: what a competent lead hand would conclude, and the arithmetic behind it."""

from datetime import date
from pathlib import Path

import pytest

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text
from steadycone.practice.finding import Finding

ON = date(2026, 11, 25)
HEAD = "size,thickness from [mm],thickness to [mm],oxygen pressure [bar],fuel pressure [bar],cutting oxygen [m3/h],preheat oxygen [m3/h],fuel flow [m3/h]\n"


def card_of(station: str, chart: str) -> Card:
    return make_card(setup_from_text(station, "case.toml", lambda name, limit, what: chart.encode()), ON)


def found(card: Card, code: str) -> list[Finding]:
    return [finding for finding in card.findings if finding.code == code]


def gear(line: str, gas: str, bore: str, length: str, rating: str, psi: bool = False) -> str:
    most = "300 psi" if psi else "20 bar"
    return f"""
[{line}.regulator]
gas = "{gas}"
inlet_rating = "{"4000 psi" if psi else "300 bar"}"
outlet_rating = "{rating}"
rated_flow = "60 m3/h"
outlet_division = "{"1 psi" if psi else "0.05 bar"}"
made = "2024-05"
tested = "2026-05"
[[{line}.part]]
kind = "arrestor"
gas = "{gas}"
flow_points = [ {{ inlet = "5 bar", drop = "0.2 bar", flow = "40 m3/h", gas = "air" }} ]
made = "2024-05"
tested = "2026-05"
[[{line}.part]]
kind = "hose"
grade = "{gas if not psi else ("T" if line == "fuel" else "oxygen")}"
bore = "{bore}"
bore_tolerance = "0.001 mm"
length = "{length}"
max_pressure = "{most}"
made = "2024-05"
[[{line}.part]]
kind = "check valve"
gas = "{gas}"
flow_points = [ {{ inlet = "5 bar", drop = "0.1 bar", flow = "40 m3/h", gas = "air" }} ]
made = "2024-05"
tested = "2026-05"
"""


def test_a_fabrication_shop_sets_about_3_2_and_0_5_bar_and_may_go() -> None:
    # 25 mm plate, 15 m of 6.35 mm hose, 3.0 bar and 4 m3/h oxygen, 0.5 bar and 0.3 m3/h acetylene at the tip.
    station = (
        """format = "steadycone-station/1"
[station]
name = "Tern Quay, plate shop"
region = "uk"
fuel = "acetylene"
[oxygen.supply]
water_volume = "50 L"
pressure = "180 bar"
[fuel.supply]
content = "8 kg"
gross = "69.8 kg"
tare = "62.0 kg"
"""
        + gear("oxygen", "oxygen", "6.35 mm", "15 m", "10 bar")
        + gear("fuel", "acetylene", "6.35 mm", "15 m", "1.5 bar")
        + """
[torch]
attachment = "cutting"
fuels = ["acetylene"]
[tip]
chart = "shop.csv"
[job]
kind = "cut"
material = "low-carbon steel"
thickness = "25 mm"
time = "20 min"
"""
    )
    chart = "# fuel: acetylene\n# attachment: cutting\n# basis: torch inlet\n" + HEAD + "3,20,30,3.0,0.5,3.67,0.33,0.30\n"
    card = card_of(station, chart)
    oxygen, fuel = card.figures.lines["oxygen"], card.figures.lines["fuel"]
    # Our arithmetic, of an exact bore: 0.18 bar, 0.15 to 0.21. The ends move by 0.01 for chart rounding and tails.
    assert oxygen.loss_hoses.value == pytest.approx(0.18e5, abs=0.015e5)
    assert oxygen.loss_hoses.low == pytest.approx(0.15e5, abs=0.015e5)
    assert oxygen.loss_hoses.high == pytest.approx(0.21e5, abs=0.015e5)
    assert fuel.loss_hoses.high is not None
    assert fuel.loss_hoses.high < 0.01e5
    assert oxygen.set_pressure.value == pytest.approx(3.2e5, abs=0.051e5)  # one mark of the gauge
    assert fuel.set_pressure.value == pytest.approx(0.5e5, abs=0.051e5)
    assert fuel.static.high is not None
    assert fuel.static.high < 1.5e5
    assert card.verdict == "go", [(f.code, f.subject) for f in card.findings if f.verdict != "go"]


def thin_hose(bore: str) -> Card:
    station = (
        """format = "steadycone-station/1"
[station]
name = "Tern Quay, far slip"
region = "us"
fuel = "acetylene"
[oxygen.supply]
capacity = "244 ft3"
[fuel.supply]
cylinders = 8
capacity = "330 ft3"
"""
        + gear("oxygen", "oxygen", "3/8 in", "100 ft", "100 psi", psi=True)
        + gear("fuel", "acetylene", bore, "100 ft", "15 psi", psi=True)
        + """
[torch]
attachment = "heating"
fuels = ["A"]
[tip]
chart = "heads.csv"
size = "8"
[job]
kind = "heat"
time = "30 min"
"""
    )
    chart = "# fuel: acetylene\n# attachment: heating\n# basis: torch inlet\nsize,oxygen pressure [bar],fuel pressure [bar],preheat oxygen [m3/h],fuel flow [m3/h]\n8,1.5,0.50,3.30,3.00\n"
    return card_of(station, chart)


def test_a_thin_long_hose_pushes_acetylene_over_the_us_cap_and_a_wider_one_does_not() -> None:
    # 3 m3/h acetylene at 0.5 bar through 100 ft of 3/16 in: 1.24 bar lost (1.06 to 1.46), 1.74 at the regulator.
    card = thin_hose("3/16 in")
    fuel = card.figures.lines["fuel"]
    assert fuel.loss_hoses.value == pytest.approx(1.24e5, rel=0.03)
    assert fuel.loss_hoses.low == pytest.approx(1.06e5, rel=0.05)
    assert fuel.loss_hoses.high == pytest.approx(1.46e5, rel=0.05)
    assert fuel.flowing.value == pytest.approx(1.74e5, rel=0.03)
    assert [finding.verdict for finding in found(card, "acetylene-pressure-flowing")] == ["stop"]
    assert card.verdict == "stop"
    wider = thin_hose("9.5 mm").figures.lines["fuel"]
    assert wider.loss_hoses.value == pytest.approx(0.05e5, abs=0.01e5)
    assert [finding.verdict for finding in found(thin_hose("9.5 mm"), "acetylene-pressure-flowing")] == ["go"]


def frosty(cylinders: int) -> Card:
    text = (Path(__file__).parents[2] / "examples" / "rail-depot-us.toml").read_text(encoding="utf-8")
    assert "cylinders = 1" in text
    folder = Path(__file__).parents[2] / "examples"
    return make_card(
        setup_from_text(
            text.replace("cylinders = 1", f"cylinders = {cylinders}"), "rail.toml", lambda name, limit, what: (folder / name).read_bytes()
        ),
        ON,
    )


def test_one_part_empty_cylinder_in_frost_evaporates_about_a_quarter_of_what_a_rail_heater_wants() -> None:
    # 312,000 Btu/h is 6.6 kg/h; one cylinder evaporates a quarter of it, four just cover, five and more hold.
    card = frosty(1)
    fuel = card.figures.lines["fuel"].supply
    molar_mass = card.figures.fuel.molar_mass
    assert fuel.drawn.value is not None
    assert fuel.vaporisation is not None
    assert fuel.vaporisation.value is not None
    assert fuel.drawn.value * molar_mass * 3600 == pytest.approx(6.6, rel=0.02)
    assert fuel.vaporisation.value / fuel.drawn.value == pytest.approx(0.25, abs=0.05)  # "a quarter", our own arithmetic
    assert [finding.verdict for finding in found(card, "lpg-vaporisation")] == ["stop"]
    needed = card.needs["fuel"].cylinders_needed
    assert needed is not None
    assert needed >= 5
    assert [finding.verdict for finding in found(frosty(needed), "lpg-vaporisation")] == ["go"]
