"""What the records hold against a station, laid over its card; and what may hang where."""

import re
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from steadycone.card.make import make_card
from steadycone.data.reader import toml
from steadycone.errors import InputError, Refused
from steadycone.files.policy import policy_from_text
from steadycone.files.station import station_from_text
from steadycone.practice.dates import DATED, judge_one
from steadycone.records import events as e
from steadycone.records.cap import chart_cap
from steadycone.records.due import finished
from steadycone.records.fitness import fitness
from steadycone.records.held import held
from steadycone.records.places import misfit, named, places
from steadycone.records.policy import template
from steadycone.records.rows import Item
from steadycone.records.station_files import file_paper, read_station
from steadycone.render.json_card import card_dict
from steadycone.render.pdf_card import pdf_card
from steadycone.render.text import text_card
from steadycone.render.view import view_of
from steadycone.render.words import Words
from steadycone.units import GivenDate
from tests.records.conftest import Yard
from tests.records.filing import CHART, EXAMPLES, NAME, POLICY, TEXT, filed

ON = date(2026, 11, 25)
GATE = (e.GateCondition(id="recorded", who="lead hand"),)


def gear(yard: Yard, mark: str = "R-1", item: Any = "regulator", gas: str = "oxygen", place: str = "oxygen regulator", **more: Any) -> None:
    dates: Any = {name: e.Dated(date=day) for name, day in (more.pop("dates", None) or {"made": "2024-02", "tested": "2026-10"}).items()}
    yard.says(e.GearAdded(mark=mark, item=item, gas=gas, dates=dates, **more))
    yard.says(e.GearFitted(mark=mark, station=NAME, place=place))


HELD: dict[str, tuple[e.Event, ...]] = {
    "record-quarantined": (e.Quarantined(mark="R-1", reason="creeps to 6.6 bar"),),
    "record-incident": (e.Incident(station=NAME, event="flashback", gate=GATE, says="soot in the hose"),),
    "record-defect": (e.DefectFound(mark="R-1", says="gauge glass cracked", severity="stop"),),
    "record-overdue": (e.GearDated(mark="R-1", which="tested", date="2025-01", basis="certificate 12, R. Holt"),),
}


@pytest.mark.parametrize("code", HELD)
def test_a_stop_of_the_records_is_a_stop_on_every_paper(yard: Yard, code: str) -> None:
    filed(yard)
    gear(yard)
    files = read_station(yard.site, NAME)
    own = make_card(files.setup, ON)
    assert own.verdict != "stop"
    assert not [finding for finding in held(yard.site, NAME).findings(ON, files.setup) if finding.verdict == "stop"]
    for body in HELD[code]:
        yard.says(body)
    card = held(yard.site, NAME).card(files.setup, ON)
    told, before = card_dict(card), card_dict(own)
    assert (card.verdict, card.findings[0].code, told["verdict"], told["findings"][0]["code"]) == ("stop", code, "stop", code)
    assert told["hash"] != before["hash"]
    view = view_of(card, told)
    assert not view.signs
    assert not any(panel.sets for panel in view.panels)
    assert view.findings[0].code == code
    assert "DO NOT SET" in text_card(view)
    assert pdf_card(view).startswith(b"%PDF")
    with pytest.raises(Refused) as refused:
        yard.sign(NAME)
    assert refused.value.says == Words.of("uk").says(card.findings[0]).rstrip(".")


def test_every_wording_of_the_records_is_filled_and_short(yard: Yard) -> None:
    filed(yard)
    gear(yard, ratings={"outlet": "0.8 bar"})
    gear(yard, "H-1", "hose", "oxygen", "oxygen part 2", dates={"made": "2019-01"})
    gear(yard, "C-1", "check valve", "oxygen", "oxygen part 3", dates={"tested": "2026-10"})
    for body in (
        e.DefectFound(station=NAME, says="wheel off", severity="stop"), e.DefectFound(station=NAME, says="paint", severity="caution"),
        e.DefectFound(mark="R-1", says="label worn", severity="caution"), e.DefectFound(mark="H-1", says="cut", severity="stop"),
        e.Quarantined(mark="C-1", reason="leaks back"), e.Incident(station=NAME, event="flashback", gate=GATE),
    ):  # fmt: skip
        yard.says(body)
    setup = read_station(yard.site, NAME).setup
    for region in ("uk", "us"):
        for finding in held(yard.site, NAME).findings(ON, setup):
            words = Words.of(region)
            said = words.says(finding) + words.do(finding) + words.remedy(finding)
            assert "{" not in said
            assert ": ." not in said


