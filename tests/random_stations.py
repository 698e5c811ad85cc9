"""Random station files that a yard might hold: ordinary ones, and ones with something wrong. Texts, as a person would write them.

Every call with the same number gives the same station. Values are drawn wide on purpose: rules must be met on both sides.
"""

import os
import random
from datetime import date
from pathlib import Path

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.errors import InputError
from steadycone.files.read import setup_from_text
from steadycone.station.setup import Setup

ON = date(2026, 11, 25)
CHARTS = Path(__file__).parent.parent / "examples" / "charts"
# fuel: charts by attachment, and the grade and marks of its hose
_CHARTS = {
    ("acetylene", "cutting"): "demo-acetylene-cutting.csv",
    ("acetylene", "heating"): "demo-acetylene-heating.csv",
    ("acetylene", "welding"): "demo-acetylene-welding.csv",
    ("propane", "cutting"): "demo-propane-cutting.csv",
    ("lpg", "heating"): "demo-lpg-heating.csv",
    ("natural gas", "cutting"): "demo-natural-gas-cutting.csv",
}
_SIZES = {"heating": ("H1", "H2", "H3", "H4"), "lpg": ("L1", "L2", "L3", "L4")}
_REGIONS = ("uk", "eu", "us", "ca", "au", "nz")


def station_text(seed: int) -> str:
    """One station file."""
    rng = random.Random(seed)
    fuel, attachment = rng.choice(list(_CHARTS))
    region = rng.choice(_REGIONS)
    lines = ['format = "steadycone-station/1"', "", "[station]", f'name = "Skerry yard {seed}"', f'region = "{region}"', f'fuel = "{fuel}"']
    if rng.random() < 0.8:
        lines.append(f'ambient = "{rng.randint(-15, 52)} °C"')
    if rng.random() < 0.2:
        lines.append(rng.choice((f'altitude = "{rng.randint(100, 3500)} m"', f'atmosphere = "{rng.uniform(0.6, 3):.2f} bar abs"')))
    if rng.random() < 0.15:
        lines.append(f'test_pressure_fuel = "{rng.uniform(0.05, 1.2):.2f} bar"')
    lines += _place(rng)
    lines += _line(rng, "oxygen", "oxygen", fuel) + _line(rng, "fuel", fuel, fuel)
    lines += ["[torch]", f'attachment = "{attachment}"']
    if rng.random() < 0.8:
        lines.append(f'fuels = ["{fuel}"]')
    if rng.random() < 0.5:
        lines.append(f'mixer = "{rng.choice(("equal pressure", "injector", "nozzle mix"))}"')
    lines += ["[tip]", f'chart = "{_CHARTS[fuel, attachment]}"']
    if attachment == "heating":
        lines.append(f'size = "{rng.choice(_SIZES["lpg" if fuel == "lpg" else "heating"])}"')
    lines += _job(rng, attachment) + _settings(rng, fuel)
    return "\n".join(lines) + "\n"


def many(usual: int) -> int:
    """How many a law tries: the usual number, times what `make soak` asks for."""
    return usual * int(os.environ.get("STEADYCONE_FUZZ", "1"))


def setup(seed: int) -> Setup:
    return setup_from_text(station_text(seed), f"random-{seed}.toml", lambda name, limit, what: (CHARTS / name).read_bytes())


def card(seed: int, *, draft: bool = True) -> Card | None:
    """The card of one of them; None where the reader refuses the file, which it says in one message."""
    try:
        return make_card(setup(seed), ON, draft=draft)
    except InputError:
        return None


def _place(rng: random.Random) -> list[str]:
    if rng.random() > 0.2:
        return []
    return ["[place]", "enclosed = true", *([f'volume = "{rng.choice((8, 30, 120, 900))} m3"'] if rng.random() < 0.7 else [])]


def _line(rng: random.Random, name: str, gas: str, fuel: str) -> list[str]:
    return [f"[{name}.supply]", *_supply(rng, gas), f"[{name}.regulator]", *_regulator(rng, gas), *_parts(rng, name, gas)]


def _supply(rng: random.Random, gas: str) -> list[str]:
    shared = [f'shared_flow = "{rng.uniform(0, 6):.1f} m3/h"'] if rng.random() < 0.15 else []
    if gas == "natural gas" or rng.random() < 0.15:
        least = 0.05 if gas == "natural gas" else 0.6
        pressure = rng.uniform(least, 12 if gas == "oxygen" else 1.4)
        return ['kind = "pipeline"', f'pressure = "{pressure:.2f} bar"', f'available_flow = "{rng.uniform(1, 60):.0f} m3/h"', *shared]
    found = [f"cylinders = {rng.choice((1, 1, 1, 2, 4))}", *shared]
    if gas == "oxygen":
        return [*found, 'water_volume = "50 L"', f'pressure = "{rng.uniform(8, 200):.0f} bar"']
    content, tare = (8, 62.4) if gas == "acetylene" else (rng.choice((11, 18, 47)), 20.0)
    return [*found, f'content = "{content} kg"', f'gross = "{tare + rng.uniform(0.3, content):.1f} kg"', f'tare = "{tare} kg"']


