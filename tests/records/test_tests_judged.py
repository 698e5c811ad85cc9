"""A test is judged by its limit as it goes in, and an examination is what its kind asks."""

from datetime import timedelta

import pytest

from steadycone.errors import InputError, Refused
from steadycone.practice.examination import asked_of, held_to_limit
from steadycone.records import events as e
from tests.records.conftest import Yard


@pytest.mark.parametrize(
    ("kind", "test", "value", "given", "outcome"),
    [
        ("arrestor", "reverse flow", "50 cm3/h", "", "within"),
        ("arrestor", "reverse flow", "50.1 cm3/h", "", "outside"),
        ("arrestor", "reverse flow", "9000 cm3/h", "10000 cm3/h", "outside"),  # nobody loosens the kind's own limit
        ("arrestor", "reverse flow", "40 cm3/h", "30 cm3/h", "outside"),  # a stricter one counts
        ("arrestor", "tightness", "0.008 L/h", "", "within"),
        ("arrestor", "tightness", "0.0081 L/h", "", "outside"),
        ("arrestor", "flow", "16 m3/h", "", "not judged"),
        ("arrestor", "flow", "16 m3/h", "16 m3/h", "within"),
        ("arrestor", "flow", "15.9 m3/h", "16 m3/h", "outside"),  # a flow is at least
        ("arrestor", "flow", "16 kg/h", "16 m3/h", "not judged"),
        ("arrestor", "flow", "16 kg/h", "17 kg/h", "outside"),
        ("regulator", "creep", "12 cm3/h", "", "within"),
        ("regulator", "creep", "13 cm3/h", "", "outside"),
        ("regulator", "creep", "0.3 bar", "", "not judged"),
        ("regulator", "creep", "0.3 bar", "0.1 bar", "outside"),
        ("regulator", "creep", "100 mbar", "0.1 bar", "within"),
        ("hose", "proof", "30 bar", "40 bar", "outside"),
        ("hose", "proof", "40 bar", "40 bar", "within"),
        ("trolley", "other", "3 kg", "", "not judged"),
    ],
)
def test_a_number_is_held_to_the_stricter_limit(kind: str, test: str, value: str, given: str, outcome: str) -> None:
    assert held_to_limit(kind, test, value, given).outcome == outcome


def test_every_list_names_asked_of_the_register() -> None:
    known = set(e.Test.__args__)
    assert all(set(asked_of(kind)) <= known for kind in ("arrestor", "check valve", "regulator", "hose", "torch", "manifold"))
    assert asked_of("trolley") == ()


def test_outside_its_limit_it_failed_whoever_says_passed(yard: Yard) -> None:
    yard.gear("A-1", "arrestor", made="2022-01")
    yard.may("Nobody Special", "operator")
    body = e.TestResult(mark="A-1", test="reverse flow", value="9000 cm3/h", passed=True, completes=True)
    found = yard.site.append(yard.new(body, "Nobody Special"))[0].event.body
    assert isinstance(found, e.TestResult)
    assert (found.passed, found.completes) == (False, False)
    item = yard.site.item("A-1")
    assert (item.state, "tested" in item.dates) == ("quarantined", False)
    assert "50 cm3/h" in found.held_to
    assert yard.site.stale() == []


def test_one_test_alone_completes_no_examination_of_an_arrestor(yard: Yard) -> None:
    yard.gear("A-1", "arrestor", made="2022-01")
    yard.may("M. Reyes", "competent person")
    last = e.TestResult(mark="A-1", test="reverse flow", value="12 cm3/h", passed=True, completes=True)
    with pytest.raises(Refused, match="not recorded: flow and tightness"):
        yard.says(last)
    yard.says(e.TestResult(mark="A-1", test="tightness", value="1 cm3/h", passed=True))
    yard.says(e.TestResult(mark="A-1", test="flow", value="16 m3/h", passed=True))  # of what? no limit
    with pytest.raises(Refused, match="not recorded: flow"):
        yard.says(last)
    yard.says(e.TestResult(mark="A-1", test="flow", value="16 m3/h", limit="15 m3/h", passed=True))
    yard.says(last)
    assert yard.site.item("A-1").dates["tested"].date == "2026-11-25"


