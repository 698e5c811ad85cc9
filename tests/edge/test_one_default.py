"""A default stands in data/defaults.toml and nowhere else: change it there, and whatever takes it moves and ASSUMED prints it."""

import itertools
import json
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

from steadycone.data.reader import FOLDER

SRC = FOLDER.parent
ASKED = """
import json
from tests import stations
from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text
from steadycone.practice.hose import cure
from steadycone.render.json_card import card_dict
from steadycone.worksheets.run import answer

chart = stations.CHART.replace("torch inlet", "regulator\\n# basis hose: 10 m x 6.3 mm")
text = stations.station_text(length="60 m").replace('ambient = "15 °C"', "").replace('lockup = "30 %"', "")
text = text.replace('outlet_division = "0.1 bar"', "").replace("[oxygen.regulator]", "[oxygen.regulator]\\n")

def made(chart):
    return make_card(setup_from_text(text, "law.toml", lambda name, limit, what: chart.encode()), stations.ON)

card, other = made(stations.CHART), made(chart)
found = card.figures.lines["oxygen"]
told = card_dict(card, sealed=False)
cured = cure(card.figures, found)
calc = answer("hose", {"gas": "oxygen", "bore": "6.3 mm", "length": "15 m", "flow": "8 m3/h", "inlet": "4 bar"})
print(json.dumps({
    "assumed": {row["field"]: row["taken"] for row in told["assumed"]},
    "hoses": found.loss_hoses.high, "parts": found.loss_parts.high, "static": found.static.high, "wait": told["leak_test"]["watch"]["value"],
    "ambient": card.figures.ambient, "set": found.set_pressure.high, "calc": calc["loss_bar_high"], "trapped": found.proving.trapped_volume.high,
    "high": found.proving.high_volume.high, "chart hose": other.figures.lines["oxygen"].torch_inlet.value,
    "cure": cured.bore_loss.high if cured.bore_loss else None, "step": found.outlet_division,
}))
"""


@pytest.fixture(scope="module")
def before() -> dict[str, Any]:
    return asked(SRC.parent)


def asked(source: Path) -> dict[str, Any]:
    """What the program in a folder answers."""
    root = Path(__file__).parents[2]
    run = subprocess.run([sys.executable, "-c", ASKED], env={"PYTHONPATH": f"{source}:{root}"}, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr[-2000:]
    return dict(json.loads(run.stdout))


@pytest.mark.parametrize(
    ("old", "new", "field", "told", "moves"),
    [
        ("fittings = [0.0, 6.0, 8.0]", "fittings = [0.0, 9.0, 12.0]", "oxygen.part 2 (hose).fittings", "K 9, 0 to 12",
         {"hoses", "calc", "chart hose", "cure"}),
        ("roughness_mm = [0.0, 0.01, 0.03]", "roughness_mm = [0.0, 0.02, 0.06]", "oxygen.part 2 (hose).roughness", "0.02 mm, 0 to 0.06",
         {"hoses", "calc", "chart hose", "cure"}),
        ("arrestor = [0.75, 0.62, 0.45]", "arrestor = [0.7, 0.6, 0.4]", "oxygen.part 1 (arrestor).flow_points",
         "a sharp opening, its bore 0.6, 0.7 to 0.4 of the hose's", {"parts"}),
        ("coefficient = 0.6", "coefficient = 0.7", "oxygen.part 1 (arrestor).coefficient", "0.7", {"parts"}),
        ("opening_pressure_mbar = [5.0, 15.0, 40.0]", "opening_pressure_mbar = [6.0, 20.0, 60.0]", "oxygen.part 1 (arrestor).cracking",
         "20 mbar, 6 to 60", {"parts"}),
        ("lockup = 0.30", "lockup = 0.40", "oxygen.regulator.lockup", "40 %", {"static"}),
        ("gauge_class = 2.5", "gauge_class = 1.6", "oxygen.regulator.gauge_class", "1.6", {"set"}),
        ("divisions = 50 ", "divisions = 20 ", "oxygen.regulator.outlet_division", "scale / 20", {"step", "wait"}),
        ("high_volume_L = [0.01, 0.03, 0.03]", "high_volume_L = [0.01, 0.03, 0.2]", "oxygen.regulator.high_volume", "0.03 L, 0.01 to 0.2",
         {"high", "wait"}),
        ("low_volume_L = [0.03, 0.05, 0.1]", "low_volume_L = [0.03, 0.05, 0.9]", "oxygen.regulator.low_volume", "0.05 L, 0.03 to 0.9",
         {"trapped"}),
        ("temperature_c = 15.0\nsource", "temperature_c = 21.0\nsource", "station.ambient", "21 °C", {"ambient"}),
        ("band = [0.002, 0.018]", "band = [0.002, 0.012]", "oxygen.regulator.supply_effect", "0.7 %, 0.2 to 1.2", {"static"}),
        ("over_rating = 1.3", "over_rating = 1.2", "oxygen.regulator.closing_pressure", "12 bar", set()),
    ],
)  # fmt: skip
def test_a_changed_default_moves_all_that_takes_it_and_is_told(
    old: str, new: str, field: str, told: str, moves: set[str], before: dict[str, Any], tmp_path: Path
) -> None:
    shutil.copytree(SRC, tmp_path / "steadycone", ignore=shutil.ignore_patterns("__pycache__", "web", "records", "cli"))
    table = tmp_path / "steadycone/data/defaults.toml"
    text = table.read_text(encoding="utf-8")
    assert text.count(old) == 1
    table.write_text(text.replace(old, new), encoding="utf-8")
    after = asked(tmp_path)
    assert after["assumed"][field] == told
    assert before["assumed"][field] != told
    still = {name for name in moves if after[name] == before[name]}
    assert not still


def test_no_default_stands_in_the_code() -> None:
    """The bands of the table, whatever their order; a fiftieth; the gas constant but once."""
    found = []
    code = {path: path.read_text(encoding="utf-8") for path in sorted(SRC.rglob("*.py"))}
    for numbers in bands(tomllib.loads((FOLDER / "defaults.toml").read_text(encoding="utf-8"))):
        for order in itertools.permutations(numbers):
            wanted = re.compile(r"[(\[]\s*" + r"\s*,\s*".join(map(written, order)) + r"\s*[)\]]")
            found += [f"{path.relative_to(SRC)}: {order}" for path, text in code.items() if wanted.search(text)]
    found += [f"{path.relative_to(SRC)}: scale / 50" for path, text in code.items() if "scale / 50" in text]
    assert found == []
    assert [path.name for path, text in code.items() if "8.314" in text] == ["units.py"]


def bands(table: dict[str, Any]) -> list[list[float]]:
    """Every list of two or three numbers in the table, in millimetres and in metres."""
    found = []
    for value in table.values():
        if isinstance(value, dict):
            found += bands(value)
        elif isinstance(value, list) and len(value) in (2, 3) and all(isinstance(each, float) for each in value):
            found += [value, [each * 1e-3 for each in value]]
    return found


def written(number: float) -> str:
    """However it is written: 0.03, .03, 3e-2."""
    plain = {repr(number), f"{number:g}", f"{number:e}", re.sub(r"\.?0+e", "e", f"{number:e}").replace("e-0", "e-").replace("e+0", "e")}
    return "(?:" + "|".join(re.escape(each) for each in sorted(plain)) + ")"
