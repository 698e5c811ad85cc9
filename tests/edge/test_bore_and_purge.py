"""A hose is not exactly what it is called, and a purge is told at its slow end."""

import pytest
from tests.stations import card

from steadycone.assembly.bores import bore_doubt
from steadycone.assembly.figures import Figures
from steadycone.errors import OutOfRange
from steadycone.station.parts import Hose
from steadycone.units import Length


def hose(bore: str, tolerance: str | None = None) -> Hose:
    given = Length.parse(tolerance) if tolerance else None
    return Hose(grade="oxygen", bore=Length.parse(bore), bore_tolerance=given, length=Length.parse("10 m"))


@pytest.mark.parametrize(
    ("bore", "tolerance", "mm"),
    [
        ("6.3 mm", None, 0.275),
        ("7.9 mm", None, 0.275),
        ("8 mm", None, 0.325),
        ("10 mm", None, 0.325),
        ("2 mm", None, 0.2),
        ("6.3 mm", "0.1 mm", 0.1),
    ],
)
def test_half_of_the_usual_tolerance_unless_the_file_states_one(bore: str, tolerance: str | None, mm: float) -> None:
    assert bore_doubt(hose(bore, tolerance)) == pytest.approx(mm * 1e-3)


def with_bore(stated: str, bore: str = "6.3 mm", **knobs: str) -> Figures:
    return card(bore=f'{bore}"\nbore_tolerance = "{stated}', **knobs).figures


def test_the_bands_hold_a_narrow_and_a_wide_hose() -> None:
    """5.9 and 6.7 mm, each exact, lie inside 6.3 plus or minus 0.4."""
    held = with_bore("0.4 mm").lines["oxygen"]
    for bore in ("5.9 mm", "6.7 mm"):
        there = with_bore("0.001 mm", bore).lines["oxygen"]
        for name in ("flowing", "loss_hoses"):
            band, value = getattr(held, name), getattr(there, name).value
            assert band.low <= value <= band.high, name
        assert held.proving.trapped_volume.low <= there.proving.trapped_volume.value <= held.proving.trapped_volume.high  # type: ignore[operator]


def test_a_loss_is_judged_at_the_narrow_hose() -> None:
    verdicts = []
    for tolerance in ("0.001 mm", "0.6 mm"):
        found = card(bore=f'6.3 mm"\nbore_tolerance = "{tolerance}', length="26 m", arrestor='equivalent_bore = "4 mm"').findings
        verdicts += [finding.verdict for finding in found if (finding.code, finding.subject) == ("hose-loss-high", "oxygen line")]
    assert verdicts == ["go", "caution"]


@pytest.mark.parametrize("tolerance", ["1.6 mm", "6 mm"])
def test_a_tolerance_that_no_hose_has_is_refused(tolerance: str) -> None:
    with pytest.raises(OutOfRange, match="a quarter of the bore"):
        with_bore(tolerance)
    assert with_bore("1.5 mm")


def test_a_purge_counts_the_gauge_and_the_mixing_point() -> None:
    """A gauge of class 10 may hide a bar of the set pressure: less flows, and the purge takes longer."""
    fine, coarse = (card(regulator=f'gauge_class = "{error}"').figures.lines["oxygen"].proving for error in ("0.1", "10"))
    assert fine.purge_time.value == pytest.approx(coarse.purge_time.value)
    assert fine.purge_flow.low is not None
    assert fine.purge_flow.value is not None
    assert coarse.purge_flow.low is not None
    assert coarse.purge_flow.low < 0.9 * fine.purge_flow.low
    assert fine.purge_flow.low < fine.purge_flow.value
    assert coarse.purge_time.high is not None
    assert fine.purge_time.high is not None
    assert coarse.purge_time.high > fine.purge_time.high
    assert fine.purge_time.low <= fine.purge_time.value <= fine.purge_time.high  # type: ignore[operator]


def test_an_unstated_regulator_body_is_doubted_and_a_stated_one_is_not() -> None:
    guessed, stated = (with_bore("0.001 mm", regulator=text).lines["oxygen"].proving for text in ("", 'low_volume = "0.05 L"'))
    assert guessed.trapped_volume.value == pytest.approx(stated.trapped_volume.value)
    assert guessed.trapped_volume.high - guessed.trapped_volume.value == pytest.approx(0.05e-3, rel=0.01)  # type: ignore[operator]
    assert stated.trapped_volume.high == pytest.approx(stated.trapped_volume.value, rel=0.001)


def test_no_purge_is_told_shorter_than_a_hand_can_time() -> None:
    from dataclasses import replace

    from steadycone.quantity import Quantity

    proving = card().figures.lines["oxygen"].proving
    for long, told in ((1.7, 5.0), (5.0, 5.0), (5.1, 6.0)):
        assert replace(proving, purge_time=Quantity(1.0, 0.5, long, "seconds")).purge_seconds.value == told
