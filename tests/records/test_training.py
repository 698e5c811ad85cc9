"""Marked drills in the records: by somebody who may, never by the trainee, with a sum that is one, and once."""

from typing import Any

import pytest

from steadycone.errors import InputError, Refused
from steadycone.records import events as e
from tests.records.conftest import Yard


def drill(**changes: Any) -> e.Trained:
    told: dict[str, Any] = {
        "person": "A. Bell",
        "drill": "mixed",
        "points": "8",
        "of": 10,
        "pass_mark": "80 %",
        "passed": True,
        "sheet": "seed 7",
    }
    return e.Trained(**(told | changes))


def test_an_instructor_records_a_drill_and_it_is_found_under_the_trainee(yard: Yard) -> None:
    yard.may("M. Reyes", "instructor")
    yard.says(drill())
    yard.says(drill(person="A. Bell", points="7.5", passed=False, sitting=2))
    assert [event.kind for event in yard.site.history(person="A. Bell")] == ["trained", "trained"]
    assert yard.site.people()[0].name == "M. Reyes"
    assert len(yard.site.people()) == 1  # training is no authorisation
    assert yard.site.stale() == []


@pytest.mark.parametrize("role", ["operator", "authorised technician", "auditor", ""])
def test_whoever_may_not_mark_records_nothing(yard: Yard, role: str) -> None:
    if role:
        yard.may("M. Reyes", role)
    allowed = role == "authorised technician"  # it covers a competent person
    if allowed:
        yard.says(drill())
    else:
        with pytest.raises(Refused, match="not authorised"):
            yard.says(drill())


@pytest.mark.parametrize("name", ["A. Bell", "a.  bell"])
def test_nobody_marks_themself(yard: Yard, name: str) -> None:
    yard.may("A. Bell", "instructor")
    with pytest.raises(Refused, match="themself"):
        yard.says(drill(person=name), author="A. Bell")


@pytest.mark.parametrize(
    "changes",
    [{"points": "7.5"}, {"points": "11"}, {"points": "8.3"}, {"points": "-1"}, {"points": "1e9"}, {"of": 0}, {"pass_mark": "0 %"},
     {"pass_mark": "120 %"}, {"sitting": 0}, {"sheet": "x" * 201}, {"person": " "}],
)  # fmt: skip
def test_points_that_cannot_be_are_refused(yard: Yard, changes: dict[str, Any]) -> None:
    yard.may("M. Reyes", "instructor")
    with pytest.raises(InputError):
        yard.says(drill(**changes))


def test_exactly_the_pass_mark_passes_and_a_fail_may_have_more(yard: Yard) -> None:
    yard.may("M. Reyes", "instructor")
    yard.says(drill(points="8"))
    yard.says(drill(points="9", passed=False, sheet="planted faults"))


def test_a_sheet_is_recorded_once_and_again_after_it_was_annulled(yard: Yard) -> None:
    yard.may("M. Reyes", "instructor")
    first = yard.says(drill())
    with pytest.raises(InputError, match="recorded already"):
        yard.says(drill())
    with pytest.raises(InputError, match="recorded already"):
        yard.site.append(yard.new(drill(sheet="seed 9")), yard.new(drill(sheet="seed 9")))
    yard.says(e.Correction(corrects=first, why="another trainee's answers"))
    yard.says(drill())
