"""What to look at on a station, and what the dates already say of it."""

import pytest
from tests import factories

from steadycone.assembly.figures import Figures
from steadycone.procedures.inspect import Item, inspection
from steadycone.render.words import Words
from steadycone.units import GivenDate


def items(figures: Figures, component: str) -> list[Item]:
    return [item for item in inspection(figures) if item.component == component]


def test_the_list_has_every_component_that_the_station_holds() -> None:
    found = {item.component for item in inspection(factories.clean())}
    wanted = {
        "cylinder", "valve", "regulator", "gauge", "arrestor", "check valve", "hose", "clamps", "handle", "attachment", "seats", "tip", "lever",
    }  # fmt: skip
    assert found == wanted


def test_a_part_that_is_not_there_is_not_listed() -> None:
    figures = factories.with_noun(factories.clean(), "oxygen", part=(factories.hose("oxygen"),))
    assert {item.subject for item in items(figures, "arrestor")} == {"fuel part 1 (arrestor)"}
    piped = factories.with_supply_noun(factories.clean(), "oxygen", kind="pipeline")
    assert {item.subject for item in items(piped, "cylinder")} == {"fuel supply"}
    assert {item.id for item in items(piped, "valve")} == {"cylinder-valve", "outlet-valve"}


def test_the_attachments_seal_chooses_what_to_look_for() -> None:
    import msgspec

    figures = factories.clean()
    for seal, wanted in (("o-ring", "attachment-rings"), ("metal", "attachment-metal"), (None, "attachment-unknown")):
        torch = msgspec.structs.replace(figures.setup.station.torch, seal=seal)
        assert [item.id for item in items(factories.with_station(figures, torch=torch), "attachment")] == [wanted]


@pytest.mark.parametrize(
    ("made", "verdict", "code"),
    [("2024-05", "go", "part-overdue"), ("2021-12-20", "caution", "part-overdue"), ("2019-01", "stop", "part-overdue"), (None, "stop", "part-age-unknown")],
)  # fmt: skip
def test_dates_come_judged_by_the_policy(made: str | None, verdict: str, code: str) -> None:
    date = factories.given(GivenDate, made) if made else None
    figures = factories.with_part(factories.clean(), "oxygen", 2, made=date)
    (item,) = [item for item in items(figures, "hose") if item.id == "hose-dates" and item.subject == "oxygen part 2 (hose)"]
    assert item.verdict == verdict
    assert [finding.code for finding in item.findings] == [code]


def test_what_only_a_person_can_say_has_no_verdict() -> None:
    assert all(item.verdict is None for item in items(factories.clean(), "tip"))


def test_intervals_and_the_proof_are_the_policys_and_the_rules() -> None:
    figures = factories.clean(region="us")
    words = Words.of("us")
    (dates, *_) = [item for item in items(figures, "arrestor") if item.id == "arrestor-dates"]
    assert words.fill(dates.interval, dates.numbers) == "every 1 year by this policy"
    (proof, *_) = [item for item in items(figures, "hose") if item.id == "hose-proof"]
    assert "300\u00a0psi" in words.fill(proof.passes, proof.numbers)
