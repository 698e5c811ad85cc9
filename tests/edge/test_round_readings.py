"""What a round reads: each reading against its limit, on both sides of it."""

from datetime import timedelta

import pytest
from tests.edge.render_samples import EXAMPLES, card
from tests.edge.round_samples import STATION, Round, answers, gone, keyed, plan, up_to

from steadycone.card.anew import anew, least_supply
from steadycone.card.make import make_card
from steadycone.errors import InputError
from steadycone.files.read import read_setup
from steadycone.procedures.rounds import Answer, fold, judged, make_plan, sign_off, stops, take
from steadycone.render.round_json import plan_dict
from steadycone.render.round_phone import phone_plan

SLIP = make_plan(card("slip-2"), STATION, anew=anew(card("slip-2").figures.setup), least=least_supply(card("slip-2")))


def found(now: Round, text: str) -> list[str]:
    return [each.finding.verdict for each in judged(now) if each.finding.text == text]


def oxygen(pressure: str) -> dict[str, str]:
    return keyed(open_oxygen=pressure, leak_start_high__oxygen=pressure, leak_end_high__oxygen=pressure)


@pytest.mark.parametrize(
    ("changes", "text", "verdict"),
    [
        (oxygen("230 bar"), "over rating", None),
        (oxygen("235 bar"), "over rating", "stop"),
        (oxygen("0 bar"), "supply empty", "stop"),
        (oxygen("10 bar"), "supply stops", "stop"),
        (oxygen("40 bar"), "supply stops", "stop"),
        (oxygen("45 bar"), "supply stops", None),
        (oxygen("45 bar"), "supply low", "caution"),
        (keyed(leak_start_low__oxygen="5.1 bar", leak_end_low__oxygen="5.1 bar"), "lost before", None),
        (keyed(leak_start_low__oxygen="5.0 bar", leak_end_low__oxygen="5.0 bar"), "lost before", "caution"),
        (keyed(leak_start_low__oxygen="4.9 bar", leak_end_low__oxygen="4.9 bar"), "lost before", "stop"),
        (keyed(leak_start_low__oxygen="0.5 bar", leak_end_low__oxygen="0.5 bar"), "lost before", "stop"),
        (keyed(leak_start_low__fuel="0 bar", leak_end_low__fuel="0 bar"), "lost before", "stop"),
        (keyed(leak_start_high__oxygen="60 bar", leak_end_high__oxygen="60 bar"), "lost before", "stop"),
        (keyed(leak_start_high__fuel="25 bar", leak_end_high__fuel="25 bar"), "no sum", "caution"),
        (keyed(leak_start_high__fuel="25 bar", leak_end_high__fuel="23 bar"), "moved without a sum", "stop"),
        (keyed(leak_start_high__fuel="25 bar", leak_end_high__fuel="12 bar"), "moved without a sum", "stop"),
        (keyed(leak_start_high__fuel="25 bar", leak_end_high__fuel="24 bar"), "moved without a sum", None),
        (keyed(test_oxygen="2.5 bar"), "test none", "stop"),
        (keyed(test_oxygen="2.6 bar"), "test none", None),
        (keyed(shut_fuel="0 bar"), "shut below", "stop"),
        (keyed(shut_oxygen="1.0 bar"), "shut below", "stop"),
        (keyed(shut_oxygen="3.2 bar"), "shut below", None),
    ],
)
def test_a_reading_has_a_limit_and_a_consequence(changes: dict[str, str], text: str, verdict: str | None) -> None:
    now = fold(SLIP, answers(SLIP, **changes)).round
    assert set(found(now, text)) == ({verdict} if verdict else set())
    if verdict == "stop":
        assert sign_off(now) is None


def test_the_least_gas_is_where_the_card_itself_begins_to_stop() -> None:
    least = least_supply(card("slip-2"))("oxygen")
    assert least is not None
    for pressure, stopped in ((least - 1e5, True), (least + 1e5, False)):
        text = (EXAMPLES / "slip-2.toml").read_text(encoding="utf-8").replace('"140 bar"', f'"{pressure / 1e5:.2f} bar"')
        made = make_card(read_setup(EXAMPLES / "slip-2.toml", text=text), card("slip-2").figures.on)
        assert (made.verdict == "stop") is stopped


def test_the_phone_has_the_same_limits() -> None:
    asked = {step["id"]: step.get("asked", {}) for step in phone_plan(SLIP)["steps"]}
    assert asked["open-oxygen"]["high"] == pytest.approx(230.0, abs=1e-4)
    assert asked["open-oxygen"]["low"] == pytest.approx(42.61, abs=0.1)
    assert asked["leak-start-low.oxygen"]["least"] == pytest.approx(0.2, abs=1e-4)
    assert asked["shut-oxygen"]["least"] == pytest.approx(0.1, abs=1e-4)


