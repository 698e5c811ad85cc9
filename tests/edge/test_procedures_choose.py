"""The steps a person sees: gear that is there, numbers from the card, and nothing twice."""

import tomllib
from pathlib import Path

import pytest
from tests import factories
from tests.stations import card

from steadycone.assembly.figures import Figures
from steadycone.card.make import make_card
from steadycone.data import reader
from steadycone.errors import UnknownName
from steadycone.files.read import read_setup
from steadycone.procedures.choose import procedures, steps, title
from steadycone.procedures.conditions import CONDITIONS
from steadycone.procedures.rules import shade_of
from steadycone.procedures.variants import variants
from steadycone.render.words import Words

FOLDER = Path(reader.FOLDER) / "procedures"
EXAMPLES = Path(__file__).parents[2] / "examples"
TABLES = {path.name: tomllib.loads(path.read_text(encoding="utf-8")) for path in FOLDER.glob("*.toml")}
STEPS = [(name, step) for name, table in TABLES.items() for step in table.get("step", [])]


def ids(figures: Figures, procedure: str = "setup") -> list[str]:
    return [step.id for step in steps(figures, procedure)]


def told(figures: Figures, step_id: str, procedure: str = "setup") -> str:
    (step,) = [step for step in steps(figures, procedure) if step.id == step_id]
    words = Words.of(figures.setup.station.station.region)
    return " ".join(words.fill(text, step.numbers).replace("\u00a0", " ") for text in (step.do, step.why, step.stop))


def example(name: str) -> Figures:
    return make_card(read_setup(EXAMPLES / f"{name}.toml"), factories.ON).figures


def torch(figures: Figures, **changes: object) -> Figures:
    import msgspec

    return factories.with_station(figures, torch=msgspec.structs.replace(figures.setup.station.torch, **changes))


# --- the tables ------------------------------------------------------------------


def test_every_step_is_written_once() -> None:
    names = [step["id"] for _, step in STEPS]
    assert sorted({name for name in names if names.count(name) > 1}) == []


def test_every_condition_and_variant_that_a_step_names_exists() -> None:
    choices = {f"{each.name}={choice.name}" for each in variants() for choice in each.choices}
    for name, step in STEPS:
        whens = [*step.get("when", []), *(condition for note in step.get("note", []) for condition in note["when"])]
        assert set(whens) <= CONDITIONS.keys(), (name, step["id"])
        assert step.get("variant") is None or step["variant"] in choices, (name, step["id"])
    for entry in TABLES["procedures.toml"].values():
        for part in entry["order"]:
            if isinstance(part, dict):
                assert part.get("variant") is None or part["variant"] in choices
                assert set(part.get("when", [])) <= CONDITIONS.keys()


def test_every_step_that_an_order_names_exists_and_every_step_is_in_an_order() -> None:
    used = set()
    for entry in TABLES["procedures.toml"].values():
        for part in entry["order"]:
            file, _, names = (part if isinstance(part, str) else part["steps"]).partition("#")
            there = {step["id"] for step in TABLES[f"{file}.toml"]["step"]}
            wanted = set(names.split(",")) if names else there
            assert wanted <= there, (file, wanted - there)
            used |= wanted
    assert {step["id"] for _, step in STEPS} - used == set()


def test_every_condition_is_asked_for_somewhere() -> None:
    asked = {condition for _, step in STEPS for condition in step.get("when", [])}
    asked |= {condition for _, step in STEPS for note in step.get("note", []) for condition in note["when"]}
    asked |= {condition for item in TABLES["inspection.toml"]["item"] for condition in item.get("when", [])}
    asked |= {
        c for entry in TABLES["procedures.toml"].values() for part in entry["order"] if isinstance(part, dict) for c in part.get("when", [])
    }
    assert CONDITIONS.keys() - asked == set()


def test_steps_are_short_and_say_when_and_why() -> None:
    for name, step in STEPS:
        assert len(step["do"]) <= 210, (name, step["id"])
        assert step["do"].endswith("."), (name, step["id"])
        assert step["why"].endswith("."), (name, step["id"])
        assert step.get("stop", ".").endswith("."), (name, step["id"])


def test_there_are_five_procedures_at_the_station_and_four_at_the_bench_with_titles() -> None:
    assert procedures()[:5] == ("setup", "cylinder-change", "pause", "shut-down", "storage")
    assert procedures()[5:] == ("bench-regulator", "bench-arrestor", "bench-hose", "bench-blowpipe")
    assert all(title(name) for name in procedures())


def test_an_unknown_procedure_names_the_nearest() -> None:
    with pytest.raises(UnknownName) as raised:
        steps(factories.clean(), "shutdown")
    assert "shut-down" in raised.value.try_


def test_the_cards_list_stays_short() -> None:
    for name in ("slip-2", "weld-bench-eu", "gantry-three-hose"):
        assert len(steps(example(name), "card")) <= 20


# --- gear ------------------------------------------------------------------------


