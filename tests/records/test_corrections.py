"""A correction is a new event: the old one stays, and what is true now is as if the right one had stood there."""

from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from steadycone.errors import InputError, Refused, UnknownName
from steadycone.records import events as e
from steadycone.records.envelope import document_hash
from tests.records.conftest import Yard


def _added(made: str) -> e.GearAdded:
    return e.GearAdded(
        mark="R-1",
        item="regulator",
        gas="oxygen",
        dates={"made": e.Dated(date=made), "tested": e.Dated(date="2026-11", basis="certificate 12, R. Holt")},
    )


def test_a_misread_date_is_put_right_in_its_place(yard: Yard) -> None:
    wrong = yard.gear("R-1", made="2023-02")
    yard.says(e.GearFitted(mark="R-1", station="Slip 2", place="oxygen regulator"))
    yard.says(e.Correction(corrects=wrong, why="stamp misread", replaces=_added("2020-02")))
    item = yard.site.item("R-1")
    assert (item.due_on, item.station) == (date(2025, 2, 1), "Slip 2")
    assert [event.kind for event in yard.site.history(mark="R-1")] == ["correction", "gear-fitted", "gear-added"]
    assert list(yard.site.corrections()) == [wrong]
    assert yard.site.stale() == []


def test_the_newest_correction_counts(yard: Yard) -> None:
    wrong = yard.gear("R-1", made="2023-02")
    first = yard.says(e.Correction(corrects=wrong, why="misread", replaces=_added("2020-02")))
    with pytest.raises(InputError, match="a correction itself"):
        yard.says(e.Correction(corrects=first, why="again"))
    yard.says(e.Correction(corrects=wrong, why="misread again", replaces=_added("2022-02")))
    assert yard.site.item("R-1").due_on == date(2027, 2, 1)
    assert yard.site.stale() == []


def test_an_annulled_entry_leaves_no_item_and_keeps_its_history(yard: Yard) -> None:
    wrong = yard.gear("R-1")
    yard.says(e.Correction(corrects=wrong, why="typed twice"))
    with pytest.raises(UnknownName):
        yard.site.item("R-1")
    assert len(yard.site.history(mark="R-1")) == 2
    assert yard.site.stale() == []


def test_a_correction_is_about_the_same_things(yard: Yard) -> None:
    wrong = yard.gear("R-1")
    with pytest.raises(InputError, match="same things"):
        yard.says(e.Correction(corrects=wrong, why="x", replaces=e.GearAdded(mark="R-2", item="regulator")))
    with pytest.raises(InputError, match="same things"):
        yard.says(e.Correction(corrects=wrong, why="x", replaces=e.Noted(says="x", mark="R-1")))
    with pytest.raises(UnknownName):
        yard.says(e.Correction(corrects="00000000-none", why="x"))
    with pytest.raises(InputError, match="not corrected"):
        yard.says(e.Correction(corrects=yard.site.event(1).id, why="x"))


def test_no_correction_lets_anything_back_into_service(yard: Yard) -> None:
    yard.made_up()
    quarantined = yard.says(e.Quarantined(mark="R-1", reason="creeps"))
    failed = yard.says(e.TestResult(mark="H-1", test="proof", value="30 bar", passed=False))
    defect = yard.says(e.DefectFound(station="Slip 2", says="wheel", severity="stop"))
    incident = yard.says(e.Incident(station="Slip 2", event="pop", gate=(e.GateCondition(id="recorded", who="lead hand"),)))
    for wrong in (quarantined, failed, defect, incident):
        with pytest.raises(Refused, match="the correction would"):
            yard.says(e.Correction(corrects=wrong, why="no"))
    softer = e.DefectFound(station="Slip 2", says="wheel", severity="caution")
    with pytest.raises(Refused, match="close a defect"):
        yard.says(e.Correction(corrects=defect, why="no", replaces=softer))


def test_no_correction_makes_a_sign_off_hold_longer(yard: Yard) -> None:
    yard.made_up()
    done = yard.round()
    signed = yard.sign(round_id=done, hours=2)
    longer = e.SignOff(station="Slip 2", round=done, valid_until="2026-11-26T09:00:00+00:00", longest_break=1800)
    with pytest.raises(Refused, match="sign-off hold"):
        yard.says(e.Correction(corrects=signed, why="no", replaces=longer))
    with pytest.raises(Refused, match="sign-off hold"):
        yard.says(e.Correction(corrects=done, why="no"))
    removed = yard.says(e.GearRemoved(mark="H-1"))
    with pytest.raises(Refused, match="sign-off hold"):
        yard.says(e.Correction(corrects=removed, why="no"))


def test_filing_is_put_right_by_filing_again(yard: Yard) -> None:
    filed = yard.site.append(yard.new(e.StationFiled(station="Slip 2", file="slip-2.toml"), documents={"station": b"x"}))[0].id
    with pytest.raises(InputError, match="station-filed is not corrected"):
        yard.says(e.Correction(corrects=filed, why="wrong station"))