@pytest.mark.parametrize(("late", "verdict"), [(60, None), (61, "caution"), (300, "caution"), (301, "stop")])
def test_the_flame_comes_right_after_the_purge(late: int, verdict: str | None) -> None:
    now, at = up_to(plan(), "light")
    lit = take(now, Answer("light", "done", at + timedelta(seconds=late - 20)))
    assert [each.finding.verdict for each in judged(lit) if each.finding.code == "round-purge"] == ([verdict] if verdict else [])


@pytest.mark.parametrize("name", [".", "x", "- -", "1234"])
def test_a_name_that_is_none_is_not_taken(name: str) -> None:
    now, at = up_to(plan(), "sign")
    with pytest.raises(InputError, match="is no name"):
        take(now, Answer("sign", name, at))
    assert take(now, Answer("sign", "Li", at)).given["sign"].value.said == "Li"


def test_another_name_under_it_is_said_and_nothing_is_held_against_it() -> None:
    two = gone(plan(), who="O. Quist", sign="L. Marsh")
    assert [each.finding.verdict for each in judged(two) if each.finding.code == "round-names"] == ["go"]
    same = gone(plan(), who="L Marsh", sign="L. MARSH")
    assert not [each for each in judged(same) if each.finding.code == "round-names"]


@pytest.mark.parametrize("value", ["600 kPa", "6.0 bar", "6 bar", "6.05 bar"])
def test_an_honest_reading_is_taken_where_the_marks_were_assumed(value: str) -> None:
    of = plan("pontoon-lpg-au")
    now, at = up_to(of, "leak-start-high.fuel")
    after = take(now, Answer("leak-start-high.fuel", value, at))
    assert not [each for each in stops(after) if each.step.id == "leak-start-high.fuel"]
    assert ("caution" in found(after, "finer")) is (value != "6 bar")


def test_marks_that_are_stated_still_bind_a_reading() -> None:
    now, at = up_to(plan(), "leak-start-low.oxygen")
    with pytest.raises(InputError, match="finer than the gauge"):
        take(now, Answer("leak-start-low.oxygen", "4.25 bar", at))


def test_coupled_cylinders_have_a_limit_and_can_fail() -> None:
    step = plan("bay-4-us").step("coupled")
    assert [option.stop for option in step.options] == [False, True]


def test_a_stopped_card_has_no_pressure_in_any_step_after_the_gas() -> None:
    of = plan("bay-4-us")
    texts = [
        text
        for step in plan_dict(begin_of(of))["steps"]
        if step["phase"] in ("open", "prove", "set")
        for text in (step["do"], step["why"], step["stop"])
    ]
    assert any("no number" in text for text in texts)
    assert not [text for text in texts if "32.6" in text or "33.0" in text or "25.0 psi" in text]
    assert all("wanted" not in step.get("asked", {}) for step in phone_plan(of)["steps"])


def begin_of(of: object) -> Round:
    from steadycone.procedures.rounds import begin

    return begin(of)  # type: ignore[arg-type]


def test_the_fuel_cylinders_gauge_is_read_when_it_is_opened() -> None:
    step = plan().step("open-acetylene")
    assert (step.kind, step.reading, step.line, step.judge) == ("reading", "high", "fuel", "planned")
    now, at = up_to(SLIP, "open-acetylene")
    assert found(take(now, Answer("open-acetylene", "9 bar", at)), "supply low") == []
    assert found(take(now, Answer("open-acetylene", "8 bar", at)), "supply low") == ["caution"]
    assert stops(take(now, Answer("open-acetylene", "0 bar", at)))


@pytest.mark.parametrize("name", ["slip-2", "bay-4-us", "pontoon-lpg-au"])
def test_the_plan_holds_the_limits_that_the_phone_holds(name: str) -> None:
    of = plan(name)
    steps = {step["id"]: step for step in plan_dict(begin_of(of))["steps"]}
    phone = {step["id"]: step.get("asked") for step in phone_plan(of)["steps"]}
    assert {step: found["asked"] for step, found in steps.items()} == phone
    assert any(found and "high" in found for found in phone.values())


def test_a_kpa_station_is_asked_in_kpa() -> None:
    steps = {step["id"]: step for step in plan_dict(begin_of(plan("pontoon-lpg-au")))["steps"]}
    assert steps["leak-start-high.fuel"]["division"] == "80 kPa"  # 0.8 bar, by hand
