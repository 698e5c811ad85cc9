"""Every finding has words for what it says, in every region: short, filled, and without blame."""

import re
from typing import Any

import pytest
from tests.practice_cases import judged_everywhere

from steadycone.data.reader import sources, toml
from steadycone.render.words import Words, finding_text

TABLE: dict[str, dict[str, Any]] = toml("findings.toml")
CODES_OF_THE_DESIGN = [
    "acetylene-pressure-flowing",
    "acetylene-pressure-static",
    "policy-looser-than-law",
    "fuel-draw",
    "contents-short",
    "oxygen-first-out",
    "supply-pressure-low",
    "lpg-vaporisation",
    "fuel-mix-unknown",
    "regulator-gas",
    "regulator-inlet",
    "regulator-range",
    "regulator-closing",
    "regulator-over-cap",
    "gauge-coarse",
    "gauge-scale",
    "regulator-flow",
    "part-gas",
    "part-pressure",
    "hose-grade",
    "hose-loss-high",
    "hose-choked",
    "arrestor-missing",
    "arrestor-starves",
    "tip-fuel",
    "mixer-fuel",
    "tip-outside-chart",
    "chart-suspect",
    "chart-basis-unknown",
    "no-chart",
    "pierce-limit",
    "tip-starved",
    "tip-over-pressure",
    "flame-ratio",
    "fuel-blocked",
    "material-not-cuttable",
    "purge-long",
    "leak-floor-coarse",
    "leak-test-pressure",
    "part-overdue",
    "part-age-unknown",
    "acetylene-cold",
    "hose-cold",
    "cylinder-lay-down",
    "shared-draw",
    "enclosed-space",
    "place-closed",
    "place-cylinders-inside",
    "place-held-unknown",
    "place-low-points",
    "space-air-needed",
    "space-flame-takes",
    "space-oxygen-jet",
    "copper-acetylene",
    "oil-oxygen",
    "adaptor",
]


# Wordings of a go that are named for what they say; {again} is a sentence of its own, filled by the round.
GOES = {("round-drop", "nothing moved"), *(("round-reading", name) for name in ("supply", "test", "set", "shut", "air", "air no fuel"))}


def wordings() -> list[tuple[str, str, dict[str, str]]]:
    """Code, name of the wording, its parts with those that all wordings of the code share."""
    found = []
    for code, entry in TABLE.items():
        shared = {key: value for key, value in entry.items() if isinstance(value, str)}
        found += [(code, name, shared | wording) for name, wording in entry.items() if isinstance(wording, dict)]
    return found


def test_every_code_of_the_design_has_words() -> None:
    assert [code for code in CODES_OF_THE_DESIGN if code not in TABLE] == []


@pytest.mark.parametrize(("code", "name", "wording"), wordings(), ids=lambda value: value if isinstance(value, str) else "")
def test_a_wording_is_whole(code: str, name: str, wording: dict[str, str]) -> None:
    assert set(wording) <= {"do", "says", "remedy"}
    assert wording["says"].endswith(".")
    if name.split()[0] == "go" or (code, name) in GOES:
        return
    assert wording.get("do"), "an imperative for the one line on the card"
    assert wording.get("remedy", "").endswith((".", "{again}")), "what to do about it"


def test_no_wording_pleads_blames_or_names_the_program() -> None:
    forbidden = re.compile(r"\b(please|sorry|you forgot|you failed|your fault|operator error|finding|caution:|stop:)\b", re.IGNORECASE)
    texts = [part for _, _, wording in wordings() for part in wording.values()]
    assert [text for text in texts if forbidden.search(text)] == []


@pytest.mark.parametrize("region", ["uk", "eu", "us", "ca", "au", "nz"])
def test_every_finding_of_the_cases_can_be_said(region: str) -> None:
    words = Words.of(region)
    for finding in judged_everywhere():
        wording = finding_text(finding)
        assert wording.get("says"), f"{finding.code}: no wording for {finding.text or finding.verdict}"
        said = words.says(finding) + words.remedy(finding)
        assert "{" not in said
        if finding.verdict != "go":
            assert len(words.do(finding)) <= 44, words.do(finding)
            assert words.remedy(finding)


def test_the_cases_reach_every_wording_of_the_rules_here() -> None:
    elsewhere = {"chart-suspect", "chart-basis-unknown", "tip-outside-chart", "pierce-limit", "tip-fuel", "tip-attachment"}
    elsewhere |= {"policy-looser-than-law", "as-set-unknown"}
    reached = {(finding.code, finding.text or finding.verdict) for finding in judged_everywhere()}
    # a round's own findings are reached in tests/edge/test_round_*.py, those of the records in tests/records/test_holds.py
    missing = {
        (code, name) for code, name, _ in wordings() if code not in elsewhere and not code.startswith(("round-", "record-"))
    } - reached
    assert sorted(missing) == []


def test_every_source_of_a_finding_is_known() -> None:
    known = sources()
    assert sorted({key for finding in judged_everywhere() for key in finding.sources if key not in known}) == []


def test_an_unknown_value_is_never_go() -> None:
    for finding in judged_everywhere():
        if finding.value is not None and finding.value.value is None:
            assert finding.verdict != "go", finding.code