def test_a_caution_of_the_records_withholds_nothing(yard: Yard) -> None:
    filed(yard)
    gear(yard)
    yard.says(e.DefectFound(mark="R-1", says="label worn", severity="caution"))
    setup = read_station(yard.site, NAME).setup
    card = held(yard.site, NAME).card(setup, ON)
    assert card.verdict == "caution"
    assert all(panel.sets for panel in view_of(card, card_dict(card)).panels)


def test_with_nothing_against_it_the_card_is_the_files_own(yard: Yard) -> None:
    filed(yard)
    gear(yard)
    setup = read_station(yard.site, NAME).setup
    assert card_dict(held(yard.site, NAME).card(setup, ON)) == card_dict(make_card(setup, ON))


def test_two_incidents_hold_until_both_are_cleared(yard: Yard) -> None:
    filed(yard)
    gear(yard)
    yard.may("M. Reyes", "lead hand")
    ids = [yard.incident("dirty tip", NAME) for _ in range(2)]
    codes = [finding.code for finding in held(yard.site, NAME).findings(ON)]
    assert codes.count("record-incident") == 2
    for left, id_ in zip((1, 0), ids, strict=True):
        yard.open_gate(id_)
        found = [finding.code for finding in held(yard.site, NAME).findings(ON)]
        assert (found.count("record-incident"), found.count("record-held")) == (left, left)


def test_a_sign_off_that_ended_is_a_caution_until_the_next_one(yard: Yard) -> None:
    yard.made_up()
    yard.sign()
    yard.says(e.SignOffEnded(station="Slip 2", why="joint-broken"))
    (found,) = held(yard.site, "Slip 2").findings(ON)
    assert (found.code, found.verdict, Words.of("uk").says(found)) == (
        "record-sign-off", "caution", "The last sign-off ended before its time: a joint was broken.",
    )  # fmt: skip
    yard.sign()
    assert held(yard.site, "Slip 2").findings(ON) == ()


# --- ratings -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("outlet", "verdict", "code"),
    [("10 bar", None, None), ("9.95 bar", None, None), ("9.5 bar", "caution", "record-rating"), ("0.8 bar", "stop", "regulator-range")],
)
def test_the_lower_rating_counts_and_is_asked_about(yard: Yard, outlet: str, verdict: str | None, code: str | None) -> None:
    filed(yard)
    gear(yard, ratings={"outlet": outlet, "colour": "blue"})
    setup = read_station(yard.site, NAME).setup
    card = held(yard.site, NAME).card(setup, ON)
    if code is None:
        assert card_dict(card) == card_dict(make_card(setup, ON))
        return
    assert ("record-rating", "caution") in [(finding.code, finding.verdict) for finding in card.findings]
    assert (code, verdict) in [(finding.code, finding.verdict) for finding in card.findings]


# --- places ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("item", "gas", "place", "says"),
    [
        ("regulator", "acetylene", "oxygen regulator", "marked for acetylene; oxygen regulator carries oxygen"),
        ("hose", "acetylene", "fuel part 99", 'no place "fuel part 99"'),
        ("arrestor", "acetylene", "fuel part 2", "an arrestor; the file has a hose"),
        ("regulator", "oxygen", "fuel regulator", "marked for oxygen"),
        ("hose", "oxygen", "fuel hose", "marked for oxygen"),
        ("torch", "propane", "torch", "marked for propane"),
        ("other", "", "fuel part 2", "an other"),
        ("gauge", "acetylene", "oxygen gauge", "marked for acetylene"),
    ],
)
def test_what_does_not_fit_the_file_is_refused_by_fit_and_by_make_up(yard: Yard, item: Any, gas: str, place: str, says: str) -> None:
    filed(yard)
    yard.says(e.GearAdded(mark="X-1", item=item, gas=gas))
    with pytest.raises(Refused, match=re.escape(says)) as refused:
        yard.says(e.GearFitted(mark="X-1", station=NAME, place=place))
    assert refused.value.where == f"{NAME}, {place}"
    assert refused.value.try_
    with pytest.raises(Refused, match=re.escape(says)):
        yard.says(e.StationMadeUp(station=NAME, makeup={place: "X-1"}))
    assert yard.site.station(NAME).makeup == {}


