"""What may be recorded, and what the records keep from happening."""

from datetime import date, timedelta

import pytest

from steadycone.errors import BadUnit, InputError, OutOfRange, Refused, UnknownName
from steadycone.records import events as e
from tests.records.conftest import Yard

TODAY = date(2026, 11, 25)


def test_gear_is_due_by_the_regions_intervals(yard: Yard) -> None:
    yard.gear("R-1", made="2022-01", tested="2026-11")
    yard.gear("A-1", "arrestor", made="2024-01", tested="2025-12-01")
    assert yard.site.item("R-1").due_on == date(2027, 1, 1)
    assert yard.site.item("A-1").due_on == date(2026, 12, 1)
    assert [(due.item.mark, due.days, due.why) for due in yard.site.due(TODAY)] == [("A-1", 6, "test")]


def test_gear_of_unknown_age_is_out_of_date_and_heads_the_list(yard: Yard) -> None:
    yard.gear("R-1", made="2021-01", tested="2026-11")
    yard.says(e.GearAdded(mark="R-2", item="regulator"))
    assert [(due.item.mark, due.days) for due in yard.site.due(TODAY)] == [("R-2", None), ("R-1", -328)]


def test_a_site_sets_its_own_intervals(yard: Yard) -> None:
    yard.gear("R-1", made="2024-01")
    yard.says(e.PolicyChanged(classes={"regulator": e.ClassRule(replace="2 years", release_by="authorised technician")}))
    assert yard.site.item("R-1").due_on == date(2026, 1, 1)
    assert yard.site.stale() == []
    with pytest.raises(BadUnit):
        yard.says(e.PolicyChanged(classes={"regulator": e.ClassRule(replace="2 parsecs")}))


def test_a_passed_examination_moves_the_due_day(yard: Yard) -> None:
    yard.gear("A-1", "arrestor", made="2024-01")
    yard.says(e.TestResult(mark="A-1", test="reverse flow", value="12 cm3/h", limit="50 cm3/h", passed=True))
    assert yard.site.item("A-1").due_on == date(2025, 1, 1)
    yard.says(e.TestResult(mark="A-1", test="tightness", value="2 cm3/h", passed=True))
    yard.may("M. Reyes", "competent person")
    yard.says(e.TestResult(mark="A-1", test="flow", value="16 m3/h", limit="15 m3/h", passed=True, completes=True))
    assert yard.site.item("A-1").due_on == date(2027, 11, 25)


def test_a_failed_test_quarantines_and_ends_the_sign_off(yard: Yard) -> None:
    yard.made_up()
    yard.sign()
    assert yard.site.sign_off("Slip 2", yard.clock.now).holds
    yard.says(e.TestResult(mark="R-1", test="creep", value="0.4 bar", passed=False))
    assert yard.site.item("R-1").state == "quarantined"
    holding = yard.site.sign_off("Slip 2", yard.clock.now)
    assert (holding.holds, holding.ended_by) == (False, "quarantined: R-1")


def test_a_mark_is_given_once_whatever_its_letters(yard: Yard) -> None:
    yard.gear("R-1")
    with pytest.raises(InputError, match="taken"):
        yard.gear(" r-1 ")
    yard.says(e.GearRetired(mark="R-1", why="scrapped"))
    with pytest.raises(InputError, match="taken"):
        yard.gear("R-1")


@pytest.mark.parametrize("where", ["made", "bought", "in_service", "tested"])
def test_a_date_in_the_future_is_refused(yard: Yard, where: str) -> None:
    with pytest.raises(OutOfRange, match="future"):
        yard.gear("R-1", **{where: "2027-01"})


def test_a_century_that_slipped_is_refused_by_the_log_as_by_the_list(yard: Yard) -> None:
    with pytest.raises(OutOfRange, match="before 1950"):
        yard.gear("R-1", made="1949-12")
    yard.gear("R-1", made="1950-01")
    with pytest.raises(OutOfRange, match="before 1950"):
        yard.says(e.GearDated(mark="R-1", which="bought", date="1926-02"))


