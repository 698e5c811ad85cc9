"""Twelve sound stations, two in each region: nothing is open on them, so each is a plain go.

They are written as their owners would, in their own units. What is not said is what such a station need not say.
"""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text

ON = date(2026, 11, 25)
CHARTS = Path(__file__).parent.parent / "examples" / "charts"
COMMON = """format = "steadycone-station/1"
[station]
name = "{name}"
region = "{region}"
fuel = "{fuel}"
ambient = "{ambient}"
[oxygen.supply]
{oxygen}
[oxygen.regulator]
gas = "oxygen"
{oxygen_regulator}
made = "2024-06"
tested = "2026-06-15"
{oxygen_parts}
[fuel.supply]
{fuel_supply}
[fuel.regulator]
gas = "{fuel}"
{fuel_regulator}
made = "2024-06"
tested = "2026-06-15"
{fuel_parts}
[torch]
attachment = "{attachment}"
mixer = "equal pressure"
fuels = ["{fuel}"]
[tip]
chart = "{chart}"
{tip}
[job]
{job}
"""
VALVE = """[[{line}.part]]
kind = "{kind}"
gas = "{gas}"
flow_points = [ {{ inlet = "{inlet}", drop = "{drop}", flow = "{flow}", gas = "air" }} ]
cracking = "{cracking}"
max_pressure = "{most}"
made = "2024-06"
tested = "2026-06-15"
"""
HOSE = """[[{line}.part]]
kind = "hose"
grade = "{grade}"
bore = "{bore}"
length = "{length}"
max_pressure = "{most}"
made = "2024-06"
"""
METRIC = {
    "oxygen": 'water_volume = "50 L"\npressure = "150 bar"\nreserve = "5 bar"',
    "oxygen_regulator": 'inlet_rating = "300 bar"\noutlet_rating = "10 bar"\nrated_flow = "40 m3/h"\nlockup = "15 %"\n'
    'inlet_division = "2 bar"\noutlet_division = "0.1 bar"\noutlet_scale = "16 bar"',
    # welding takes a few tenths of a bar: on a 16 bar gauge nobody could set them
    "welding_regulator": 'inlet_rating = "300 bar"\noutlet_rating = "4 bar"\nrated_flow = "15 m3/h"\nlockup = "15 %"\n'
    'inlet_division = "2 bar"\noutlet_division = "0.05 bar"\noutlet_scale = "6 bar"',
    "acetylene": 'content = "8 kg"\ngross = "69.8 kg"\ntare = "62.4 kg"',
    "acetylene_regulator": 'inlet_rating = "25 bar"\noutlet_rating = "1.5 bar"\nrated_flow = "6 m3/h"\nlockup = "15 %"\n'
    'outlet_division = "0.02 bar"\noutlet_scale = "2.5 bar"\ngauge_class = "1.6"',
    "propane": 'content = "47 kg"\ngross = "88.0 kg"\ntare = "45.0 kg"',
    "propane_regulator": 'inlet_rating = "25 bar"\noutlet_rating = "4 bar"\nrated_flow = "8 m3/h"\nlockup = "15 %"\n'
    'outlet_division = "0.05 bar"\noutlet_scale = "6 bar"\ngauge_class = "1"',
}  # fmt: skip
US = {
    "oxygen": 'capacity = "244 ft3"\npressure = "2000 psi"\nreserve = "100 psi"',
    "oxygen_regulator": 'inlet_rating = "3000 psi"\noutlet_rating = "150 psi"\nrated_flow = "1500 CFH"\nlockup = "15 %"\n'
    'outlet_division = "1 psi"',
    "acetylene": 'capacity = "330 ft3"\ngross = "188.0 lb"\ntare = "168.0 lb"',
    "acetylene_regulator": 'inlet_rating = "400 psi"\noutlet_rating = "15 psi"\nrated_flow = "200 CFH"\nlockup = "15 %"\n'
    'outlet_division = "0.5 psi"\noutlet_scale = "30 psi"\ngauge_class = "2"',
    "propane": 'content = "100 lb"\ngross = "165.0 lb"\ntare = "70.0 lb"',
    "propane_regulator": 'inlet_rating = "400 psi"\noutlet_rating = "60 psi"\nrated_flow = "600 CFH"\nlockup = "15 %"\noutlet_division = "1 psi"',
}  # fmt: skip
_FLOWS = {  # inlet, drop, flow of air, opening pressure and most, of an arrestor or a valve on each gas
    ("metric", "oxygen"): ("5 bar", "0.1 bar", "20 m3/h", "10 mbar", "16 bar"),
    ("metric", "fuel"): ("0.6 bar", "0.02 bar", "3 m3/h", "5 mbar", "5 bar"),
    ("us", "oxygen"): ("60 psi", "1 psi", "900 CFH", "0.1 psi", "200 psi"),
    ("us", "fuel"): ("10 psi", "0.3 psi", "120 CFH", "0.05 psi", "60 psi"),
}


