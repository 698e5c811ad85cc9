"""Whatever the station and whatever the policy chose: one complete list in order, one way of lighting, and the purge right before the flame."""

import itertools
from dataclasses import replace
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests import factories

from steadycone.assembly.figures import Figures
from steadycone.data import reader
from steadycone.procedures.choose import procedures, steps
from steadycone.procedures.habits import habits
from steadycone.procedures.inspect import inspection
from steadycone.procedures.step import Step
from steadycone.procedures.variants import variants
from steadycone.render.words import Words

REGIONS = ("uk", "eu", "us", "ca", "au", "nz")
FUELS = ("acetylene", "propane", "propylene", "lpg", "methane", "natural gas", "hydrogen")
ATTACHMENTS = ("cutting", "heating", "welding")
MIXERS = ("equal pressure", "injector", "nozzle mix")
SEALS = ("o-ring", "metal", None)
PHASES = ("place", "inspect", "fit", "open", "prove", "set", "purge", "light", "sign")
CHOICES = {each.name: [choice.name for choice in each.choices] for each in variants() if not each.field}
LIGHTING = {"light", "light-oxygen-touch", "light-slow", "light-slow-oxygen-touch", "light-hydrogen"}


def station(region: str, fuel: str, attachment: str, mixer: str, seal: str | None, chosen: dict[str, str], **changes: Any) -> Figures:
    """The clean bench with another torch and other choices. `machine`, `enclosed`, `supply` and `below` change it further."""
    figures = factories.clean(fuel, region)
    torch = msgspec.structs.replace(figures.setup.station.torch, attachment=attachment, mixer=mixer, seal=seal)
    figures = factories.with_station(figures, torch=torch)
    figures = factories.with_policy(figures, variants=figures.setup.policy.variants | chosen)
    if changes.get("machine"):
        figures = factories.with_station(figures, preheat_oxygen=figures.setup.station.oxygen)
        lines = figures.lines | {"preheat_oxygen": replace(figures.lines["oxygen"], name="preheat_oxygen")}
        figures = factories.tested(replace(figures, lines=lines))
    if changes.get("enclosed"):
        figures = factories.enclosed(figures, "40 m3" if changes["enclosed"] == "known" else None)
    if changes.get("supply"):
        for name in ("oxygen", "fuel"):
            figures = factories.with_supply_noun(figures, name, kind=changes["supply"], cylinders=2)
    if changes.get("below"):
        half = factories.given(factories.Pressure, "0.2 bar")
        figures = factories.with_about(figures, test_pressure_oxygen=half, test_pressure_fuel=half)
    return figures


def told(figures: Figures, chosen: tuple[Step, ...]) -> list[str]:
    """Every text of the steps as a person reads it. Raises KeyError for a blank that nothing fills."""
    words = Words.of(figures.setup.station.station.region)
    return [words.fill(text, step.numbers) for step in chosen for text in (step.do, step.why, step.stop)]


def complete(figures: Figures, chosen: tuple[Step, ...], machine: bool = False) -> None:
    """The laws of a whole set-up list."""
    ids = [step.id for step in chosen]
    assert len(ids) == len(set(ids))
    phases = [step.phase for step in chosen if not step.id.endswith("-early")]
    assert [phase for phase, _ in itertools.groupby(phases)] == list(PHASES)
    (flame,) = [i for i, step in enumerate(chosen) if step.id in LIGHTING]
    purges = [i for i, step in enumerate(chosen) if step.phase == "purge" and not step.id.endswith("-early")]
    lines = 3 if machine else 2
    assert purges[-lines:] == list(range(flame - lines, flame))
    assert all(chosen[i].evidence == "timed" for i in purges[-lines:])
    first = "purge-fuel" if figures.setup.policy.variants["purge_first"] == "fuel" else "purge-"
    assert chosen[flame - lines].id.startswith(first)
    assert (chosen[flame - 1].id == "purge-fuel") == (first != "purge-fuel")
    tested = ids.index("leak-fluid")
    assert all(i > tested for i in purges)
    early = [i for i, step in enumerate(chosen) if step.id.endswith("-early")]
    assert bool(early) == (figures.setup.policy.variants["order"] == "purge-then-leak-test")
    assert all(i < tested for i in early)
    assert sum(step.id.startswith("attachment-") for step in chosen) == 1
    settings_made = [step for step in chosen if step.id.startswith("set-")]
    assert len(settings_made) == lines
    assert all(step.variant == f"setting={figures.setup.policy.variants['setting']}" for step in settings_made)