def test_an_event_in_the_future_is_refused(yard: Yard) -> None:
    with pytest.raises(OutOfRange, match="future"):
        yard.says(e.GearAdded(mark="R-1", item="hose"), at=yard.clock.now + timedelta(hours=1))


@pytest.mark.parametrize("value", ["0.3", "", "little", "3 kg", "0.3 bar abs flow"])
def test_a_test_result_without_a_fitting_unit_is_refused(yard: Yard, value: str) -> None:
    yard.gear("R-1")
    with pytest.raises(BadUnit):
        yard.says(e.TestResult(mark="R-1", test="creep", value=value, passed=True))
    assert yard.site.item("R-1").tests == {}


def test_an_item_is_fitted_in_one_place(yard: Yard) -> None:
    yard.made_up()
    with pytest.raises(InputError, match="fitted to Slip 2"):
        yard.says(e.GearFitted(mark="R-1", station="Slip 3", place="oxygen regulator"))
    with pytest.raises(InputError, match="two places"):
        yard.says(e.StationMadeUp(station="Slip 2", makeup={"oxygen regulator": "R-1", "fuel regulator": "r-1"}))
    yard.gear("R-2")
    with pytest.raises(InputError, match="R-1 is fitted there"):
        yard.says(e.GearFitted(mark="R-2", station="slip 2", place="oxygen regulator"))


def test_a_change_of_make_up_ends_the_sign_off_and_asks_for_a_new_round(yard: Yard) -> None:
    yard.made_up()
    done = yard.round()
    yard.sign(round_id=done)
    yard.says(e.GearRemoved(mark="H-1"))
    assert yard.site.sign_off("Slip 2", yard.clock.now).ended_by == "part-changed"
    assert yard.site.item("H-1").station == ""
    with pytest.raises(Refused, match="make-up changed"):
        yard.sign(round_id=done)


def test_the_same_make_up_again_ends_nothing(yard: Yard) -> None:
    yard.made_up()
    yard.sign()
    yard.says(e.StationMadeUp(station="Slip 2", makeup={"oxygen regulator": "R-1", "oxygen part 1": "H-1"}))
    assert yard.site.sign_off("Slip 2", yard.clock.now).holds


def test_a_sign_off_lapses_as_the_round_said(yard: Yard) -> None:
    yard.made_up()
    yard.sign(hours=2)
    later = yard.site.sign_off("Slip 2", yard.clock.now + timedelta(hours=3))
    assert (later.holds, later.ended_by) == (False, "shift-ended")


def test_quarantine_blocks_the_sign_off_of_any_station_that_holds_the_item(yard: Yard) -> None:
    yard.made_up()
    yard.says(e.Quarantined(mark="H-1", reason="cut to the braid"))
    done = yard.round()
    with pytest.raises(Refused, match="cut to the braid"):
        yard.sign(round_id=done)
    with pytest.raises(Refused, match="quarantined"):
        yard.says(e.GearRemoved(mark="H-1")) and yard.says(e.GearFitted(mark="H-1", station="Slip 3", place="oxygen part 1"))


@pytest.mark.parametrize("made", ["2019-01", ""])
def test_gear_out_of_date_blocks_the_sign_off(yard: Yard, made: str) -> None:
    dates = {"made": e.Dated(date=made)} if made else {}
    yard.says(e.GearAdded(mark="R-9", item="regulator", dates=dates))  # type: ignore[arg-type]
    yard.says(e.GearFitted(mark="R-9", station="Slip 4", place="oxygen regulator"))
    with pytest.raises(Refused, match=r"due on 2020-01-01|unknown age"):
        yard.sign("Slip 4")


