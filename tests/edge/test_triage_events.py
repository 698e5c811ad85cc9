"""Signs to events, actions, causes and the gate. The pairs of description and event are the trade's own, as taught."""

from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.data.reader import sources, toml
from steadycone.errors import UnknownName
from steadycone.files.read import read_setup
from steadycone.practice.finding import Finding
from steadycone.procedures.triage import triage
from steadycone.procedures.triage.reasons import FACTS
from steadycone.quantity import exact

EXAMPLES = Path(__file__).parents[2] / "examples"
ON = date(2026, 11, 25)
EVENTS = toml("triage/events.toml")
REGIONS = ["uk", "eu", "us", "ca", "au", "nz"]


@cache
def card(name: str) -> Card:
    return make_card(read_setup(EXAMPLES / f"{name}.toml"), ON)


def with_finding(base: Card, *findings: Finding) -> Card:
    codes = {finding.code for finding in findings}
    return replace(base, findings=(*findings, *(finding for finding in base.findings if finding.code not in codes)))


@pytest.mark.parametrize(
    ("saw", "event"),
    [
        ("pop", "backfire"),
        ("a single pop, the flame relit", "backfire"),
        ("crack, flame out", "backfire"),
        ("whistle, hot handle", "sustained backfire"),
        ("pop, then a squeal", "sustained backfire"),
        ("flame gone inside, black smoke", "sustained backfire"),
        ("bang, smoke, hot handle", "flashback"),
        ("screech, arrestor tripped", "flashback"),
        ("soot in the hose", "flashback"),
        ("fuel gauge rises when oxygen is opened", "reverse flow"),
        ("odd flame at lighting, low gauge rises", "reverse flow"),
        ("flame lifts off the tip", "blow-off"),
        ("low gauge climbs with the torch shut", "regulator creep"),
        ("frost on the regulator, flow dwindles", "regulator freezing"),
        ("flash and bang on opening the oxygen cylinder", "regulator fire"),
        ("cylinder warm, paint blistered", "cylinder heating"),
        ("purple spitting flame, smell of acetone", "solvent carry-over"),
        ("hose split, jet of flame from the hose", "hose burst"),
        ("roar dies, popping at full flow", "starved flame"),
        ("side jet, lopsided cones", "dirty tip"),
        ("smell of fuel at the nut", "leaking seat"),
        ("pop when the lever is pressed, hot head", "leaking seat"),
        ("soot", "unclear"),
        ("gauge movement", "unclear"),
        ("smell of gas", "gas escaping"),
    ],
)
def test_it_finds_the_event(saw: str, event: str) -> None:
    assert triage(saw).event == event


@pytest.mark.parametrize(
    ("branch", "event"), [("inside-torch", "sustained backfire"), ("burning", "hose burst"), ("hot-cylinder", "cylinder heating")]
)
def test_the_emergency_lists_own_signs_lead_to_the_same_branch(branch: str, event: str) -> None:
    signs = next(one for one in toml("emergency.toml")["branch"] if one["id"] == branch)["signs"].replace("{torch}", "torch")
    assert triage(signs).event == event


def test_a_description_that_fits_two_events_takes_the_more_dangerous_and_names_the_other() -> None:
    found = triage("whistle, side jet")
    assert found.event == "sustained backfire"
    assert found.also_fits == ("dirty tip",)
    assert found.unexplained == ("side-jet",)


def test_a_supporting_sign_alone_fits_no_event() -> None:
    found = triage("flame out")
    assert found.event == "none fits"  # alone it is how every cut ends
    assert {ask.event for ask in found.asks} >= {"sustained backfire", "flashback", "starved flame"}


@pytest.mark.parametrize(
    ("saw", "certainty"),
    [
        ("pop", "likely"),
        ("whistle, hot handle", "strong sign"),
        ("whistle, side jet", "possible"),
        ("whistle, gurgle", "possible"),
        ("frost, flow dwindles", "likely"),
    ],
)
def test_how_certain_it_is(saw: str, certainty: str) -> None:
    assert triage(saw).certainty == certainty


def test_a_pop_asks_whether_it_went_on() -> None:
    assert "sustained backfire" in {ask.event for ask in triage("pop").asks}


def test_what_was_denied_is_not_asked_again() -> None:
    denied = "pop, no hose split, hose not leaking, no flame outside the torch, no smell of rubber"
    assert "hose burst" not in {ask.event for ask in triage(denied).asks}