def readable(texts: list[str], *, numbers_known: bool = True) -> None:
    for text in texts:
        assert "{" not in text
        assert "}" not in text
        assert "  " not in text
        assert not (numbers_known and "?" in text[-6:]), text


@pytest.mark.parametrize(("region", "fuel"), list(itertools.product(REGIONS, FUELS)))
def test_every_region_fuel_torch_mixer_and_seal_has_one_complete_list(region: str, fuel: str) -> None:
    for attachment, mixer, seal in itertools.product(ATTACHMENTS, MIXERS, SEALS):
        figures = station(region, fuel, attachment, mixer, seal, {})
        chosen = steps(figures)
        complete(figures, chosen)
        readable(told(figures, chosen))
        assert ("injector-suction" in {step.id for step in chosen}) == (mixer == "injector")
        assert ("handle-open" in {step.id for step in chosen}) == (attachment == "cutting")


@settings(max_examples=120, deadline=None)
@given(
    st.sampled_from(REGIONS), st.sampled_from(FUELS), st.sampled_from(ATTACHMENTS), st.sampled_from(MIXERS), st.sampled_from(SEALS),
    st.fixed_dictionaries({name: st.sampled_from(choices) for name, choices in CHOICES.items()}),
    st.sampled_from([None, "known", "unknown"]), st.sampled_from([None, "manifold", "pipeline"]), st.booleans(), st.booleans(),
)  # fmt: skip
def test_every_choice_of_every_policy_has_one_complete_list(
    region: str, fuel: str, attachment: str, mixer: str, seal: str | None, chosen: dict[str, str], enclosed: str | None,
    supply: str | None, machine: bool, below: bool,
) -> None:  # fmt: skip
    machine = machine and attachment == "cutting"
    figures = station(
        region, fuel, attachment, mixer, seal, chosen, enclosed=enclosed, supply=supply, machine=machine, below=below
    )  # fmt: skip
    complete(figures, steps(figures), machine)
    for procedure in (*procedures(), "card", "back"):
        found = steps(figures, procedure)
        assert found
        assert len({step.id for step in found}) == len(found)
        readable(told(figures, found))
        for step in found:
            assert step.evidence in ("tick", "reading", "timed")
            assert step.source
            assert set(step.source) <= reader.sources().keys()
            kind, _, choice = (step.variant or "").partition("=")
            assert not kind or figures.setup.policy.variants[kind] == choice
        ids = {step.id for step in found}
        assert len(ids & LIGHTING) <= 1
        assert not {"shut-down-fuel-first", "shut-down-oxygen-first"} <= ids
        assert not {"flame-out-fuel-first", "flame-out-oxygen-first"} <= ids
        assert not ({"crack-fuel", "crack-fuel-outside"} & ids and fuel == "hydrogen")
        assert not ("crack-fuel" in ids and enclosed)
        lit = next((i for i, step in enumerate(found) if step.id in LIGHTING), 0)
        assert not lit or found[lit - 1].phase == "purge"
    words = Words.of(region)
    for item in inspection(figures):
        readable([words.fill(text, item.numbers) for text in (item.look, item.passes, item.fails, item.action, item.interval)])
    for habit in habits(figures):
        readable([words.fill(text, habit.numbers) for text in (habit.habit, habit.says)])


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 400), st.integers(0, 200))
def test_a_longer_purge_never_makes_the_habit_better(tenths: int, more: int) -> None:
    order = {True: 0, None: 1, False: 2}

    def answer(seconds: float) -> int:
        figures = factories.with_proving(factories.clean(), "fuel", purge_time=factories.exact(seconds, "seconds"))
        return order[next(habit.enough for habit in habits(figures) if habit.id == "purge-few-seconds")]

    assert answer(tenths / 10) <= answer((tenths + more) / 10)


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 60), st.integers(1, 60))
def test_the_watch_is_never_shorter_than_any_gauge_needs(low: int, high: int) -> None:
    figures = factories.with_line(factories.clean(), "oxygen", outlet_division=low * 0.02e5, inlet_division=high * 0.5e5)
    wait = next(step.numbers["wait"] for step in steps(figures) if step.id == "leak-watch")
    needed = [side.wait.high for side in (figures.leak_test.lines["oxygen"].low, figures.leak_test.lines["oxygen"].high)]
    assert wait.value is not None
    assert wait.value >= max(300.0, *(min(each or 3600.0, 3600.0) for each in needed)) - 1e-6
    assert wait.value % 60 == pytest.approx(0.0, abs=1e-6)