def test_an_open_defect_that_stops_blocks_the_sign_off_until_it_is_closed(yard: Yard) -> None:
    yard.made_up()
    defect = yard.says(e.DefectFound(station="Slip 2", says="trolley wheel off", severity="stop"))
    caution = yard.says(e.DefectFound(mark="H-1", says="label worn", severity="caution"))
    with pytest.raises(Refused, match="trolley"):
        yard.sign()
    yard.says(e.DefectClosed(defect=defect, how="wheel replaced"))
    yard.sign()
    assert [found.key for found in yard.site.defects()] == [caution]


def test_a_round_that_stopped_is_recorded_and_not_signed(yard: Yard) -> None:
    yard.made_up()
    with pytest.raises(Refused, match="stopped"):
        yard.sign(round_id=yard.round(state="stopped", verdict="stop"))


def test_after_an_event_the_gate_is_cleared_by_those_who_may(yard: Yard) -> None:
    yard.made_up()
    yard.sign()
    incident = yard.incident()
    assert yard.site.sign_off("Slip 2", yard.clock.now).ended_by == "event"
    with pytest.raises(Refused, match="held by an incident"):
        yard.sign()
    with pytest.raises(Refused, match=r"T\. Okoro is not authorised as lead hand"):
        yard.clear(incident, "flame-test", "T. Okoro")
    yard.may("M. Reyes", "lead hand")
    yard.open_gate(incident)
    yard.sign()
    assert yard.site.incidents() == []


def test_gear_of_a_held_station_goes_nowhere_else_until_its_gate_is_cleared(yard: Yard) -> None:
    yard.made_up()
    yard.may("M. Reyes", "lead hand")
    incident = yard.incident()
    yard.says(e.GearRemoved(mark="H-1"))
    for fitted in (
        e.GearFitted(mark="H-1", station="Slip 3", place="oxygen part 1"),
        e.StationMadeUp(station="Slip 3", makeup={"oxygen part 1": "H-1"}),
    ):
        with pytest.raises(Refused, match="held by an incident"):
            yard.says(fitted)
    with pytest.raises(Refused, match="that an incident holds"):
        yard.says(e.Correction(corrects=incident, why="it was Slip 3"))
    yard.says(e.GearFitted(mark="H-1", station="Slip 2", place="oxygen part 1"))
    yard.says(e.GearRemoved(mark="H-1"))
    yard.open_gate(incident)
    yard.says(e.GearFitted(mark="H-1", station="Slip 3", place="oxygen part 1"))
    assert yard.site.stale() == []


def test_a_second_incident_holds_on_when_the_first_is_cleared(yard: Yard) -> None:
    yard.made_up()
    yard.may("M. Reyes", "lead hand")
    first = yard.incident()
    yard.incident()
    yard.open_gate(first)
    with pytest.raises(Refused, match="held"):
        yard.sign()


def test_what_came_from_outside_is_entered_by_somebody_authorised(yard: Yard) -> None:
    incident = yard.incident("cylinder heating")
    with pytest.raises(Refused, match="not authorised to enter"):
        yard.clear(incident, "fire-service-releases", outside="Officer Byrne")
    yard.may("M. Reyes", "lead hand")
    with pytest.raises(InputError, match="no outside"):
        yard.clear(incident, "fire-service-releases")
    yard.clear(incident, "fire-service-releases", outside="Officer Byrne")
    done = next(each for each in yard.site.incidents()[0].gate if each.id == "fire-service-releases")
    assert (done.by, done.outside) == ("M. Reyes", "Officer Byrne")


def test_an_authorisation_ends_on_its_last_day_or_when_it_is_ended(yard: Yard) -> None:
    yard.gear("R-1")
    yard.says(e.Quarantined(mark="R-1", reason="creeps"))
    released = e.Released(mark="R-1", cleared=(e.Cleared(condition="seat changed", by="T. Okoro", evidence="report 7"),))
    with pytest.raises(Refused):
        yard.says(released, "T. Okoro")
    yard.says(e.Authorised(person="T. Okoro", role="authorised technician", until="2026-11-25"))
    yard.clock.now += timedelta(days=1)
    with pytest.raises(Refused):
        yard.says(released, "T. Okoro")
    yard.says(e.Authorised(person="t. okoro", role="authorised technician"))
    yard.says(e.AuthorisationEnded(person="T. Okoro", role="authorised technician", why="left"))
    with pytest.raises(Refused):
        yard.says(released, "T. Okoro")
    yard.may("T. Okoro", "authorised technician")
    yard.says(released, "T. Okoro")
    assert yard.site.item("R-1").state == "in service"


