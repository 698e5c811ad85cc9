"""A non-return valve at the torch, line by line and region by region."""

from dataclasses import replace

import msgspec
import pytest
from tests import factories as bench

from steadycone.data.reader import sources
from steadycone.files.policy import REGIONS, policy_from_text, region_policy
from steadycone.practice import arrestor, back_flow
from steadycone.practice.finding import Finding
from steadycone.render.words import Words
from steadycone.station.parts import Coupling, Part

HEAD = 'format = "steadycone-policy/1"\n'
CODE = "check-valve-missing"


def judged(parts: tuple[Part, ...], region: str = "uk", name: str = "fuel") -> Finding:
    figures = bench.with_noun(bench.clean(region=region), name, part=parts)
    return bench.found(back_flow.judge(figures), CODE, f"{name} line")


def hose() -> Part:
    return bench.hose("acetylene")


@pytest.mark.parametrize("region", REGIONS)
@pytest.mark.parametrize("name", ["oxygen", "fuel"])
def test_a_line_with_nothing_at_the_torch_is_never_go(region: str, name: str) -> None:
    gas = "oxygen" if name == "oxygen" else "acetylene"
    assert judged((bench.arrestor(gas), bench.hose(gas)), region, name).verdict == "caution"
    assert judged((bench.arrestor(gas), bench.hose(gas), bench.check_valve(gas)), region, name).verdict == "go"


def test_an_arrestor_at_the_torch_has_the_valve_in_it() -> None:
    found = judged((hose(), bench.arrestor("acetylene")))
    assert (found.verdict, found.text) == ("go", "go arrestor")
    assert "arrestor-holds-a-valve" in found.sources


def test_a_valve_before_the_last_hose_is_not_at_the_torch() -> None:
    assert judged((bench.arrestor("acetylene"), bench.check_valve("acetylene"), hose())).text == "place"
    between = (bench.arrestor("acetylene"), hose(), bench.check_valve("acetylene"), hose())
    assert (judged(between).verdict, judged(between).text) == ("caution", "place")
    assert judged((*between, bench.check_valve("acetylene"))).verdict == "go"


def test_a_coupling_between_valve_and_torch_leaves_the_valve_at_the_torch() -> None:
    assert judged((bench.arrestor("acetylene"), hose(), bench.check_valve("acetylene"), Coupling())).verdict == "go"


def test_a_coupling_is_no_valve() -> None:
    assert judged((bench.arrestor("acetylene"), hose(), Coupling())).verdict == "caution"


def test_a_site_may_make_it_a_stop() -> None:
    policy = policy_from_text(HEAD + 'check_valves = { missing = "stop" }\n', "uk")
    figures = bench.with_noun(bench.clean(), "fuel", part=(bench.arrestor("acetylene"), hose()))
    strict = replace(figures, setup=msgspec.structs.replace(figures.setup, policy=policy))
    found = bench.found(back_flow.judge(strict), CODE, "fuel line")
    assert (found.verdict, found.sources) == ("stop", ("site-policy",))


@pytest.mark.parametrize("region", REGIONS)
def test_every_region_says_where_its_rule_comes_from(region: str) -> None:
    assert region_policy(region).source("check_valves") in sources()


def test_no_text_takes_the_federal_rule_on_piping_for_one_on_portable_outfits() -> None:
    words = Words.of("us")
    for kind in ("cylinders", "pipeline"):
        figures = bench.with_supply_noun(bench.clean("propane", "us"), "fuel", kind=kind)
        figures = bench.with_noun(figures, "fuel", part=(bench.hose("propane"), bench.check_valve("propane")))
        found = bench.found(arrestor.judge(figures), "arrestor-missing", "fuel line")
        assert found.verdict == "caution"
        assert ("in the piping" in words.says(found)) == (kind == "pipeline")
        assert "as the federal rule asks" not in words.says(found)
