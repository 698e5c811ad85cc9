"""Where other torches join a line, what it then carries there, and what is judged of it."""

import pytest
from tests.edge.render_samples import changed
from tests.stations import CHART, ON, station_text

from steadycone.assembly.sharing import shared_parts
from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.errors import InputError
from steadycone.files.read import setup_from_text
from steadycone.physics.flow import Hose, Shared, stream_of
from steadycone.physics.flow.line import Line, march_down, march_up
from steadycone.physics.gas import load
from steadycone.practice.finding import Finding

OWN = 3.70 + 0.33  # m³/h of oxygen that the chart's row 3 asks for


def shared(flow: str, at: str | None, rated: str = "30 m3/h", kind: str = "", settings: str = "") -> Card:
    """The law bench with other torches on its oxygen."""
    stated = f'shared_flow = "{flow}"\n' + (f'shared_at = "{at}"\n' if at else "") + kind
    text = station_text(settings=settings).replace('pressure = "140 bar"\n', f'pressure = "140 bar"\n{stated}', 1)
    text = text.replace('rated_flow = "30 m3/h"', f'rated_flow = "{rated}"', 1)
    return make_card(setup_from_text(text, "law.toml", lambda name, limit, what: CHART.encode()), ON)


def finding(card: Card, code: str, subject: str = "oxygen regulator") -> Finding:
    return next(found for found in card.findings if (found.code, found.subject) == (code, subject))


def end(card: Card, what: str) -> float:
    high = getattr(card.figures.lines["oxygen"], what).high
    assert high is not None
    return float(high) / 1e5


@pytest.mark.parametrize("at", ["regulator", "hose", None])
def test_two_torches_overdraw_the_regulator_that_one_does_not(at: str | None) -> None:
    # 4.01 of 11.01 bar abs of 14 m³/h: 5.1; one torch takes 4.1 at most, two take 8
    assert finding(shared("0 m3/h", at, "14 m3/h"), "regulator-flow").verdict == "go"
    two = finding(shared(f"{OWN} m3/h", at, "14 m3/h"), "regulator-flow")
    assert two.verdict == "stop"
    assert two.text == ("stop shared" if at else "stop unplaced")


def test_others_with_a_regulator_of_their_own_do_not_load_this_one() -> None:
    card = shared(f"{OWN} m3/h", "cylinder", "14 m3/h")
    assert finding(card, "regulator-flow").verdict == "go"
    assert finding(card, "shared-draw", "oxygen supply").verdict == "go"


@pytest.mark.parametrize(("more", "expected"), [("5.9 m3/h", "go"), ("6.2 m3/h", "stop")])
def test_the_limit_is_the_flow_of_both(more: str, expected: str) -> None:
    # 28 m³/h at 10 bar is 10.2 at 3.0 bar: 4.1 of its own, so 6.1 is left
    assert finding(shared(more, "regulator", "28 m3/h"), "regulator-flow").verdict == expected


def test_as_set_both_are_counted() -> None:
    settings = '[settings]\nwhen = "flowing"\noxygen = "3.2 bar"\nfuel = "0.52 bar"\n'
    for more, expected in (("3 m3/h", "go"), ("7 m3/h", "stop")):
        card = shared(more, "regulator", "28 m3/h", settings=settings)
        assert finding(card, "regulator-flow", "oxygen regulator, as set").verdict == expected


def test_a_place_that_is_not_stated_is_a_caution_on_cylinders_only() -> None:
    assert finding(shared("1 m3/h", None), "shared-draw", "oxygen supply").text == "unplaced"
    assert finding(shared("1 m3/h", None), "shared-draw", "oxygen supply").verdict == "caution"
    on_manifold = shared("1 m3/h", None, kind='kind = "manifold"\n')
    assert finding(on_manifold, "shared-draw", "oxygen supply").verdict == "go"
    assert "shared-draw" not in {found.code for found in shared("0 m3/h", None).findings}


def test_the_arrestor_and_the_hose_carry_what_passes_them() -> None:
    alone, at_regulator, at_hose = (shared(f"{OWN} m3/h", at) for at in ("cylinder", "regulator", "hose"))
    assert end(at_regulator, "loss_parts") > 2 * end(alone, "loss_parts")
    assert end(at_regulator, "loss_hoses") == pytest.approx(end(alone, "loss_hoses"))
    assert end(at_hose, "loss_hoses") > 2.5 * end(alone, "loss_hoses")  # twice the flow, nearly four times the loss
    assert end(at_hose, "flowing") > end(at_regulator, "flowing") > end(alone, "flowing")


@pytest.mark.parametrize(("at", "count"), [("cylinder", 0), (None, 0), ("regulator", 1), ("hose", 2)])
def test_the_parts_that_are_shared(at: str | None, count: int) -> None:
    assert shared_parts(shared("1 m3/h", at).figures.lines["oxygen"].line) == count


def test_a_shared_part_loses_what_it_would_at_the_flow_of_both() -> None:
    gas = stream_of(load("oxygen"), 288.15)
    hose, flow, others = Hose(gas, 6.3e-3, 20.0, 1e-5, 6.0), 1.5e-3, 1.1e-3
    line = Line((Shared(hose, others), hose))
    both = march_up(line, 4e5, flow)
    between = march_up(Line((hose,)), 4e5, flow).inlet
    assert both.pressures[1] == pytest.approx(between)
    assert both.inlet == pytest.approx(march_up(Line((hose,)), between, flow + others).inlet)
    assert march_down(line, both.inlet, flow).outlet == pytest.approx(4e5, rel=1e-9)
    step = 1e-7
    slope = (Shared(hose, others).upstream(between, flow + step) - Shared(hose, others).upstream(between, flow - step)) / (2 * step)
    assert Shared(hose, others).upstream_slopes(between, flow)[2] == pytest.approx(slope, rel=1e-5)


def test_shared_at_needs_the_flow_that_is_shared() -> None:
    text = station_text().replace('pressure = "140 bar"\n', 'pressure = "140 bar"\nshared_at = "regulator"\n', 1)
    with pytest.raises(InputError, match="needed beside shared_at") as caught:
        setup_from_text(text, "law.toml", lambda name, limit, what: b"")
    assert "oxygen.supply, shared_flow" in str(caught.value)


def test_a_word_that_is_no_place_is_refused_with_the_words() -> None:
    text = station_text().replace('pressure = "140 bar"\n', 'pressure = "140 bar"\nshared_flow = "1 m3/h"\nshared_at = "torch"\n', 1)
    with pytest.raises(InputError, match="one of: cylinder, regulator, hose"):
        setup_from_text(text, "law.toml", lambda name, limit, what: b"")


def test_the_examples_that_share_a_pipe_or_a_tank_stay_as_they_were() -> None:
    for name in ("gantry-three-hose", "plate-shop-natural-gas-eu"):
        drawn = [found for found in changed(name).findings if found.code == "shared-draw"]
        assert drawn
        assert all(found.verdict == "go" and found.text == "" for found in drawn)
