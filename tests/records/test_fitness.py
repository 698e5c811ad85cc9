"""May an item be used? One judgement, whoever asks: list, JSON, label, due list, audit pack, register, item page, yard and sign-off rule."""

import itertools
from datetime import date, timedelta
from typing import Any

import pytest

from steadycone.errors import InputError, Refused
from steadycone.records import events as e
from steadycone.records.audit_pack import Period, audit_pack
from steadycone.records.fitness import fitness
from steadycone.records.gear_label import label_of
from steadycone.records.gear_told import item_dict, item_row
from steadycone.records.held import every_held, held
from steadycone.records.rows import NEVER, UNKNOWN, Item, OpenDefect
from tests.records.conftest import Yard

ON = date(2026, 11, 25)
CALM: dict[str, Any] = {**dict.fromkeys(("due_day", "stop_day"), date(2027, 11, 25).toordinal()), "due_why": "replace"}
STOP, SMALL = {"d": OpenDefect(severity="stop", says="glass cracked")}, {"d": OpenDefect(severity="caution", says="label worn")}


def day(ordinal: int) -> dict[str, int]:
    """The day that its first clock ends, in a stop."""
    return {"due_day": ordinal, "stop_day": ordinal}


def item(**fields: Any) -> Item:
    return Item(key="r-1", first=1, last=1, mark="R-1", item="regulator", gas="oxygen", **(CALM | fields))


# What is true of it, and what that comes to: verdict, word, first words.
CASES: dict[str, tuple[dict[str, Any], tuple[str, str, str]]] = {
    "in service": ({}, ("go", "in service", "in service")),
    "no rule makes it due": ({**day(NEVER), "due_why": ""}, ("go", "in service", "in service, no set date")),
    "quarantined": ({"state": "quarantined", "reason": "creep."}, ("stop", "quarantined", "quarantined: creep")),
    "failed its test": ({"state": "quarantined", "reason": "failed creep test: 0.5 bar"}, ("stop", "quarantined", "quarantined: failed creep test: 0.5 bar")),
    "a state nobody knows": ({"state": "lent"}, ("stop", "quarantined", "quarantined")),
    "retired": ({"state": "retired", "reason": "lost"}, ("stop", "retired", "retired: lost")),
    "held by an incident": ({"incidents": ("i",)}, ("stop", "held", "held by an incident")),
    "held by two": ({"incidents": ("i", "j")}, ("stop", "held", "held by 2 incidents")),
    "open stop defect": ({"defects": STOP}, ("stop", "held", "defect: glass cracked")),
    "a severity nobody knows": ({"defects": {"d": OpenDefect(severity="?", says="x")}}, ("stop", "held", "defect: x")),
    "open caution defect": ({"defects": SMALL}, ("caution", "in service", "defect: label worn")),
    "overdue by a day": ({**day(ON.toordinal() - 1)}, ("stop", "out of date", "out of date since 2026-11-24")),
    "due today": ({**day(ON.toordinal())}, ("caution", "in service", "due today")),
    "due in 30 days": ({**day(ON.toordinal() + 30)}, ("caution", "in service", "due in 30 days")),
    "due in 31 days": ({**day(ON.toordinal() + 31)}, ("go", "in service", "in service")),
    "undated": ({**day(UNKNOWN), "due_why": "unknown age"}, ("stop", "out of date", "age not known")),
    "late by habit": ({"due_day": ON.toordinal() - 1, "due_why": "test"}, ("caution", "in service", "examination due since 2026-11-24")),
    "a date missing, by habit": ({"due_day": UNKNOWN}, ("caution", "in service", "a date is missing")),
    "late by habit, and due soon": (
        {"due_day": ON.toordinal() - 1, "stop_day": ON.toordinal() + 1, "due_why": "test"},
        ("caution", "in service", "examination due since 2026-11-24"),
    ),
    "quarantined, and a stop defect": ({"state": "quarantined", "reason": "creep", "defects": STOP}, ("stop", "quarantined", "quarantined: creep")),
    "small defect, and overdue": ({"defects": SMALL, **day(ON.toordinal() - 1)}, ("stop", "out of date", "out of date since 2026-11-24")),
    "stop defect, and due soon": ({"defects": STOP, **day(ON.toordinal() + 1)}, ("stop", "held", "defect: glass cracked")),
    "incident, and undated": ({"incidents": ("i",), **day(UNKNOWN)}, ("stop", "held", "held by an incident")),
    "retired, and due soon": ({"state": "retired", "reason": "lost", **day(ON.toordinal())}, ("stop", "retired", "retired: lost")),
}  # fmt: skip
_ORDER = {"stop": 0, "caution": 1, "go": 2}