def test_nobody_signs_their_own_clearing_where_two_are_asked_for(yard: Yard) -> None:
    yard.may("M. Reyes", "lead hand", "authorised technician")
    yard.may("J. Marsh", "lead hand", "authorised technician")
    yard.says(e.PolicyChanged(two_persons=True))
    yard.made_up()
    incident = yard.incident()
    first, *others = yard.site.incidents()[0].gate
    for condition in others:
        yard.clear(incident, condition.id)
    with pytest.raises(Refused, match="cleared all the others"):
        yard.clear(incident, first.id, "m.  reyes")
    yard.clear(incident, first.id, "J. Marsh")
    for who in ("J. Marsh", "M. Reyes"):
        with pytest.raises(Refused, match="two persons"):
            yard.sign(author=who)
    yard.sign(author="P. Lindqvist")
    with pytest.raises(Refused, match="nobody authorises themself"):
        yard.says(e.Authorised(person="J. Marsh", role="lead hand"), "J. Marsh")


def test_a_site_may_ask_for_a_role_to_sign(yard: Yard) -> None:
    yard.made_up()
    yard.says(e.PolicyChanged(sign_off_by=("lead hand",)))
    with pytest.raises(Refused, match="lead hand"):
        yard.sign()
    yard.may("M. Reyes", "lead hand")
    yard.sign()


def test_cylinders_move_and_keep_their_gas(yard: Yard) -> None:
    yard.says(e.CylinderMoved(mark="C-7", gas="acetylene", came_from="supplier", to="store", state="full", contents="68.2 kg"))
    moved = yard.says(e.CylinderMoved(mark="C-7", gas="acetylene", to="Slip 2", state="full"))
    body = yard.site.event(moved).body
    assert isinstance(body, e.CylinderMoved)
    assert body.came_from == "store"
    with pytest.raises(InputError, match="holds acetylene"):
        yard.says(e.CylinderMoved(mark="C-7", gas="oxygen", to="store", state="empty"))
    assert [found.place for found in yard.site.cylinders()] == ["Slip 2"]


def test_a_call_goes_in_together_or_not_at_all(yard: Yard) -> None:
    size = yard.site.size
    with pytest.raises(InputError):
        yard.site.append(yard.new(e.GearAdded(mark="R-1", item="hose")), yard.new(e.GearAdded(mark="R-1", item="hose")))
    assert yard.site.size == size
    with pytest.raises(UnknownName):
        yard.site.item("R-1")


def test_the_same_id_again_is_the_same_event(yard: Yard) -> None:
    new = yard.new(e.GearAdded(mark="R-1", item="hose"))
    first, again = yard.site.append(new)[0], yard.site.append(new)[0]
    assert (again.known, again.sequence) == (True, first.sequence)
    with pytest.raises(InputError, match="another event"):
        yard.site.append(yard.new(e.Noted(says="other"), id=new.id))


@pytest.mark.parametrize("text", ["\x00", "\ud800", "x" * 5000])
def test_text_that_no_database_keeps_is_refused_before_it_gets_there(yard: Yard, text: str) -> None:
    with pytest.raises(InputError):
        yard.says(e.Noted(says=text or " "))


def test_an_unknown_name_comes_with_the_nearest_known(yard: Yard) -> None:
    yard.gear("REG-0142")
    with pytest.raises(UnknownName, match="reg-0142"):
        yard.site.item("REG-0124")