# --- first actions ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("event", "branch"),
    [
        ("sustained backfire", "inside-torch"),
        ("flashback", "inside-torch"),
        ("regulator fire", "burning"),
        ("hose burst", "burning"),
        ("cylinder heating", "hot-cylinder"),
    ],
)
def test_a_fire_or_hot_cylinder_begins_with_the_emergency_lists_steps(event: str, branch: str) -> None:
    steps = next(one for one in toml("emergency.toml")["branch"] if one["id"] == branch)["do"]
    deciding = EVENTS[event]["deciding"][0]
    said = toml("triage/signs.toml")[deciding]["also"][0]
    assert [action.do for action in triage(said).first_actions][: len(steps)] == steps


def test_no_text_tells_anybody_to_move_a_hot_cylinder() -> None:
    actions = " ".join(action.do for action in triage("hot cylinder").first_actions).lower()
    assert "leave it where it is" in actions
    assert "move-cylinder" in EVENTS["cylinder heating"]["never"]
    assert all("move-cylinder" in EVENTS[name]["never"] for name in ("flashback", "regulator fire", "hose burst", "unclear"))


# --- causes -----------------------------------------------------------------------


def test_a_starving_arrestor_moves_up_when_the_card_says_so() -> None:
    base = card("clean-bench")
    starving = Finding(
        "arrestor-starves", "caution", "fuel part 1 (arrestor)", exact(0.23, "share"), exact(0.1, "share"), exact(-0.13, "share")
    )
    before = [cause.id for cause in triage("whistle", base, "uk").causes]
    after = triage("whistle", with_finding(base, starving), "uk").causes
    assert after[0].id == "starving-arrestor"
    assert after[0].findings == (starving,)
    assert before.index("starving-arrestor") > 0


def test_a_stop_of_the_card_outranks_a_sign() -> None:
    short = Finding("hose-choked", "stop", "fuel line")
    causes = triage("whistle, tip touched the work", with_finding(card("clean-bench"), short), "uk").causes
    assert [cause.id for cause in causes[:2]] == ["starving-hose", "tip-touched"]


def test_what_the_card_clears_goes_last_and_is_still_there() -> None:
    causes = triage("whistle", card("clean-bench"), "uk").causes
    assert {cause.id for cause in causes if cause.cleared} == {cause.id for cause in causes[-2:]} == {"starving-arrestor", "starving-hose"}
    assert all(finding.verdict == "go" for cause in causes for finding in cause.cleared)


def test_a_named_sign_moves_its_cause_up() -> None:
    assert triage("pop, tip dirty").causes[0].id == "tip-fault"


def test_an_arrestor_that_is_due_soon_is_no_cause() -> None:
    causes = {cause.id: cause for cause in triage("bang", card("slip-2"), "uk").causes}
    assert not causes["arrestor-missing"].findings


def test_acetylenes_own_causes_and_events_stay_away_from_other_fuels() -> None:
    found = triage("frost", card("pontoon-lpg-au"), "au")
    assert found.causes[0].id == "lpg-evaporation"
    assert triage("purple flame", card("pontoon-lpg-au"), "au").event == "unclear"
    assert triage("purple flame", card("slip-2"), "uk").event == "solvent carry-over"


# --- the gate ---------------------------------------------------------------------


def gate(saw: str, *, policy: str = "scrap", base: str = "clean-bench") -> dict[str, str]:
    made = card(base)
    setup = made.figures.setup
    setup = type(setup)(
        station=setup.station,
        policy=type(setup.policy)(
            **{name: getattr(setup.policy, name) for name in setup.policy.__struct_fields__}
            | {"variants": setup.policy.variants | {"hose_after_flashback": policy}}
        ),
        chart=setup.chart,
        file=setup.file,
    )
    made = replace(made, figures=replace(made.figures, setup=setup))
    return {condition.id: condition.condition for condition in triage(saw, made, "uk").back_to_service}


def test_a_hose_with_soot_in_it_is_scrapped_whatever_the_policy() -> None:
    assert "hose-confirmed" in gate("bang, soot in the hose", policy="test")
    assert not {"hose-unconfirmed-test", "hose-unconfirmed-scrap"} & set(gate("soot in the hose", policy="test"))


def test_after_an_unconfirmed_flashback_the_policy_chooses_the_hoses_fate() -> None:
    assert "hose-unconfirmed-scrap" in gate("bang")
    assert "hose-unconfirmed-test" in gate("bang", policy="test")
    assert "hose-unconfirmed-scrap" in gate("bang", policy="something else")


@pytest.mark.parametrize("region", REGIONS)
def test_without_a_card_exactly_one_fate_is_named_for_the_hoses(region: str) -> None:
    for saw in ("bang", "soot in the hose"):
        assert len([one for one in triage(saw, None, region).back_to_service if one.id.startswith("hose-")]) == 1


def test_after_a_cylinder_was_hot_the_hoses_are_scrapped() -> None:
    assert "hose-confirmed" in {one.id for one in triage("hot cylinder").back_to_service}