@pytest.mark.parametrize(("days", "counts"), [(30, True), (31, False)])
def test_the_asked_of_one_examination_lie_within_a_month(yard: Yard, days: int, counts: bool) -> None:
    yard.gear("R-1")
    yard.may("M. Reyes", "competent person")
    before = yard.clock.now
    yard.says(e.TestResult(mark="R-1", test="tightness", value="1 cm3/h", passed=True), at=before - timedelta(days=days))
    last = e.TestResult(mark="R-1", test="creep", value="1 cm3/h", passed=True, completes=True)
    if counts:
        yard.says(last, at=before)
    else:
        with pytest.raises(Refused, match="not recorded: tightness"):
            yard.says(last, at=before)


@pytest.mark.parametrize(("role", "test_by", "may"), [
    ("operator", "", False), ("competent person", "", True), ("competent person", "authorised technician", False),
    ("authorised technician", "authorised technician", True), ("operator", "operator", True),
])  # fmt: skip
def test_who_completes_an_examination_is_authorised_as_the_policy_says(yard: Yard, role: str, test_by: str, may: bool) -> None:
    yard.gear("T-1", "torch")
    yard.says(e.PolicyChanged(classes={"torch": e.ClassRule(test="1 year", test_by=test_by)}))
    yard.may("Q. Tester", role)
    body = e.TestResult(mark="T-1", test="tightness", value="1 cm3/h", passed=True, completes=True)
    if may:
        yard.says(body, "Q. Tester")
    else:
        with pytest.raises(Refused, match="completes no examination"):
            yard.says(body, "Q. Tester")


def test_no_test_is_struck_that_an_examination_rests_on(yard: Yard) -> None:
    yard.may("Q. Tester", "competent person")
    yard.gear("R-1")
    creep = e.TestResult(mark="R-1", test="creep", value="2 cm3/h", passed=True)
    first = yard.says(creep)
    ended = yard.says(e.TestResult(mark="R-1", test="tightness", value="1 cm3/h", passed=True, completes=True), "Q. Tester")
    assert yard.site.item("R-1").dates["tested"].basis == "tightness test"
    with pytest.raises(Refused, match="rests on it"):
        yard.says(e.Correction(corrects=first, why="another regulator"))
    renamed = e.TestResult(mark="R-1", test="flow", value="2 m3/h", passed=True)
    with pytest.raises(Refused, match="rests on it"):
        yard.says(e.Correction(corrects=first, why="it was the flow", replaces=renamed))
    yard.says(e.Correction(corrects=ended, why="another regulator"))
    assert yard.site.item("R-1").dates["tested"].basis == ""  # what was written at first entry
    yard.says(e.Correction(corrects=first, why="another regulator"))
    assert yard.site.stale() == []


def test_a_test_that_was_made_twice_may_be_struck_once_and_a_failed_one_always(yard: Yard) -> None:
    yard.may("Q. Tester", "competent person")
    yard.gear("R-1")
    creep = e.TestResult(mark="R-1", test="creep", value="2 cm3/h", passed=True)
    first, second = yard.says(creep), yard.says(creep)
    yard.says(e.TestResult(mark="R-1", test="tightness", value="1 cm3/h", passed=True, completes=True), "Q. Tester")
    yard.says(e.Correction(corrects=first, why="written twice"))
    with pytest.raises(Refused, match="rests on it"):
        yard.says(e.Correction(corrects=second, why="written twice"))
    yard.says(e.Correction(corrects=second, why="misread", replaces=e.TestResult(mark="R-1", test="creep", value="40 cm3/h", passed=True)))
    assert yard.site.item("R-1").state == "quarantined"


def test_a_correction_is_judged_like_the_test_itself(yard: Yard) -> None:
    yard.gear("R-1")
    good = yard.says(e.TestResult(mark="R-1", test="creep", value="2 cm3/h", passed=True))
    yard.says(e.Correction(corrects=good, why="misread", replaces=e.TestResult(mark="R-1", test="creep", value="40 cm3/h", passed=True)))
    assert yard.site.item("R-1").state == "quarantined"
    yard.says(e.Correction(corrects=good, why="no", replaces=e.TestResult(mark="R-1", test="creep", value="41 cm3/h", passed=True)))
    with pytest.raises(Refused, match="end that R-1 is quarantined"):
        yard.says(e.Correction(corrects=good, why="no", replaces=e.TestResult(mark="R-1", test="creep", value="2 cm3/h", passed=True)))
    assert yard.site.stale() == []