@pytest.mark.parametrize("name", CASES)
def test_one_judgement_of_each_case_and_everybody_repeats_it(name: str) -> None:
    fields, expected = CASES[name]
    now = fitness(item(**fields), ON)
    assert (now.verdict, now.word, now.says) == expected
    told = item_dict(item(**fields), ON)
    assert (told["verdict"], told["state"], told["says"]) == expected
    assert item_row(item(**fields), ON)[10] == expected[2]
    if now.word == "retired":
        with pytest.raises(InputError, match="retired"):
            label_of(item(**fields), ON)
    else:
        assert label_of(item(**fields), ON).state == {"held": "quarantined"}.get(expected[1], expected[1])


def _agree(one: dict[str, Any], other: dict[str, Any]) -> bool:
    """Whether both can be true of one item."""
    return all(one[name] == other[name] for name in one if name in other)


PAIRS = [pair for pair in itertools.permutations(CASES, 2) if _agree(CASES[pair[0]][0], CASES[pair[1]][0])]


def test_two_together_are_never_better_than_either_whichever_comes_first() -> None:
    assert len(PAIRS) > 100
    for first, second in PAIRS:
        both = fitness(item(**CASES[first][0] | CASES[second][0]), ON)
        worst = min(CASES[first][1][0], CASES[second][1][0], key=_ORDER.__getitem__)
        assert both.verdict == worst, (first, second)
        assert list(both.reasons) == sorted(both.reasons, key=lambda reason: _ORDER[reason.verdict])


# --- through the store: each way an item comes to be what it is ------------------------


def happens(yard: Yard, what: str) -> None:
    """R-1 at Slip 2, and what becomes of it."""
    gate = (e.GateCondition(id="recorded", who="lead hand"),)
    bodies: dict[str, tuple[e.Event, ...]] = {
        "go": (),
        "quarantined": (e.Quarantined(mark="R-1", reason="creep"),),
        "failed test": (e.TestResult(mark="R-1", test="creep", value="0.5 bar", passed=False),),
        "incident": (e.Incident(station="Slip 2", event="flashback", gate=gate),),
        "two incidents": (e.Incident(station="Slip 2", event="flashback", gate=gate), e.Incident(station="Slip 2", event="leak", gate=gate)),
        "stop defect": (e.DefectFound(mark="R-1", says="glass cracked", severity="stop"),),
        "caution defect": (e.DefectFound(mark="R-1", says="label worn", severity="caution"),),
        "overdue": (e.GearDated(mark="R-1", which="made", date="2019-01"),),
        "due soon": (e.GearDated(mark="R-1", which="made", date="2021-12"),),
        "overdue and defect": (
            e.GearDated(mark="R-1", which="made", date="2019-01"), e.DefectFound(mark="R-1", says="worn", severity="caution"),
        ),
    }  # fmt: skip
    yard.made_up()
    for body in bodies[what]:
        yard.says(body)


VERDICTS = {
    "go": "go", "quarantined": "stop", "failed test": "stop", "incident": "stop", "two incidents": "stop", "stop defect": "stop",
    "caution defect": "caution", "overdue": "stop", "due soon": "caution", "overdue and defect": "stop",
}  # fmt: skip