def test_a_corrected_test_result_moves_the_due_day_back(yard: Yard) -> None:
    yard.gear("A-1", "arrestor", made="2024-01", tested="2025-12-01")
    yard.may("M. Reyes", "authorised technician")
    for test in ("reverse flow", "tightness"):
        yard.says(e.TestResult(mark="A-1", test=test, value="3 cm3/h", passed=True))  # type: ignore[arg-type]
    result = e.TestResult(mark="A-1", test="flow", value="16 m3/h", limit="14 m3/h", passed=True, completes=True)
    wrong = yard.says(result)
    assert yard.site.item("A-1").due_on == date(2027, 11, 25)
    yard.says(e.Correction(corrects=wrong, why="another arrestor's figures"))
    assert yard.site.item("A-1").due_on == date(2026, 12, 1)
    assert yard.site.stale() == []


MARKS = ("R-1", "R-2", "H-1")
STATIONS = ("Slip 1", "Slip 2")
STEP = st.tuples(st.integers(0, 28), st.sampled_from(MARKS), st.sampled_from(STATIONS), st.sampled_from("ab"), st.integers(0, 9))


def _body(step: tuple[int, str, str, str, int], ids: list[str]) -> e.Event:
    """Anything a person might record next, sensible or not."""
    which, mark, station, place, back = step
    old = ids[-1 - back % len(ids)] if ids else "00000000"
    cleared = (e.Cleared(condition="seat changed", by="M. Reyes", evidence="kit 4711"),)
    return (
        e.GearAdded(mark=mark, item="regulator", dates={"made": e.Dated(date="2024-05")}),
        e.GearDated(mark=mark, which="made", date="2023-01"),
        e.GearFitted(mark=mark, station=station, place=place),
        e.GearRemoved(mark=mark),
        e.GearRetired(mark=mark, why="scrapped"),
        e.StationMadeUp(station=station, makeup={place: mark}),
        e.StationMadeUp(station=station, makeup={}),
        e.TestResult(mark=mark, test="creep", value="0.1 bar", passed=back > 2),
        e.Quarantined(mark=mark, reason="worn"),
        e.Released(mark=mark, cleared=cleared),
        e.RoundDone(station=station, state="signed", verdict="go"),
        e.SignOff(station=station, round=old, valid_until="2026-11-25T18:00:00+00:00", longest_break=60),
        e.SignOffEnded(station=station, why="moved"),
        e.Incident(station=station, event="dirty tip"),
        e.ConditionCleared(
            incident=old, condition=("recorded", "flame-test", "tip-square", "joint-broken")[back % 4], evidence="sheet 12, seen"
        ),
        e.DefectFound(mark=mark, says="x", severity="stop"),
        e.DefectClosed(defect=old, how="mended"),
        e.Authorised(person="M. Reyes", role="authorised technician" if back % 2 else "lead hand"),
        e.AuthorisationEnded(person="M. Reyes", role="lead hand"),
        e.CylinderMoved(mark=mark, gas="oxygen", to=station, state="full"),
        e.Correction(corrects=old, why="wrong"),
        e.Correction(corrects=old, why="wrong", replaces=e.GearDated(mark=mark, which="made", date="2022-01")),
        e.Correction(corrects=old, why="wrong", replaces=e.GearAdded(mark=mark, item="hose")),
        e.Correction(corrects=old, why="wrong", replaces=e.GearFitted(mark=mark, station=station, place=place)),
        e.PaperFiled(name=f"{place}.csv", what="chart" if back else "policy"),
        e.PaperFiled(name=f"{place}.csv", what="chart", base=_hash(back - 1)),
        e.StationFiled(station=station, file="x.toml", papers=(f"{place}.csv",)),
        e.StationFiled(station=station, file="x.toml", base=_hash(back - 1), papers=("a.csv", "b.csv")[: back % 3]),
        e.StationRetired(station=station, why="sold"),
    )[which]


def _hash(back: int) -> str:
    return document_hash(str(back).encode())


def _documents(body: e.Event, back: int) -> dict[str, bytes]:
    """One of ten texts; a round may be about any of them."""
    name = {"station-filed": "station", "paper-filed": "paper", "round-done": "station"}.get(e.kind_of(body))
    return {name: str(back).encode()} if name else {}


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(steps=st.lists(STEP, min_size=3, max_size=40))
def test_what_is_true_now_is_always_what_the_events_say(yard: Yard, steps: list[tuple[int, str, str, str, int]]) -> None:
    site = yard.store.open_site(f"yard {len(yard.store.sites())}", region="uk", author="M. Reyes")
    ids: list[str] = []
    for step in steps:
        try:
            body = _body(step, ids)
            ids.append(site.append(yard.new(body, documents=_documents(body, step[4])))[0].id)
        except InputError:
            continue
    assert site.stale() == []
    assert site.verify().sound


def test_deriving_anew_changes_nothing(any_yard: Yard) -> None:
    any_yard.made_up()
    any_yard.sign()
    any_yard.says(e.Incident(station="Slip 2", event="pop", gate=(e.GateCondition(id="recorded", who="lead hand"),)))
    before = (any_yard.site.items(), any_yard.site.stations(), any_yard.site.incidents(), any_yard.site.policy)
    assert any_yard.site.stale() == []
    assert any_yard.site.rebuild() == any_yard.site.size
    assert (any_yard.site.items(), any_yard.site.stations(), any_yard.site.incidents(), any_yard.site.policy) == before