@pytest.mark.parametrize(
    ("item", "gas", "place"),
    [
        ("regulator", "oxygen", "Oxygen regulator"), ("hose", "acetylene", "fuel part 2"), ("hose", "acetylene", "fuel hose"),
        ("check valve", "acetylene", "fuel non-return valve"), ("regulator", "any fuel", "fuel regulator"), ("torch", "", "torch"),
        ("gauge", "oxygen", "oxygen gauge"), ("trolley", "", "trolley"), ("tip", "", "tip"),
    ],
)  # fmt: skip
def test_what_fits_is_fitted(yard: Yard, item: Any, gas: str, place: str) -> None:
    filed(yard)
    yard.says(e.GearAdded(mark="X-1", item=item, gas=gas))
    yard.says(e.GearFitted(mark="X-1", station=NAME, place=place))
    assert yard.site.item("X-1").place == place


def test_one_place_under_two_names_is_one_place(yard: Yard) -> None:
    filed(yard)
    gear(yard, "H-1", "hose", "acetylene", "fuel hose")
    yard.says(e.GearAdded(mark="H-2", item="hose", gas="acetylene"))
    with pytest.raises(Exception, match="H-1 is fitted there"):
        yard.says(e.GearFitted(mark="H-2", station=NAME, place="fuel part 2"))


def test_an_item_that_is_fitted_again_leaves_its_old_place(yard: Yard) -> None:
    yard.gear("H-1", "hose")
    for place in ("oxygen part 1", "oxygen part 3"):
        yard.says(e.GearFitted(mark="H-1", station="Slip 9", place=place))
    assert yard.site.station("Slip 9").makeup == {"oxygen part 3": "H-1"}


def test_a_station_without_a_file_takes_what_it_is_told(yard: Yard) -> None:
    yard.says(e.GearAdded(mark="X-1", item="hose", gas="acetylene"))
    yard.says(e.GearFitted(mark="X-1", station="Slip 9", place="fuel part 99"))
    assert yard.site.station("Slip 9").makeup == {"fuel part 99": "X-1"}


def test_gear_that_hung_wrong_before_is_told_on_the_card(yard: Yard) -> None:
    yard.says(
        e.GearAdded(
            mark="X-1", item="regulator", gas="acetylene", dates={"made": e.Dated(date="2024-02"), "tested": e.Dated(date="2026-10")}
        )
    )
    yard.says(e.GearFitted(mark="X-1", station=NAME, place="oxygen regulator"))
    filed(yard)
    setup = read_station(yard.site, NAME).setup
    assert ("record-place", "stop") in [(found.code, found.verdict) for found in held(yard.site, NAME).findings(ON, setup)]
    with pytest.raises(Refused, match="marked for acetylene"):
        yard.sign(NAME)


def test_a_place_with_two_of_a_kind_asks_which() -> None:
    noun = station_from_text((EXAMPLES / "slip-2.toml").read_text(encoding="utf-8").replace(
        '[[fuel.part]]\nkind = "check valve"', '[[fuel.part]]\nkind = "arrestor"', 1))  # fmt: skip
    item = Item(key="a", first=1, last=1, mark="A-1", item="arrestor", gas="acetylene")
    assert len(named(noun, "fuel arrestor")) == 2
    found = misfit(item, "fuel arrestor", noun)
    assert found is not None
    assert "fuel part 1 (arrestor), fuel part 3 (arrestor)" in found.says
    assert misfit(item, "fuel part 3", noun) is None
    assert [place.name for place in places(noun)][-1] == "torch"


# --- one source of intervals -----------------------------------------------------------------


def test_gear_is_counted_by_the_policy_that_its_station_names_and_again_when_that_changes(yard: Yard) -> None:
    filed(yard)
    gear(yard, "A-1", "arrestor", "acetylene", "fuel part 1", dates={"made": "2024-01", "tested": "2026-03-04"})
    before = yard.site.item("A-1").due_on
    text = (EXAMPLES / POLICY).read_text(encoding="utf-8")
    hash_ = yard.site.paper(POLICY).hash
    assert 'arrestor = "1 year"' in text
    strict = text.replace('arrestor = "1 year"', 'arrestor = "6 months"')
    file_paper(yard.site, "A. Lindqvist", yard.clock.now, POLICY, "policy", strict.encode(), base=hash_)
    assert (before, yard.site.item("A-1").due_on) == (date(2027, 3, 4), date(2026, 9, 4))
    assert fitness(yard.site.item("A-1"), ON).verdict == "stop"
    assert [due.item.mark for due in yard.site.due(ON)] == ["A-1"]
    assert yard.site.stale() == []
    yard.says(e.GearRemoved(mark="A-1"))
    assert yard.site.item("A-1").due_on == date(2027, 3, 4)  # in the store the site's own rule counts
    yard.site.rebuild()
    assert yard.site.stale() == []


