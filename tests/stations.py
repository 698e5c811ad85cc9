"""A station of the invented yard that laws turn the knobs of."""

from datetime import date

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text

ON = date(2026, 11, 25)
CHART = """# fuel: acetylene
# attachment: cutting
# basis: torch inlet
size,thickness from [mm],thickness to [mm],oxygen pressure [bar],fuel pressure [bar],cutting oxygen [m3/h],preheat oxygen [m3/h],fuel flow [m3/h],speed from [mm/min],speed to [mm/min]
3,20,35,3.0,0.5,3.70,0.33,0.30,300,400
4,35,60,3.5,0.5,6.50,0.42,0.38,220,300
"""
STATION = """
format = "steadycone-station/1"
[station]
name = "Tern Quay, law bench"
region = "{region}"
fuel = "acetylene"
ambient = "{ambient}"
{about}
[oxygen.supply]
water_volume = "50 L"
pressure = "{pressure}"
[oxygen.regulator]
gas = "oxygen"
inlet_rating = "300 bar"
outlet_rating = "{rating}"
rated_flow = "30 m3/h"
outlet_division = "0.1 bar"
made = "{made}"
{regulator}
[[oxygen.part]]
kind = "arrestor"
gas = "oxygen"
tested = "{tested}"
{arrestor}
[[oxygen.part]]
kind = "hose"
grade = "oxygen"
bore = "{bore}"
length = "{length}"
max_pressure = "20 bar"
made = "{made}"
[fuel.supply]
content = "8 kg"
gross = "{gross}"
tare = "62.4 kg"
[fuel.regulator]
gas = "acetylene"
inlet_rating = "25 bar"
outlet_rating = "1.5 bar"
rated_flow = "5 m3/h"
outlet_division = "0.05 bar"
lockup = "{lockup}"
made = "{made}"
[[fuel.part]]
kind = "arrestor"
gas = "acetylene"
tested = "{tested}"
[[fuel.part]]
kind = "hose"
grade = "acetylene"
bore = "{bore}"
length = "{length}"
max_pressure = "20 bar"
made = "{made}"
[torch]
attachment = "cutting"
fuels = ["acetylene"]
[tip]
chart = "law.csv"
[job]
kind = "cut"
material = "low-carbon steel"
thickness = "{thickness}"
length = "{cut}"
{settings}
"""
USUAL = {
    "region": "uk",
    "ambient": "15 °C",
    "about": "",
    "pressure": "140 bar",
    "rating": "10 bar",
    "bore": "6.3 mm",
    "length": "15 m",
    "gross": "69.4 kg",
    "lockup": "30 %",
    "made": "2024-05",
    "tested": "2026-05",
    "thickness": "25 mm",
    "cut": "8 m",
    "settings": "",
    "arrestor": "",
    "regulator": "",
}


def station_text(**changes: str) -> str:
    """The station file with some of its values changed; a value takes text with its unit."""
    return STATION.format(**USUAL | changes)


def card(policy: str = "", **changes: str) -> Card:
    """The card of the changed station, under a policy file's text where one is given."""
    if policy:
        changes["about"] = changes.get("about", "") + '\npolicy = "site.toml"'
    files = {"law.csv": CHART, "site.toml": 'format = "steadycone-policy/1"\n' + policy}
    return make_card(setup_from_text(station_text(**changes), "law.toml", lambda name, limit, what: files[name].encode()), ON)
