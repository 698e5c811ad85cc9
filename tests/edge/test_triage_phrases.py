"""How well triage listens: phrases by many mouths, with what a safe answer to each must and must not hold."""

import pytest
from tests.triage_needs import ALARM, FOLDER, LIFE, NEEDS, judged, phrases

LISTS = sorted(path.name for path in FOLDER.glob("*.csv"))


@pytest.mark.parametrize("name", LISTS)
def test_ninety_five_of_a_hundred_are_right_none_is_dangerous_and_ordinary_talk_raises_no_alarm(name: str) -> None:
    found = [judged(one) for one in phrases(name)]
    assert len(found) >= 200
    wrong = [f"{one.phrase.phrase}: {one.event}, not {one.phrase.must}" for one in found if not one.right]
    assert len(wrong) <= 0.05 * len(found), "\n".join(wrong)
    assert [one.phrase.phrase for one in found if one.dangerous] == []
    ordinary = [one for one in found if one.ordinary]
    assert sum(one.false_alarm for one in ordinary) <= 0.05 * len(ordinary)


def test_every_category_can_be_met_and_missed() -> None:
    steps = [one for name in LISTS for one in phrases(name)]
    for need in NEEDS:
        assert any(need in one.must for one in steps), need
    assert set(ALARM) < set(LIFE) <= set(NEEDS)
    assert not any(holds(["Have a cup of tea."]) for holds in NEEDS.values())