@pytest.mark.parametrize("what", VERDICTS)
def test_all_who_ask_of_the_store_get_the_same_answer(yard: Yard, what: str) -> None:
    happens(yard, what)
    site, verdict = yard.site, VERDICTS[what]
    row = site.item("R-1")
    assert fitness(row, ON).verdict == item_dict(row, ON)["verdict"] == verdict
    assert (label_of(row, ON).state != "in service") == (verdict == "stop")
    register = audit_pack(site, Period(ON, ON), ON, "", (), "A4").after[-1]
    assert next(line for line in register.rows if line.cells[0] == "R-1").verdict == verdict
    if what in ("overdue", "due soon", "overdue and defect"):
        assert [due.item.mark for due in site.due(ON)] == ["R-1"]
    found = held(site, "Slip 2").findings(ON)
    assert every_held(site)(site.station("Slip 2")).findings(ON) == found
    assert min((finding.verdict for finding in found), key=_ORDER.__getitem__, default="go") == verdict
    if verdict == "stop":
        with pytest.raises(Refused):
            yard.sign()
    else:
        yard.sign()
    assert site.stale() == []


def test_a_defect_that_is_closed_lets_go_and_so_does_gear_that_is_released(yard: Yard) -> None:
    happens(yard, "stop defect")
    (defect,) = yard.site.defects()
    yard.says(e.DefectClosed(defect=defect.key, how="new glass"))
    assert fitness(yard.site.item("R-1"), ON).verdict == "go"
    yard.may("M. Reyes", "authorised technician")
    yard.says(e.Quarantined(mark="R-1", reason="creep"))
    yard.says(e.Released(mark="R-1", cleared=(e.Cleared(condition="new seat", by="M. Reyes", evidence="creep 0.0 bar"),)))
    assert held(yard.site, "Slip 2").findings(ON) == ()
    yard.sign()


def test_gear_takes_its_defect_along_and_leaves_the_station_free_of_it(yard: Yard) -> None:
    happens(yard, "stop defect")
    yard.says(e.GearRemoved(mark="R-1"))
    assert held(yard.site, "Slip 2").findings(ON) == ()
    yard.sign()
    yard.says(e.GearFitted(mark="R-1", station="Slip 3", place="oxygen regulator"))
    assert [finding.code for finding in held(yard.site, "Slip 3").findings(ON)] == ["record-defect"]
    with pytest.raises(Refused, match="glass cracked"):
        yard.sign("Slip 3")


def test_a_defect_of_the_station_itself_stays_with_it(yard: Yard) -> None:
    yard.made_up()
    yard.says(e.DefectFound(station="Slip 2", says="wheel off", severity="stop"))
    for mark in ("R-1", "H-1"):
        yard.says(e.GearRemoved(mark=mark))
    assert [finding.code for finding in held(yard.site, "Slip 2").findings(ON)] == ["record-defect"]


def test_gear_that_is_retired_while_fitted_is_off_the_station(yard: Yard) -> None:
    yard.made_up()
    yard.says(e.GearRetired(mark="R-1", why="scrapped"))
    assert (fitness(yard.site.item("R-1"), ON).word, held(yard.site, "Slip 2").findings(ON)) == ("retired", ())
    assert "oxygen regulator" not in yard.site.station("Slip 2").makeup


def test_gear_whose_entry_was_annulled_is_a_stop_where_it_hangs(yard: Yard) -> None:
    added = yard.gear("R-1")
    yard.says(e.StationMadeUp(station="Slip 2", makeup={"oxygen regulator": "R-1"}))
    yard.says(e.Correction(corrects=added, why="typed twice"))
    assert [finding.code for finding in held(yard.site, "Slip 2").findings(ON)] == ["record-not-known"]
    with pytest.raises(Refused, match="does not know it"):
        yard.sign()


def test_a_day_later_it_is_out_of_date(yard: Yard) -> None:
    yard.made_up()
    row = yard.site.item("R-1")
    assert row.due_on is not None
    assert fitness(row, row.due_on).verdict == "caution"
    assert fitness(row, row.due_on + timedelta(days=1)).verdict == "stop"