def test_an_o_ring_attachment_is_fitted_by_hand_and_a_metal_one_with_the_spanner() -> None:
    rings, metal = torch(factories.clean(), seal="o-ring"), torch(factories.clean(region="us"), seal="metal")
    assert "attachment-hand" in ids(rings)
    assert "attachment-spanner" not in ids(rings)
    assert "attachment-spanner" in ids(metal)
    assert "wrench" in told(metal, "attachment-spanner")


def test_an_unknown_seal_is_asked_for_and_not_guessed() -> None:
    assert "attachment-unknown" in ids(torch(factories.clean(), seal=None))


def test_only_an_injector_is_felt_for_suction() -> None:
    assert "injector-suction" in ids(torch(factories.clean(), mixer="injector"))
    assert "injector-suction" not in ids(torch(factories.clean(), mixer="equal pressure"))


def test_hydrogen_is_never_cracked_whatever_the_policy_chose() -> None:
    figures = factories.clean("hydrogen", "us")
    assert figures.setup.policy.variants["cracking"] == "both-outdoors"
    assert "crack-fuel" not in ids(figures)
    assert "no-crack-hydrogen" in ids(figures)
    assert "light-hydrogen" in ids(figures)


def test_lpg_is_kept_out_of_pits_and_natural_gas_out_from_under_roofs() -> None:
    assert {"low-places", "liquefied-upright"} <= set(ids(factories.clean("lpg")))
    assert "pit or drain" in told(factories.clean("lpg"), "purge-fuel")
    assert "high-places" in ids(factories.clean("natural gas"))
    assert not {"low-places", "high-places"} & set(ids(factories.clean("acetylene")))


def test_a_pipe_is_opened_and_shut_at_its_outlet_and_nobody_changes_its_cylinder() -> None:
    figures = factories.clean()
    for name in ("oxygen", "fuel"):
        figures = factories.with_supply_noun(figures, name, kind="pipeline")
    assert {"piped-oxygen", "piped-fuel", "open-oxygen-piped", "open-fuel-piped"} <= set(ids(figures))
    assert not {"cylinders", "open-oxygen", "open-acetylene", "crack-oxygen", "leak-valve"} & set(ids(figures))
    assert ids(figures, "cylinder-change")[0] == "nothing-to-change"
    assert "fit-regulators" not in ids(figures, "cylinder-change")


def test_a_closed_place_keeps_cylinders_and_purge_outside() -> None:
    figures = factories.enclosed(factories.clean(region="us"), "40 m3")
    assert {"enclosed-place", "crack-fuel-outside", "purge-enclosed"} <= set(ids(figures))
    assert "crack-fuel" not in ids(figures)
    assert "pause-enclosed" in ids(figures, "pause")
    assert "15 min" in told(figures, "pause-enclosed", "pause")


def test_three_hoses_are_set_and_purged_one_by_one() -> None:
    found = ids(example("gantry-three-hose"))
    assert {"three-hoses", "test-preheat", "set-oxygen-machine", "set-preheat-machine"} <= set(found)
    assert found.index("purge-oxygen-machine") < found.index("purge-preheat-machine") < found.index("purge-fuel")


# --- numbers ---------------------------------------------------------------------


def test_the_leak_test_is_set_at_the_working_static_pressure_on_the_gauges_next_mark() -> None:
    figures = factories.clean()  # static 4.16 bar, a tenth of a bar a division
    (step,) = [step for step in steps(figures) if step.id == "test-oxygen"]
    assert step.numbers["test"].value == pytest.approx(4.2e5)


def test_a_test_below_working_pressure_says_so_and_scales_what_is_rejected() -> None:
    figures = factories.with_about(factories.clean(), test_pressure_oxygen=factories.given(factories.Pressure, "1 bar"))
    found = ids(figures)
    assert "test-oxygen-below" in found
    assert "test-oxygen" not in found
    assert "below" in told(figures, "test-oxygen-below")
    (step,) = [step for step in steps(figures) if step.id == "test-oxygen-below"]
    # A laminar crack by hand: (2.01325² - 1.01325²) / (5.17325² - 1.01325²) of what leaks at work.
    scaled, reject = step.numbers["scaled"].value, step.numbers["reject"].value
    assert scaled is not None
    assert reject is not None
    assert scaled / reject == pytest.approx((2.01325**2 - 1.01325**2) / (5.17325**2 - 1.01325**2), rel=1e-3)
    assert "leak-test-below" in ids(figures, "card")


def test_a_tighter_purge_is_counted_in_whole_seconds_up() -> None:
    figures = factories.with_proving(factories.clean(), "fuel", purge_time=factories.exact(7.2, "seconds"))
    assert "8 s" in told(figures, "purge-fuel")


def test_a_purge_longer_than_the_habitual_count_warns() -> None:
    short = factories.with_proving(factories.clean(), "fuel", purge_time=factories.exact(4.9, "seconds"))
    long = factories.with_proving(factories.clean(), "fuel", purge_time=factories.exact(5.1, "seconds"))
    assert "Counting to five is too short" not in told(short, "purge-fuel")
    assert "Counting to five is too short" in told(long, "purge-fuel")


