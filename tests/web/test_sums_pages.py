"""The worksheets as pages give the command line's own numbers."""

import json
import re
import shlex
from html import unescape
from pathlib import Path
from urllib.parse import urlencode

import pytest
from click.testing import CliRunner

from steadycone.cli.calc import calc
from steadycone.render.words import Words
from steadycone.render.worksheet import told_answer, worded
from steadycone.web.fields import field
from steadycone.worksheets.declare import asks
from steadycone.worksheets.run import answer, describe, names, sheet
from tests.web_desk import office


def example(name: str) -> dict[str, str]:
    return dict(word.partition("=")[::2] for word in shlex.split(sheet(name).example))


def by_command_line(name: str, pairs: dict[str, str]) -> dict[str, object]:
    done = CliRunner().invoke(calc, [name, *(f"{key}={value}" for key, value in pairs.items()), "--json"])
    assert done.exit_code == 0, done.output
    found: dict[str, object] = json.loads(done.output)
    return found


def flat_of(page: str) -> dict[str, str]:
    """The page's table of plain keys."""
    return {key: unescape(value) for key, value in re.findall(r"<code>(\w+)</code></th><td>(.*?)</td>", page)}


def test_every_worksheet_is_listed_and_its_page_opens(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        client = o.client("A. Stone")
        listed = client.get("/sums").text
        for name in names():
            assert f'href="/sums/{name}"' in listed
            page = client.get(f"/sums/{name}")
            assert page.status_code == 200, name
            assert 'value="' not in "".join(re.findall(r"<input id=.*?>", page.text)).replace('value=""', ""), (
                name
            )  # examples are no values


@pytest.mark.parametrize("name", names())
def test_a_page_gives_the_numbers_of_the_command_line(tmp_path: Path, name: str) -> None:
    pairs = example(name)
    by_line = by_command_line(name, pairs)
    with office(tmp_path) as o:
        client = o.client("O. Quist")
        page = client.get(f"/sums/{name}?" + urlencode(pairs))
        assert page.status_code == 200
        assert client.get(f"/sums/{name}?" + urlencode(pairs | {"as": "json"})).json() == by_line
    told = told_answer(answer(name, pairs), Words.of("uk"))
    assert flat_of(page.text) == dict(told.flat)
    assert [key for key, _ in told.flat] == list(by_line)


@pytest.mark.parametrize("region", ["uk", "us", "eu"])
@pytest.mark.parametrize("name", names())
def test_every_key_of_an_answer_is_told_in_words(name: str, region: str) -> None:
    found = answer(name, example(name))
    told = told_answer(found, Words.of(region))
    assert all(row.says and row.value for row in told.rows)
    assert [key for key, _ in told.flat] == list(found)


def test_an_answer_stands_in_the_regions_units_and_marks(tmp_path: Path) -> None:
    # 0.5887 bar and its band 0.4553 to 0.7299 bar, by `steadycone calc hose`; 1 bar is 14.5038 psi; ends are rounded outward
    asked = "/sums/hose?" + urlencode(example("hose"))
    for region, shown, band in (("uk", "0.59\u00a0bar", "0.45\u00a0bar – 0.73\u00a0bar"), ("us", "8.5\u00a0psi", "6.6\u00a0psi – 10.6\u00a0psi"),
                                ("eu", "0,59\u00a0bar", "0,45\u00a0bar – 0,73\u00a0bar")):  # fmt: skip
        folder = tmp_path / region
        folder.mkdir()
        with office(folder, region=region) as o:
            page = o.client("O. Quist").get(asked).text
            assert f"<b>{shown}</b>" in page
            assert band in page


@pytest.mark.parametrize("region", ["uk", "us", "eu"])
@pytest.mark.parametrize("name", names())
def test_every_placeholder_is_a_value_that_its_field_takes(name: str, region: str) -> None:
    words, own = Words.of(region), example(name)
    for each, ask in zip(describe(name), asks(sheet(name)).values(), strict=True):
        made = field(each.name, each.kind, each.help, own.get(each.name, each.example), each.default, each.needed, each.words, words, "")
        ask.kind.parse(made.example)


def test_small_numbers_keep_two_figures(tmp_path: Path) -> None:
    # 0.0032 bar lost, 1 m3/h of acetylene through this arrestor: `steadycone calc resistance`
    with office(tmp_path) as o:
        page = o.client("O. Quist").get("/sums/resistance?" + urlencode(example("resistance"))).text
    assert "<b>0.0032\u00a0bar</b>" in page


def test_a_choked_hose_is_told_and_has_no_number(tmp_path: Path) -> None:
    asked = example("hose") | {"bore": "2 mm", "flow": "30 m3/h"}
    assert answer("hose", asked)["state"] == "choked"
    with office(tmp_path) as o:
        page = o.client("O. Quist").get("/sums/hose?" + urlencode(asked)).text
    assert "Choked. It passes no more" in page
    assert "? not known" in page
    assert 'class="verdict caution"' in page


def test_a_value_without_unit_is_told_at_its_field_with_the_units_it_may_have(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        page = o.client("O. Quist").get("/sums/hose?" + urlencode(example("hose") | {"bore": "6.3"}))
    assert page.status_code == 400
    field = page.text[page.text.index('id="f-bore"') : page.text.index('id="f-length"')]
    assert 'aria-invalid="true"' in field
    assert 'value="6.3"' in field  # what was typed is still there
    assert "has no unit" in field
    assert "mm, m, cm, in, ft" in field
    assert 'value="15 m"' in page.text


def test_what_is_missing_is_marked(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        page = o.client("O. Quist").get("/sums/hose?gas=oxygen&bore=6.3+mm&length=15+m&flow=8+m3%2Fh&inlet=&outlet=")
    assert page.status_code == 400
    assert page.text.count('aria-invalid="true"') == 2  # inlet or outlet
    assert "Inlet or outlet missing" in page.text


def test_both_of_two_ways_are_refused(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        page = o.client("O. Quist").get("/sums/hose?" + urlencode(example("hose") | {"outlet": "3 bar"}))
    assert page.status_code == 400
    assert "not both" in page.text


@pytest.mark.parametrize("asked", ["nonsense=1", "gas=oxygen&gas=air", "gas=" + "x" * 900, "gas=%00%F0", "bore=1e999+mm&gas=oxygen"])
def test_odd_addresses_are_told_and_never_a_fault(tmp_path: Path, asked: str) -> None:
    with office(tmp_path) as o:
        assert o.client("O. Quist").get("/sums/hose?" + asked).status_code in (400, 404)


def test_an_unknown_worksheet_is_not_found(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        assert o.client("O. Quist").get("/sums/horoscope").status_code == 404


def test_the_command_line_shown_gives_the_same_when_a_shell_reads_it(tmp_path: Path) -> None:
    pairs = example("hose")
    with office(tmp_path) as o:
        page = o.client("O. Quist").get("/sums/hose?" + urlencode(pairs)).text
    shown = re.search(r'class="same-line" readonly value="(.*?)"', page)
    assert shown
    words = shlex.split(unescape(shown[1]))
    assert words[:3] == ["steadycone", "calc", "hose"]
    assert dict(word.partition("=")[::2] for word in words[3:]) == pairs


def test_what_somebody_typed_cannot_become_a_command(tmp_path: Path) -> None:
    from steadycone.web.fields import command

    for nasty in ('$(touch x)"', "`id`", "a'b; rm x", "a\\", "!!"):
        assert shlex.split(command("steadycone calc units", {"value": nasty}))[3] == f"value={nasty}"
        assert not re.search(r'"[^"]*[$`\\!]', command("steadycone calc units", {"value": nasty}).split("'")[0])


def test_acetylene_over_its_cap_is_cautioned(tmp_path: Path) -> None:
    with office(tmp_path) as o:
        page = o.client("O. Quist").get("/sums/gas?gas=acetylene&pressure=1.6+bar&temperature=20+°C").text
    assert "It can explode by itself" in page or "it can explode by itself" in page


def test_texts_follow_the_regions_words() -> None:
    assert worded("at the torch end; Check valves, two tips", Words.of("uk")) == "at the blowpipe end; Non-return valves, two nozzles"
    assert worded("at the torch end", Words.of("us")) == "at the torch end"
