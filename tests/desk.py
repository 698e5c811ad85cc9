"""The command as a user runs it, in this process: `steadycone calc NAME KEY=VALUE... --json` and `steadycone card FILE --json`."""

import json
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from steadycone.cli.calc import calc as calc_command
from steadycone.cli.card import card as card_command

PSI, CUBIC_FOOT, POUND = 6894.757293168, 0.028316846592, 0.45359237
SIXTY_F = "15.5556 °C, 1.01353 bar"  # 60 °F and 14.7 psi, the state of most pipe tables of the United States


def calc(sheet: str, **pairs: object) -> dict[str, Any]:
    """The answer of one worksheet, by its JSON."""
    done = CliRunner().invoke(calc_command, [sheet, *(f"{key}={value}" for key, value in pairs.items()), "--json"])
    assert done.exit_code == 0, f"{done.output}{done.exception!r}"
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def card_of(folder: Path, station: str, chart: str, *, on: str = "2026-11-25") -> dict[str, Any]:
    """The card of a station file, by its JSON, whatever its verdict (a stop leaves with 3)."""
    (folder / "law.csv").write_text(chart, encoding="utf-8")
    (folder / "station.toml").write_text(station, encoding="utf-8")
    done = CliRunner().invoke(card_command, [str(folder / "station.toml"), "--json", "--on", on])
    assert done.exit_code in (0, 3), f"{done.output}{done.exception!r}"
    found: dict[str, Any] = json.loads(done.stdout)
    return found