def test_what_a_purge_lets_out_is_set_against_a_closed_room() -> None:
    text = told(factories.enclosed(factories.clean(), "40 m3"), "purge-enclosed")
    assert "1.3 L" in text
    assert "0.003 %" in text  # 1.3 L at 0 °C is 1.39 L at 18 °C, of 40 m³


def test_purge_comes_with_the_position_of_the_valves() -> None:
    assert "heating valve open, lever down" in told(factories.clean(), "purge-oxygen-cutting")
    assert "valve fully open" in told(torch(factories.clean(), attachment="welding"), "purge-oxygen")


def test_a_setting_in_doubt_is_shown_as_unknown() -> None:
    figures = factories.with_line(factories.clean(), "oxygen", set_pressure=factories.Quantity(None, None, None, "gauge pressure"))
    assert "to ?" in told(figures, "set-oxygen-cutting")


def test_acetylene_shows_its_cap_where_it_is_set() -> None:
    assert "cap is 1.50 bar" in told(factories.clean(), "set-fuel")
    assert "cap is 15.0 psi" in told(factories.clean(region="us"), "set-fuel")
    assert "cap" not in told(factories.clean("propane"), "set-fuel")


def test_the_time_to_stand_follows_the_time_it_lay() -> None:
    from steadycone.units import Duration

    figures = factories.with_supply_noun(factories.clean(), "fuel", lay_for=factories.given(Duration, "2 h"))
    assert "4.0 h" in told(figures, "stand-up")


def test_the_sites_oxygen_limit_is_never_rounded_up() -> None:
    from steadycone.units import Share

    figures = factories.with_policy(factories.enclosed(factories.clean(), None), enrichment=factories.given(Share, "22.5 %"))
    assert "22 %" in told(figures, "enclosed-place")


def test_the_policy_file_chooses_and_the_list_follows() -> None:
    made = card('variants = { lighting = "oxygen-touch", shutdown = "oxygen-first", setting = "static", acetylene_turns = "half-turn" }')
    found = [step.id for step in made.steps]
    assert "light-oxygen-touch" in found
    assert "shut-down-oxygen-first" in found
    assert "set-fuel-static" in found
    (turn,) = [step for step in made.steps if step.id == "open-acetylene"]
    assert "half a turn at most" in turn.do
    assert turn.variant == "acetylene_turns=half-turn"
    assert "navy-14250" in turn.source


def test_a_hose_is_blown_through_only_once_screws_are_out_and_its_supply_was_opened_slowly() -> None:
    order = ids(factories.clean())
    assert order.index("screws-out") < order.index("open-oxygen") < order.index("blow-oxygen-hose")
    assert order.index("open-acetylene") < order.index("blow-fuel-hose") < order.index("test-oxygen")


def test_each_hose_is_told_what_may_go_through_it_and_hydrogen_never_does() -> None:
    told = {step.id: f"{step.do} {step.why} {step.stop}" for step in steps(factories.clean())}
    assert "carries oil" in told["blow-oxygen-hose"]
    assert "Never oxygen through a fuel {hose}" in told["blow-fuel-hose"]
    hydrogen = {step.id: step.do for step in steps(factories.clean("hydrogen"))}
    assert "blow-fuel-hose" not in hydrogen
    assert "never with hydrogen" in hydrogen["blow-fuel-hose-hydrogen"]


def test_after_a_change_of_cylinder_the_handle_is_open_so_that_the_test_reaches_the_attachment() -> None:
    order = ids(factories.clean(), "cylinder-change")
    assert order.index("screws-out") < order.index("handle-open") < order.index("leak-fluid")


def test_at_a_change_of_cylinder_hoses_leave_a_closed_place_before_they_are_bled() -> None:
    do = {step.id: step.do for step in steps(factories.enclosed(factories.clean(), None), "cylinder-change")}
    assert "change-shut" not in do
    told = do["change-shut-closed"]
    assert told.index("out of the closed place") < told.index("Bleed")
    assert "change-shut-closed" not in ids(factories.clean(), "cylinder-change")


def test_a_hot_cylinder_is_left_before_anything_is_touched() -> None:
    found = {step.id: step for step in steps(factories.clean())}
    order = list(found)
    assert order.index("cylinders-cold") < min(order.index(each) for each in ("cylinders", "crack-oxygen", "fit-regulators"))
    assert found["cylinders-cold"].stop.index("leave it") < found["cylinders-cold"].stop.index("Everybody out")
    assert "aside" not in found["cylinders-cold"].stop


@pytest.mark.parametrize(
    ("kind", "thickness", "shade"),
    [
        ("cut", 0.0249, 3),
        ("cut", 0.025, 4),
        ("cut", 0.15, 4),
        ("cut", 0.16, 5),
        ("weld", 0.003, 4),
        ("weld", 0.0032, 5),
        ("weld", 0.0128, 6),
    ],
)
def test_the_goggles_shade_goes_by_the_plate(kind: str, thickness: float, shade: int) -> None:
    # 29 CFR 1910.133(a)(5): cutting under 25 mm 3, 25 to 150 mm 4, over 150 mm 5; welding under 3.2 mm 4, to 12.7 mm 5, over 6
    assert shade_of(kind, thickness) == shade
