"""Arrestors and check valves of unknown flow: what is taken for them, and what the card says."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from tests import factories as bench

from steadycone.assembly.corner import corners
from steadycone.assembly.elements import element, flow_unknown, opening_pressure
from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.files.read import setup_from_text
from steadycone.physics.flow import Orifice, Resistance, stream_of
from steadycone.physics.gas import load
from steadycone.practice import arrestor, hose, part_flow
from steadycone.quantity import Quantity
from steadycone.station.parts import Arrestor, CheckValve, Coupling, Part, Valve
from steadycone.units import Conductance, Length, PressureDifference, Share

EXAMPLES = Path(__file__).parents[2] / "examples"
MBAR = 100.0
ACETYLENE = stream_of(load("acetylene"), 288.15)
TAKEN, KIND, UNKIND = corners()
CRACKING = PressureDifference.parse("8 mbar")


def clean_bench_card(change: Callable[[str], str]) -> Card:
    text = change((EXAMPLES / "clean-bench.toml").read_text(encoding="utf-8"))
    return make_card(setup_from_text(text, "bench.toml", lambda name, limit, what: (EXAMPLES / name).read_bytes()), date(2026, 11, 25))


@pytest.mark.parametrize("kind", [Arrestor, CheckValve])
def test_without_flow_figures_it_opens_at_fifteen_millibar_band_five_to_forty(kind: type[Arrestor] | type[CheckValve]) -> None:
    assert opening_pressure(kind()) == (5 * MBAR, 15 * MBAR, 40 * MBAR)
    made = [element(kind(), ACETYLENE, corner, 6.3e-3) for corner in (KIND, TAKEN, UNKIND)]
    almost_still = [part.upstream(1.5e5, 1e-9) - 1.5e5 for part in made]
    assert almost_still == pytest.approx([5 * MBAR, 15 * MBAR, 40 * MBAR], abs=0.1)
    lost = [part.upstream(1.5e5, 2e-4) for part in made]
    assert lost == sorted(lost), "kind costs least, unkind most"


@pytest.mark.parametrize("kind", [Arrestor, CheckValve])
def test_a_stated_opening_pressure_counts_with_any_figure_or_none(kind: type[Arrestor] | type[CheckValve]) -> None:
    figures: list[dict[str, object]] = [
        {},
        {"flow_points": (bench.FLOW_POINT,)},
        {"equivalent_bore": Length.parse("3 mm")},
        {"sonic_conductance": Conductance.parse("2 L/(s bar)"), "critical_ratio": Share.parse("0.3")},
    ]
    for figure in figures:
        made = element(kind(cracking=CRACKING, **figure), ACETYLENE, TAKEN, 6.3e-3)  # type: ignore[arg-type]
        assert made.upstream(1.5e5, 1e-9) - 1.5e5 == pytest.approx(8 * MBAR, abs=0.1)


@pytest.mark.parametrize("part", [Coupling(), Valve(), Arrestor(equivalent_bore=Length.parse("3 mm"))])
def test_a_part_without_a_spring_and_one_with_figures_stay_as_they_were(part: Part) -> None:
    assert not flow_unknown(part)
    assert isinstance(element(part, ACETYLENE, UNKIND, 6.3e-3), Orifice)


def test_with_flow_points_the_makers_curve_is_taken_as_it_is() -> None:
    made = element(Arrestor(flow_points=(bench.FLOW_POINT,)), ACETYLENE, UNKIND, 6.3e-3)
    assert isinstance(made, Resistance)
    assert made.cracking == 0.0


def test_the_finding_stands_once_a_line_and_never_for_parts_with_figures() -> None:
    assert part_flow.judge(bench.clean()) == ()
    one = bench.with_part(bench.clean(), "fuel", 3, flow_points=())
    (finding,) = part_flow.judge(one)
    assert (finding.verdict, finding.subject) == ("caution", "fuel part 3 (check valve)")
    (finding,) = part_flow.judge(bench.with_part(one, "fuel", 1, flow_points=()))
    assert (finding.verdict, finding.subject, finding.blanks["count"]) == ("caution", "fuel line", "2")


def test_four_arrestors_of_unknown_flow_are_no_go() -> None:
    def lines(text: str) -> str:
        return "\n".join(line for line in text.splitlines() if not line.startswith(("flow_points", "cracking")))

    known, unknown = (clean_bench_card(change) for change in (str, lines))
    assert known.verdict == "go"
    assert unknown.verdict == "caution"
    fuel, before = unknown.figures.lines["fuel"].loss_parts, known.figures.lines["fuel"].loss_parts
    assert fuel.low is not None
    assert fuel.high is not None
    assert before.high is not None
    assert fuel.low >= 2 * 5 * MBAR, "two springs at the least"
    assert fuel.high > before.high + 2 * 25 * MBAR
    assert {text for path, text in unknown.figures.assumed if path.endswith("cracking")} == {"15 mbar, 5 to 40"}


def test_a_guess_stops_nothing_unless_its_kind_end_would() -> None:
    figures = bench.with_part(bench.clean(), "oxygen", 1, flow_points=())

    def judged(low: float, value: float, high: float) -> tuple[str, str]:
        parts = tuple(
            replace(part, loss=Quantity(value, low, high, part.loss.kind)) if isinstance(part.part, Arrestor) else part
            for part in figures.lines["oxygen"].parts
        )
        found = bench.found(arrestor.judge(bench.with_line(figures, "oxygen", parts=parts)), "arrestor-starves", "oxygen part 1 (arrestor)")
        return found.verdict, found.text

    assert judged(0.0, 1e3, 2e3) == ("go", "")
    assert judged(0.02e5, 0.5e5, 2e5) == ("caution", "flow unknown")
    assert judged(2e5, 2e5, 2.2e5)[0] == "stop"


def test_most_of_the_pressure_lost_by_a_guess_is_a_caution_and_by_figures_a_stop() -> None:
    wide = bench.drop(0.3)
    lost = Quantity(wide.value, 0.01e5, 2e5, wide.kind)

    def judged(flow_points: tuple[object, ...], loss: Quantity) -> str:
        figures = bench.with_part(bench.clean(), "fuel", 1, flow_points=flow_points)
        return bench.found(hose.judge(bench.with_line(figures, "fuel", loss_parts=loss)), "hose-loss-high", "fuel line").verdict

    assert judged((bench.FLOW_POINT,), lost) == "stop"
    assert judged((), lost) == "caution"
    assert judged((), Quantity(2e5, 2e5, 2e5, wide.kind)) == "stop", "even at the kind end"