def _regulator(rng: random.Random, gas: str) -> list[str]:
    outlet = {"oxygen": (4, 6, 10, 16), "acetylene": (1.5,)}.get(gas, (2.5, 4))
    inlet = "300 bar" if gas == "oxygen" else "25 bar"
    flow = rng.choice((3, 8, 20, 40)) if gas != "acetylene" else rng.choice((1, 3, 5, 10))
    found = [
        f'gas = "{gas}"',
        f'outlet_rating = "{rng.choice(outlet)} bar"',
        f'made = "{_made(rng)}"',
        f'tested = "{_tested(rng)}"',
    ]
    if rng.random() < 0.9:
        found += [f'inlet_rating = "{inlet}"', f'rated_flow = "{flow} m3/h"']
    if rng.random() < 0.5:
        found += [f'lockup = "{rng.randint(5, 35)} %"', f'outlet_division = "{rng.choice((0.02, 0.05, 0.1, 0.2))} bar"']
    if rng.random() < 0.3:
        found.append("stages = 2")
    return found


def _parts(rng: random.Random, name: str, gas: str) -> list[str]:
    found: list[str] = []
    if rng.random() < 0.9:
        found += _valve(rng, name, gas, "arrestor")
    grade = {"oxygen": "oxygen", "acetylene": "acetylene"}.get(gas, "propane")
    for _ in range(rng.choice((1, 1, 1, 2))):
        bore, length = rng.choice((4, 5, 6.3, 6.3, 8, 10)), rng.choice((3, 5, 10, 15, 20, 30, 60))
        found += [f"[[{name}.part]]", 'kind = "hose"', f'grade = "{grade}"', f'bore = "{bore} mm"', f'length = "{length} m"']
        found += ['max_pressure = "20 bar"', f'made = "{_made(rng)}"']
    if rng.random() < 0.7:
        found += _valve(rng, name, gas, "check valve")
    return found


def _valve(rng: random.Random, name: str, gas: str, kind: str) -> list[str]:
    inlet, drop, flow = ("5 bar", 0.1, 20) if gas == "oxygen" else ("0.6 bar", 0.03, 2.4)
    found = [f"[[{name}.part]]", f'kind = "{kind}"', f'gas = "{gas}"', f'made = "{_made(rng)}"', f'tested = "{_tested(rng)}"']
    if rng.random() < 0.7:
        point = (
            f'inlet = "{inlet}", drop = "{drop * rng.uniform(0.8, 3):.3f} bar", flow = "{flow * rng.uniform(0.3, 2):.2f} m3/h", gas = "air"'
        )
        found.append(f"flow_points = [ {{ {point} }} ]")
    if rng.random() < 0.8:
        found.append(f'max_pressure = "{rng.choice((12, 16, 5) if gas == "oxygen" else (1.5, 5))} bar"')
    return found


def _job(rng: random.Random, attachment: str) -> list[str]:
    kind = {"cutting": "cut", "heating": "heat", "welding": "weld"}[attachment]
    if kind == "heat":
        return ["[job]", 'kind = "heat"', f'time = "{rng.choice((5, 20, 60, 240))} min"']
    thickness = rng.choice((4, 8, 15, 25, 40, 80)) if kind == "cut" else rng.choice((1, 2, 3, 5))
    found = ["[job]", f'kind = "{kind}"', 'material = "low-carbon steel"', f'thickness = "{thickness} mm"']
    if kind == "weld":
        return [*found, f'time = "{rng.choice((10, 60, 200))} min"']
    return [*found, f'length = "{rng.choice((0.5, 3, 8, 40))} m"', f'start = "{rng.choice(("edge", "pierce"))}"']


def _settings(rng: random.Random, fuel: str) -> list[str]:
    if rng.random() > 0.3:
        return []
    low = 0.2 if fuel == "natural gas" else 0.5
    oxygen, gas = rng.uniform(0.3, 6), rng.uniform(0.5, 2) * low
    return ["[settings]", f'when = "{rng.choice(("flowing", "static"))}"', f'oxygen = "{oxygen:.1f} bar"', f'fuel = "{gas:.2f} bar"']


def _made(rng: random.Random) -> str:
    return f"{2019 if rng.random() < 0.05 else rng.randint(2022, 2024)}-{rng.randint(1, 12):02d}"


def _tested(rng: random.Random) -> str:
    return f"2025-{rng.randint(1, 12):02d}" if rng.random() < 0.1 else f"2026-{rng.randint(1, 11):02d}"