# --- examined elsewhere ------------------------------------------------------------------


def test_a_later_examination_counts_by_a_paper_that_is_named_and_an_earlier_date_needs_none(yard: Yard) -> None:
    yard.says(e.GearAdded(mark="A-9", item="arrestor", gas="acetylene", dates={"tested": e.Dated(date="2025-06-10", basis="sheet 4")}))
    for basis in ("", "x", "paper", "ok, all fine", "flow test", "Reverse  Flow test"):
        with pytest.raises(InputError, match="names no paper"):
            yard.says(e.GearDated(mark="A-9", which="tested", date="2025-06-11", basis=basis))
    yard.says(e.GearDated(mark="A-9", which="tested", date="2025-06-10"))  # no later than what is known: the clock is not set on
    yard.says(e.GearDated(mark="A-9", which="tested", date="2025-06-09"))
    yard.says(e.GearDated(mark="A-9", which="made", date="2024-02"))
    yard.says(e.GearDated(mark="A-9", which="tested", date="2025-06-11", basis="certificate 4711, R. Holt"))
    assert yard.site.item("A-9").dates["tested"].date == "2025-06-11"


def test_the_first_examination_is_a_later_one_too(yard: Yard) -> None:
    yard.says(e.GearAdded(mark="A-9", item="arrestor", gas="acetylene", dates={"made": e.Dated(date="2023-02")}))
    with pytest.raises(InputError, match="names no paper"):
        yard.says(e.GearDated(mark="A-9", which="tested", date="2025-06-11"))


def test_no_correction_sets_the_clock_on_without_a_paper(yard: Yard) -> None:
    added = yard.says(e.GearAdded(mark="A-9", item="arrestor", gas="acetylene", dates={"tested": e.Dated(date="2025-06-10")}))
    dated = yard.says(e.GearDated(mark="A-9", which="tested", date="2025-06-09", basis="tag"))
    for corrects, bodies in (
        (dated, [e.GearDated(mark="A-9", which="tested", date=day, basis="tag") for day in ("2026-11", "2025-06-09")]),
        (
            added,
            [
                e.GearAdded(mark="A-9", item="arrestor", gas="acetylene", dates={"tested": e.Dated(date=day)})
                for day in ("2026-11", "2025-06")
            ],
        ),
    ):
        with pytest.raises(InputError, match="names no paper"):
            yard.says(e.Correction(corrects=corrects, why="read again", replaces=bodies[0]))
        yard.says(e.Correction(corrects=corrects, why="read again", replaces=bodies[1]))
    assert yard.site.item("A-9").dates["tested"].date == "2025-06-09"


def test_what_counts_by_a_paper_says_so_until_it_is_tested_here(yard: Yard) -> None:
    from steadycone.records.gear_told import by_paper, counts_from_paper

    made = {"made": e.Dated(date="2025-02")}
    yard.says(e.GearAdded(mark="A-9", item="arrestor", gas="acetylene", dates=made))
    assert not by_paper(yard.site.item("A-9"))
    yard.says(e.GearDated(mark="A-9", which="tested", date="2026-06-11", basis="certificate 4711, R. Holt"))
    assert counts_from_paper(yard.site.item("A-9"))
    yard.may("T. Vance", "authorised technician")
    for test, value, limit, completes in (
        ("reverse flow", "1 cm3/h", "", False), ("tightness", "1 cm3/h", "", False), ("flow", "16 m3/h", "15 m3/h", True),
    ):  # fmt: skip
        body = e.TestResult(mark="A-9", test=test, value=value, limit=limit, passed=True, completes=completes)  # type: ignore[arg-type]
        yard.says(body, "T. Vance")
    item = yard.site.item("A-9")
    assert item.dates["tested"].basis == "flow test"
    assert not by_paper(item)
    assert not counts_from_paper(item)