def test_a_card_that_stops_gives_no_number_to_set_and_asks_for_its_stop_to_go() -> None:
    stopped = card("bay-4-us")
    assert stopped.verdict == "stop"
    conditions = {one.id: one for one in triage("roar dies", stopped, "us").back_to_service}
    assert conditions["card-stops"].stops
    assert not conditions["pressures-flowing"].numbers
    assert not conditions["leak-and-purge"].numbers


def test_acetylenes_cap_stands_beside_its_pressure() -> None:
    conditions = {one.id: one for one in triage("roar dies", card("slip-2"), "uk").back_to_service}
    assert "cap" in conditions["leak-and-purge"].numbers
    assert "{cap}" in conditions["leak-and-purge"].condition
    lpg = {one.id: one for one in triage("roar dies", card("pontoon-lpg-au"), "au").back_to_service}
    assert "cap" not in lpg["leak-and-purge"].numbers


def test_an_unknown_region_is_refused() -> None:
    with pytest.raises(UnknownName):
        triage("pop", None, "mars")


# --- the tables -------------------------------------------------------------------


def test_every_id_that_an_event_lists_exists() -> None:
    signs, causes = toml("triage/signs.toml"), toml("triage/causes.toml")
    tables = {"never": toml("triage/never.toml"), "gate": toml("triage/gates.toml"), "causes": causes}
    actions, branches = toml("triage/actions.toml"), {branch["id"] for branch in toml("emergency.toml")["branch"]}
    for event in EVENTS.values():
        assert set(event["deciding"]) | set(event["supporting"]) | set(event.get("confirming", [])) <= set(signs)
        assert not set(event["deciding"]) & set(event["supporting"])
        for kind, table in tables.items():
            assert set(event[kind]) <= set(table)
            assert len(set(event[kind])) == len(event[kind])
        for first in event["first"]:
            assert first in actions or first.removeprefix("emergency:") in branches
    for cause in causes.values():
        assert set(cause.get("signs", [])) <= set(signs)
        assert set(cause.get("facts", [])) <= set(FACTS)


def test_nothing_in_the_tables_is_unused() -> None:
    def used(kind: str) -> set[str]:
        return {name for event in EVENTS.values() for name in event[kind]}

    assert used("causes") == set(toml("triage/causes.toml"))
    assert used("never") == set(toml("triage/never.toml"))
    assert used("gate") == set(toml("triage/gates.toml"))
    assert {name for name in used("first") if not name.startswith("emergency:")} == set(toml("triage/actions.toml"))


def test_every_sign_serves_an_event_or_a_cause() -> None:
    events = {sign for event in EVENTS.values() for sign in (*event["deciding"], *event["supporting"])}
    causes = {sign for cause in toml("triage/causes.toml").values() for sign in cause.get("signs", [])}
    assert set(toml("triage/signs.toml")) == events | causes


def test_the_codes_that_raise_a_cause_are_findings() -> None:
    codes = set(toml("findings.toml"))
    for name, cause in toml("triage/causes.toml").items():
        named = {code.partition("=")[0] for code in (*cause.get("raised_by", []), *cause.get("cleared_by", []))}
        assert named <= codes, name


def test_every_text_has_a_source_that_exists() -> None:
    for table in ("actions", "causes", "never", "gates", "events"):
        for name, entry in toml(f"triage/{table}.toml").items():
            assert entry["source"], name
            assert set(entry["source"]) <= set(sources()), name


def conditions(saw: str, base: Card | None = None) -> list[str]:
    return [one.id for one in triage(saw, base, "uk").back_to_service]


def test_soot_is_blown_out_only_after_every_look() -> None:
    ids = conditions("squeal, hot handle")
    assert ids.index("soot-blown") > max(ids.index(look) for look in ("tip-and-seats", "hose-inside", "arrestors-tested"))


def test_the_acetylene_cylinder_of_a_confirmed_flashback_is_not_used_again() -> None:
    assert "cylinder-not-used-again" in conditions("bang, soot in the hose", base=card("slip-2"))
    assert "cylinder-not-used-again" in conditions("bang, soot in the hose")  # the fuel is not known
    assert "cylinder-not-used-again" not in conditions("loud bang", base=card("slip-2"))  # unconfirmed
    assert "cylinder-not-used-again" not in conditions("bang, soot in the hose", base=card("pontoon-lpg-au"))


def test_the_gate_tells_how_long_cylinders_are_watched_also_where_the_card_stops_or_there_is_none() -> None:
    stopped = with_finding(card("slip-2"), Finding("oil", "stop", "oxygen regulator"))
    for base in (card("slip-2"), stopped, None):
        found = next(one for one in triage("loud bang", base, "uk").back_to_service if one.id == "cylinder-stayed-cold")
        assert found.numbers["watch"].value == 3600
        assert "{watch}" in found.condition
