"""The report of a round: JSON, text, page and paper."""

import re
from functools import cache
from typing import Any

import msgspec
import pytest
from tests.edge.render_samples import NAMES, card, told
from tests.edge.round_samples import answers, begin, gone, keyed, plan

from steadycone.practice.finding import worst
from steadycone.procedures.rounds import Answer, Round, fold
from steadycone.render import round_contract
from steadycone.render.round_html import html_round
from steadycone.render.round_json import round_dict
from steadycone.render.round_pdf import pdf_round
from steadycone.render.round_text import text_round
from steadycone.render.round_view import RoundView, round_view


@cache
def of(name: str = "slip-2", **changes: str) -> tuple[Round, dict[str, Any]]:
    now = gone(plan(name), **keyed(**changes))
    return now, round_dict(now, card(name), told(card(name)))


def view(name: str = "slip-2", **changes: str) -> RoundView:
    now, report = of(name, **changes)
    return round_view(now, card(name), told(card(name)), report)


def named(who: str) -> RoundView:
    """A round of somebody with this name."""
    given = [Answer(answer.step, who if answer.step in ("who", "sign") else answer.value, answer.at) for answer in answers(plan())]
    now = fold(plan(), given).round
    return round_view(now, card("slip-2"), told(card("slip-2")), round_dict(now, card("slip-2"), told(card("slip-2"))))


@pytest.mark.parametrize("name", NAMES)
def test_every_report_keeps_to_its_types(name: str) -> None:
    report = msgspec.json.encode(of(name)[1])
    assert msgspec.json.decode(report, type=round_contract.Round).station.name


def test_a_round_not_begun_has_a_report_too() -> None:
    now = begin(plan())
    report = round_dict(now, card("slip-2"), told(card("slip-2")))
    assert msgspec.json.decode(msgspec.json.encode(report), type=round_contract.Round).state == "open"
    assert f"Step 1 of {len(plan().steps)} is next" in text_round(round_view(now, card("slip-2"), told(card("slip-2")), report))


def test_the_verdict_is_the_worst_of_card_and_round() -> None:
    report = of()[1]
    assert report["verdict"] == worst(finding["verdict"] for finding in report["findings"]) == "caution"


def test_every_source_that_is_named_is_told() -> None:
    report = of()[1]
    keys = {key for part in ("findings", "steps", "cautions") for item in report[part] for key in item["source"]}
    assert keys <= set(report["sources"])


def test_nothing_moved_reads_less_than_and_never_nothing() -> None:
    out = text_round(view())
    assert len(re.findall(r"loses less than \d\.\d L/h", out)) == 4
    assert not re.search(r"\b0(\.0)? L/h", out)


def test_the_bleed_settles_what_the_needles_leave_open() -> None:
    assert "cylinder valve passing" in of()[1]["drop"][0]["also_possible"]
    assert "cylinder valve passing" not in text_round(view())
    assert "Bled afterwards, it stayed at zero" in " ".join(text_round(view()).split())


def test_a_leak_is_told_with_its_band_floor_and_what_it_may_be_else() -> None:
    drop = of(leak_end_low__oxygen="3.9 bar")[1]["drop"][0]
    assert drop["reading"] == "leak after regulator"
    assert 0 < drop["low"]["leak"]["low"] < drop["low"]["leak"]["value"] < drop["low"]["leak"]["high"]
    assert drop["low"]["floor"]["value"] > 0
    assert drop["rejects"]["value"] == pytest.approx(2.0)


def test_what_the_needles_can_not_tell_is_left_to_the_fluid() -> None:
    out = " ".join(text_round(view("pontoon-lpg-au")).split())
    assert "The needles say nothing sure (liquid keeps the pressure)" in out
    assert "Prove every joint of that side with fluid" in out


@pytest.mark.parametrize("name", ["slip-2", "bay-4-us", "gantry-three-hose"])
def test_no_line_is_wider_than_the_terminal(name: str) -> None:
    assert max(len(line) for line in text_round(view(name)).splitlines()) <= 80


def test_stops_come_first_and_each_says_what_clears_it() -> None:
    out = text_round(view("bay-4-us"))
    assert out.index("NOT SIGNED") < out.index("FINDINGS")
    assert out.count("To clear it:") == len(of("bay-4-us")[1]["blocks"]) == 6


def test_words_and_units_follow_the_region() -> None:
    out = text_round(view("bay-4-us"))
    assert "psi" in out
    assert "blowpipe" not in out
    assert "Letter" in html_round(view("bay-4-us")) or "139.7mm" in html_round(view("bay-4-us"))


def test_the_page_fetches_nothing_and_runs_nothing() -> None:
    page = html_round(view())
    assert "<script" not in page
    assert not re.search(r"(?:src|href)=[\"']https?:", page)
    assert "default-src 'none'" in page
    assert page.count("EMERGENCY") == 1


def test_what_people_wrote_is_escaped() -> None:
    page = html_round(named('<b onload="x">Eve & co</b>'))
    assert "<b onload" not in page
    assert "&lt;b onload" in page


def test_a_terminal_gets_no_orders_from_an_answer() -> None:
    assert "\x1b" not in text_round(named("Eve\x1b[2J\u202eevil"))


def test_a_name_in_other_letters_is_printed_whole() -> None:
    assert pdf_round(named("Łukasz Żak 李")).startswith(b"%PDF")


def test_the_paper_is_the_same_every_time() -> None:
    assert pdf_round(view()) == pdf_round(view())


@pytest.mark.parametrize("name", ["slip-2", "bay-4-us", "gantry-three-hose"])
def test_every_kind_of_round_prints(name: str) -> None:
    assert pdf_round(view(name)).startswith(b"%PDF")
    assert html_round(view(name))
