"""The program's card beside the judge's, finding by finding."""

from dataclasses import dataclass, field

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.errors import InputError
from steadycone.files.read import setup_from_text
from tests.judge.court import RANK, Court
from tests.judge.judge import judge
from tests.judge.stations import Put


@dataclass
class Tally:
    """What came of many stations."""

    stations: int = 0
    rulings: int = 0
    near: int = 0
    compared: int = 0  # figures
    by_code: dict[str, int] = field(default_factory=dict)
    softer: list[str] = field(default_factory=list)
    harder: list[str] = field(default_factory=list)
    figures: list[str] = field(default_factory=list)


def card_of(given: Put) -> Card | None:
    files = {given.chart_name: given.chart, "site.toml": given.policy or ""}
    try:
        return make_card(setup_from_text(given.station, "put.toml", lambda name, limit, what: files[name].encode()), given.on, draft=True)
    except InputError:
        return None


def compare(given: Put, tally: Tally) -> None:
    """One station before both; what differs beyond the judge's zones goes into the tally."""
    card = card_of(given)
    if card is None:
        return
    court = judge(given.station, given.chart, given.policy, given.on)
    tally.stations += 1
    said = _said(card)
    for (code, subject), ruling in court.rulings.items():
        have = said.get((code, subject), "go")
        tally.rulings += 1
        tally.by_code[code] = tally.by_code.get(code, 0) + 1
        tally.near += ruling.least != ruling.most
        line = f"{given.seed}: {code} ({subject}): card {have}, judge {ruling.verdict} ({ruling.value} against {ruling.limit})"
        if RANK[have] < RANK[ruling.least]:
            tally.softer.append(line)
        if RANK[have] > RANK[ruling.most]:
            tally.harder.append(line)
    least = max((ruling.least for ruling in court.rulings.values()), key=RANK.__getitem__)
    if RANK[card.verdict] < RANK[least]:
        tally.softer.append(f"{given.seed}: the whole card: {card.verdict}, judge {least}")
    _figures(given, card, court, tally)


def _said(card: Card) -> dict[tuple[str, str], str]:
    said: dict[tuple[str, str], str] = {}
    for finding in card.findings:
        verdict = str(finding.verdict)
        key = finding.code, finding.subject
        said[key] = max(said.get(key, "go"), verdict, key=RANK.__getitem__)
    return said


def _figures(given: Put, card: Card, court: Court, tally: Tally) -> None:
    """Figures in the unit of the program's own quantities: gauge pascals, mol, s."""
    for line in ("oxygen", "fuel"):
        have = card.figures.lines[line]
        for name, band in ((name, court.figures.get(f"{line}.{name}")) for name in ("flowing", "set_pressure", "static")):
            if band is None:
                continue
            got = getattr(have, name)
            if got.value is None:  # a chart's figure that is suspect is no setting
                continue
            for end in ("value", "low", "high"):
                mine, theirs = getattr(band, end), getattr(got, end)
                tally.compared += 1
                if theirs is None or abs(mine - theirs) > court.zones.get(f"{line}.{name}", 0.01) * (abs(mine) + 2e4):
                    tally.figures.append(f"{given.seed}: {line} {name} {end}: card {theirs}, judge {mine}")
