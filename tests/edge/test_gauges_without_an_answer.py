"""What stands on the gauges is held to caps and ratings also where the chart gives no answer and no flow can be told."""

import pytest
from tests import stations

from steadycone.card.card import Card

CAP_OVER, CAP_UNDER = "1.40 bar", "1.10 bar"  # on a 2.5 bar gauge of class 2.5, locked up by 10 %: 1.61 and 1.28 bar; the cap is 1.5


def _card(thickness: str, fuel: str, when: str = "flowing") -> Card:
    settings = f'[settings]\nwhen = "{when}"\noxygen = "3.5 bar"\nfuel = "{fuel}"'
    return stations.card(thickness=thickness, lockup="10 %", settings=settings)


def _verdicts(card: Card, code: str) -> list[str]:
    return [str(finding.verdict) for finding in card.findings if finding.code == code and finding.subject.endswith(", as set")]


@pytest.mark.parametrize("thickness", ["25 mm", "500 mm"])
def test_acetylene_over_its_cap_on_the_gauge_is_told_with_and_without_a_row(thickness: str) -> None:
    assert _verdicts(_card(thickness, CAP_OVER), "acetylene-pressure-static") == ["stop"]
    assert _verdicts(_card(thickness, CAP_UNDER), "acetylene-pressure-static") == ["go"]
    assert _verdicts(_card(thickness, "1.48 bar"), "acetylene-pressure-flowing") == ["stop"]
    assert _verdicts(_card(thickness, "1.40 bar"), "acetylene-pressure-flowing") == ["go"]


def test_without_a_row_ratings_are_held_too_and_no_flow_is_told() -> None:
    card = _card("500 mm", CAP_OVER)
    assert _verdicts(card, "regulator-closing") == ["stop", "go"]
    assert _verdicts(card, "regulator-range") == ["go", "go"]
    assert card.figures.as_set is None
    assert not _verdicts(card, "fuel-blocked")
    assert not _verdicts(card, "tip-starved")
    assert not _verdicts(card, "hose-choked")


def test_a_static_reading_is_what_it_shows() -> None:
    """Shut was read, so lock-up is in it: 1.40 bar and its gauge's 0.0625 are under 1.5."""
    assert _verdicts(_card("500 mm", "1.40 bar", "static"), "acetylene-pressure-static") == ["go"]
    assert _verdicts(_card("500 mm", "1.48 bar", "static"), "acetylene-pressure-static") == ["stop"]


def _blocked(rating: str) -> Card:
    """Oxygen far too high pushes the fuel back; the fuel hose is marked for little."""
    settings = '[settings]\nwhen = "flowing"\noxygen = "7.0 bar"\nfuel = "0.10 bar"'
    text = stations.station_text(settings=settings)
    before, after = text.split("[fuel.regulator]")
    text = before + "[fuel.regulator]" + after.replace('max_pressure = "20 bar"', f'max_pressure = "{rating}"')
    files = {"law.csv": stations.CHART}
    return stations.make_card(stations.setup_from_text(text, "law.toml", lambda name, limit, what: files[name].encode()), stations.ON)


@pytest.mark.parametrize(("rating", "verdict"), [("0.25 bar", "go"), ("0.20 bar", "stop")])
def test_the_parts_of_a_blocked_line_are_held_to_their_marks(rating: str, verdict: str) -> None:
    """0.10 bar and its gauge's 0.0625 lock up by 30 % to 0.21 bar."""
    card = _blocked(rating)
    assert card.figures.as_set is not None
    assert card.figures.as_set.lines["fuel"].state == "blocked"
    [found] = [one for one in card.findings if one.code == "part-pressure" and one.subject == "fuel part 2 (hose), as set"]
    assert found.verdict == verdict