@dataclass(frozen=True)
class Sound:
    name: str
    region: str
    fuel: str
    attachment: str
    chart: str
    job: str
    tip: str = ""
    ambient: str = "15 °C"
    grade: str = ""  # of the fuel hose
    bore: str = "8 mm"
    length: str = "10 m"
    fuel_supply: str = ""


_CUT = 'kind = "cut"\nmaterial = "low-carbon steel"\nthickness = "{}"\nlength = "{}"'
_WELD = 'kind = "weld"\nmaterial = "low-carbon steel"\nthickness = "3 mm"\ntime = "30 min"'
SOUND = (
    Sound("Skerry dock, frame bay", "uk", "acetylene", "cutting", "demo-acetylene-cutting.csv", _CUT.format("15 mm", "4 m")),
    Sound("Skerry dock, boiler shed", "uk", "propane", "cutting", "demo-propane-cutting.csv", _CUT.format("20 mm", "4 m")),
    Sound("Werft Nord, Rohrbau", "eu", "acetylene", "welding", "demo-acetylene-welding.csv", _WELD, bore="6.3 mm", length="5 m"),
    Sound("Werft Nord, Halle 2", "eu", "propane", "cutting", "demo-propane-cutting.csv", _CUT.format("30 mm", "3 m")),
    Sound("Pier 9, plate rack", "us", "acetylene", "cutting", "demo-acetylene-cutting-us.csv", _CUT.format("1/2 in", "10 ft"), ambient="65 °F",
          grade="R", bore="3/8 in", length="25 ft"),
    Sound("Pier 9, burning table", "us", "propane", "cutting", "demo-propane-cutting.csv", _CUT.format("1 in", "10 ft"), ambient="70 °F",
          grade="T", bore="3/8 in", length="25 ft"),
    Sound("Inlet yard, slip A", "ca", "acetylene", "cutting", "demo-acetylene-cutting-us.csv", _CUT.format("3/8 in", "8 ft"), ambient="60 °F",
          grade="R", bore="3/8 in", length="25 ft"),
    Sound("Inlet yard, scrap berth", "ca", "propane", "cutting", "demo-propane-cutting.csv", _CUT.format("20 mm", "4 m"), ambient="55 °F",
          grade="T", bore="3/8 in", length="50 ft"),
    Sound("Cove slip, hull shop", "au", "acetylene", "cutting", "demo-acetylene-cutting.csv", _CUT.format("10 mm", "4 m")),
    Sound("Cove slip, hard stand", "au", "propane", "cutting", "demo-propane-cutting.csv", _CUT.format("40 mm", "3 m"), ambient="25 °C"),
    Sound("Sound wharf, pipe shop", "nz", "acetylene", "welding", "demo-acetylene-welding.csv", _WELD, bore="6.3 mm", length="5 m"),
    Sound("Sound wharf, stern gantry", "nz", "propane", "cutting", "demo-propane-cutting.csv", _CUT.format("25 mm", "4 m")),
)  # fmt: skip


def station_text(sound: Sound) -> str:
    """The station file of one of them."""
    us = sound.region in ("us", "ca")
    units = US if us else METRIC
    return COMMON.format(
        name=sound.name, region=sound.region, fuel=sound.fuel, ambient=sound.ambient, attachment=sound.attachment, chart=sound.chart,
        tip=sound.tip, job=sound.job, oxygen=units["oxygen"], oxygen_regulator=units["welding_regulator" if sound.attachment == "welding" else "oxygen_regulator"],
        fuel_supply=sound.fuel_supply or units[sound.fuel], fuel_regulator=units[f"{sound.fuel}_regulator"],
        oxygen_parts=_parts(sound, "oxygen", us), fuel_parts=_parts(sound, "fuel", us),
    )  # fmt: skip


def _parts(sound: Sound, line: str, us: bool) -> str:
    gas = "oxygen" if line == "oxygen" else sound.fuel
    inlet, drop, flow, cracking, most = _FLOWS["us" if us else "metric", line]
    valve = {"line": line, "gas": gas, "inlet": inlet, "drop": drop, "flow": flow, "cracking": cracking, "most": most}
    grade = gas if gas == "oxygen" else sound.grade or gas
    hose = HOSE.format(line=line, grade=grade, bore=sound.bore, length=sound.length, most="200 psi" if us else "20 bar")
    arrestor = VALVE.format(kind="arrestor", **valve)
    if sound.region in ("au", "nz"):  # there the arrestor is asked for at the torch
        return hose + arrestor
    return arrestor + hose + VALVE.format(kind="check valve", **valve)


def card(text: str) -> Card:
    return make_card(setup_from_text(text, "sound.toml", lambda name, limit, what: (CHARTS / name).read_bytes()), ON)