_MONTHS = st.integers(1, 72).map(lambda months: f"{months} months")
_CLOCKS = st.fixed_dictionaries(
    {},
    optional={
        "examined": _MONTHS, "life": _MONTHS, "examined_from": st.sampled_from(["test", "test or make"]),
        "caution": st.lists(st.sampled_from(["examined", "life"]), unique=True), "unknown_age": st.sampled_from(["overdue", "caution"]),
    },
).filter(lambda clocks: "examined" in clocks or "life" in clocks)  # fmt: skip


def _policy_text(name: str, clocks: dict[str, Any]) -> str:
    def told(value: Any) -> str:
        return "[" + ", ".join(f'"{one}"' for one in value) + "]" if isinstance(value, list) else f'"{value}"'

    return f'format = "steadycone-policy/1"\n[intervals.{name}]\n' + "".join(f"{key} = {told(value)}\n" for key, value in clocks.items())


@settings(max_examples=300, deadline=None)
@given(
    kind=st.sampled_from(sorted(DATED)), region=st.sampled_from(["uk", "eu", "us", "au"]), clocks=_CLOCKS,
    made=st.none() | st.dates(date(2015, 1, 1), ON), tested=st.none() | st.dates(date(2015, 1, 1), ON), after=st.integers(0, 3000),
)  # fmt: skip
def test_card_and_register_agree_on_every_day(
    kind: Any, region: str, clocks: dict[str, Any], made: date | None, tested: date | None, after: int
) -> None:
    try:
        policy = policy_from_text(_policy_text(DATED[kind], clocks), region)
    except InputError:  # looser than the law, or a clock that does not run
        reject()
    days = {name: day for name, day in (("made", made), ("tested", tested)) if day}
    dates = {name: e.Dated(date=day.isoformat()) for name, day in days.items()}
    row = finished(Item(key="x", first=1, last=1, mark="X", item=kind, dates=dates), template(region), policy)
    on = max([*days.values(), date(2015, 1, 1)]) + timedelta(days=after)
    given_days = [GivenDate.parse(days[name].isoformat()) if name in days else None for name in ("made", "tested")]
    order = {"stop": 0, "caution": 1, "go": 2}
    card = min((finding.verdict for finding in judge_one("x", kind, *given_days, policy, on)), key=order.__getitem__, default="go")
    assert fitness(row, on).verdict == card


def test_every_name_of_a_rating_is_a_field_of_the_file() -> None:
    noun = station_from_text(TEXT)
    for owners in toml("records.toml")["rating"].values():
        for owner, field in owners.items():
            assert hasattr(noun.oxygen.regulator if owner == "regulator" else noun.oxygen.part[0], field)


# --- the cap a chart is drawn with ---------------------------------------------------------


def test_a_charts_cap_is_that_of_the_policies_under_which_it_is_used(yard: Yard) -> None:
    assert chart_cap(yard.site, CHART) == pytest.approx(1.5e5)
    filed(yard)
    assert chart_cap(yard.site, CHART) == pytest.approx(1.2e5)  # the yard's own
    loose = 'format = "steadycone-policy/1"\nacetylene_cap = "0.9 bar"\n'
    file_paper(yard.site, "A. Lindqvist", yard.clock.now, "policies/other.toml", "policy", loose.encode())
    assert chart_cap(yard.site, CHART) == pytest.approx(1.2e5)
    assert chart_cap(yard.site, "charts/new.csv") == pytest.approx(0.9e5)  # nobody uses it yet: the strictest there is


@pytest.mark.parametrize("name", ["slip-2", "gantry-three-hose", "bay-4-us"])
def test_every_place_of_a_file_is_found_by_its_own_name(name: str) -> None:
    noun = station_from_text((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))
    assert [named(noun, place.name) for place in places(noun)] == [(place,) for place in places(noun)]
    assert named(noun, "oxygen part 0") == named(noun, "oxygen part 12345") == named(noun, "water part 1") == ()
