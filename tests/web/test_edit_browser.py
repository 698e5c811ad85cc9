"""Editing a station in a real browser: worked out while one types, no old number beside a new input, and two who edit at once."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, Route, expect

from steadycone.records.station_files import read_station
from steadycone.web.settings import Settings
from tests.web.browser import free_port, running, sign_in
from tests.web.looking import Watched, watched
from tests.web_desk import Office, office
from tests.web_edit import EDIT, NAME, TEXT, filed

LENGTH = '[name="oxygen.part.2.length"]'
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], "rules": {"target-size": {"enabled": False}}}


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Office]:
    with office(tmp_path, settings=Settings(port=free_port())) as found:
        filed(found)
        with running(found):
            yield found


def opened(seen: Watched, person: str = "L. Marsh") -> Page:
    page = seen.page()
    sign_in(page, person)
    page.goto(EDIT)
    return page


def digits(page: Page) -> float:
    return float(page.locator("#edit-result .big strong").first.inner_text())


def worked(page: Page) -> None:
    """Wait until what is shown is of what stands in the form."""
    expect(page.locator(".edit.edit-stale")).to_have_count(0)


def wait_for(page: Page, held: list[Route], count: int) -> None:
    """Wait until so many questions of the script are held back."""
    for _ in range(200):
        if len(held) >= count:
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"{len(held)} asked, not {count}")


def test_the_answer_follows_each_key_and_no_old_number_stands_beside_a_new_input(yard: Office) -> None:
    with watched(yard.yard.settings.base) as seen:
        page = opened(seen)
        before = digits(page)
        held: list[Route] = []
        page.route("**/stations/live.json", lambda route: held.append(route))
        page.locator(LENGTH).fill("80 m")
        expect(page.locator("#edit-result .big strong").first).to_be_hidden()
        expect(page.locator("#edit-result .edit-wait")).to_be_visible()
        expect(page.locator("#edit-result")).to_have_attribute("aria-busy", "true")
        wait_for(page, held, 1)
        held[0].continue_()
        worked(page)
        expect(page.locator("#edit-result .big strong").first).to_be_visible()
        assert digits(page) > before
        expect(page.locator(LENGTH)).to_be_focused()
        seen.check()


def test_the_answer_to_an_older_input_is_never_shown(yard: Office) -> None:
    with watched(yard.yard.settings.base) as seen:
        page = opened(seen)
        held: list[Route] = []
        page.route("**/stations/live.json", lambda route: held.append(route))
        page.locator(LENGTH).fill("400 m")
        wait_for(page, held, 1)
        page.locator(LENGTH).fill("20 m")
        wait_for(page, held, 2)
        held[1].continue_()
        worked(page)
        now = digits(page)
        held[0].fulfill(json={"html": "<p>OLD</p>", "strip": "OLD", "hoses": "", "verdict": "GO", "errors": {}})
        page.wait_for_timeout(250)
        assert digits(page) == now
        assert "OLD" not in page.locator(".edit").inner_text()


def test_what_is_in_order_is_listed_when_it_is_unfolded_and_stays_so(yard: Office) -> None:
    with watched(yard.yard.settings.base) as seen:
        page = opened(seen)
        page.locator(LENGTH).fill("21 m")
        worked(page)
        fold = page.locator("#edit-result details:has(> ul)")
        assert fold.locator("li").count() == 0
        fold.locator("summary").click()
        expect(fold.locator("li").first).to_be_visible()
        page.locator(LENGTH).fill("22 m")
        worked(page)
        expect(fold.locator("li").first).to_be_visible()


def test_a_wrong_value_is_told_at_its_box_and_the_verdict_is_read_out_only_when_it_changes(yard: Office) -> None:
    with watched(yard.yard.settings.base) as seen:
        page = opened(seen)
        page.locator(LENGTH).fill("20")
        wrong = page.locator("#e-oxygen-part-2-length")
        expect(wrong).to_contain_text("no unit")
        expect(page.locator(LENGTH)).to_have_attribute("aria-invalid", "true")
        assert "e-oxygen-part-2-length" in (page.locator(LENGTH).get_attribute("aria-describedby") or "")
        expect(page.locator("#edit-said")).to_have_text("No answer")
        page.locator(LENGTH).fill("21 m")
        expect(wrong).to_be_hidden()
        expect(page.locator("#edit-said")).to_have_text("CAUTION")
        page.evaluate("document.querySelector('#edit-said').textContent = 'as before'")
        page.locator(LENGTH).fill("22 m")
        worked(page)
        expect(page.locator("#edit-said")).to_have_text("as before")
        seen.check()


def test_a_part_is_added_without_loading_the_page_and_what_was_typed_stays(yard: Office) -> None:
    with watched(yard.yard.settings.base) as seen:
        page = opened(seen)
        page.evaluate("window.same = true")
        page.locator(LENGTH).fill("33 m")
        page.select_option("#add-fuel", "valve")
        page.click('[name="op"][value="add fuel"]')
        expect(page.locator('[name="fuel.part.4.kind"]')).to_be_focused()
        expect(page.locator(LENGTH)).to_have_value("33 m")
        page.select_option('[name="fuel.part.4.kind"]', "hose")
        expect(page.locator('[name="fuel.part.4.length"]')).to_be_visible()
        page.click('[name="op"][value="remove fuel 4"]')
        expect(page.locator('[name="fuel.part.4.kind"]')).to_have_count(0)
        worked(page)
        assert page.evaluate("window.same")
        page.click('[name="op"][value="save"]')
        page.wait_for_url("**/stations/slip-2-frame-bench?done=filed")
        assert read_station(yard.site, NAME).text == TEXT.replace('length = "20 m"', 'length = "33 m"', 1)
        seen.check()


def test_without_a_connection_nothing_typed_is_lost_and_nothing_old_is_shown(yard: Office) -> None:
    with watched(yard.yard.settings.base) as seen:
        page = opened(seen)
        seen.context.set_offline(True)
        page.locator(LENGTH).fill("44 m")
        expect(page.locator("#edit-result .edit-wait")).to_contain_text("no connection")
        expect(page.locator("#edit-result .big strong").first).to_be_hidden()
        seen.context.set_offline(False)
        page.locator(LENGTH).fill("45 m")
        worked(page)
        expect(page.locator(LENGTH)).to_have_value("45 m")


def test_two_people_edit_one_station_and_neither_change_is_lost(yard: Office) -> None:
    base = yard.yard.settings.base
    with watched(base) as one, watched(base, phone=True) as two:
        first, second = opened(one), opened(two, "T. Vance")
        first.locator(LENGTH).fill("30 m")
        first.click('[name="op"][value="save"]')
        first.wait_for_url("**?done=filed")
        second.click("#s-fuel > summary")
        second.locator('[name="fuel.part.2.length"]').fill("25 m")
        second.click('[name="op"][value="save"]')
        expect(second.get_by_role("alert")).to_contain_text("L. Marsh saved it on")
        expect(second.locator(".edit-differs .mine").first).to_contain_text("+ yours")
        second.get_by_role("button", name="Lay my changes over theirs").click()
        expect(second.locator(".edit-laid")).to_contain_text("Acetylene hose: Length")
        assert (second.locator(LENGTH).input_value(), second.locator('[name="fuel.part.2.length"]').input_value()) == ("30 m", "25 m")
        second.click('[name="op"][value="save"]')
        second.wait_for_url("**?done=filed")
        assert re.findall(r'length = "(\d+ m)"', read_station(yard.site, NAME).text)[:2] == ["30 m", "25 m"]
        one.check()


def test_on_a_phone_a_strip_above_the_floor_tells_the_verdict_and_leads_to_it(yard: Office) -> None:
    with watched(yard.yard.settings.base, phone=True) as seen:
        page = opened(seen)
        strip, floor = page.locator("#edit-strip"), page.locator("footer.floor")
        expect(strip).to_be_in_viewport()
        expect(strip).to_contain_text("CAUTION")
        assert [float(text) for text in page.locator("#edit-strip .edit-digits").all_inner_texts()] == [3.3, 0.55]
        box, below = strip.bounding_box(), floor.bounding_box()
        assert box
        assert below
        assert box["y"] + box["height"] <= below["y"] + 1
        assert box["height"] >= 48
        assert page.evaluate("document.documentElement.scrollWidth") == 390
        strip.click()
        expect(page.locator("#edit-result .verdict").first).to_be_in_viewport()
        small = page.evaluate(
            """() => [...document.querySelectorAll('.edit button, .edit summary, .edit input:not([type=hidden]), .edit select')]
              .filter((e) => e.checkVisibility() && !e.classList.contains('edit-default') && e.getBoundingClientRect().height < 48)
              .map((e) => e.outerHTML.slice(0, 80))"""
        )
        assert small == []
        seen.check()


@pytest.mark.parametrize(("phone", "dark"), [(True, True)])  # its first page is looked at in the other ways in test_pages_in_browser.py
def test_no_page_of_an_edit_breaks_a_rule_of_accessibility(yard: Office, phone: bool, dark: bool) -> None:
    with watched(yard.yard.settings.base, phone=phone, dark=dark) as seen:
        page = opened(seen)
        found: list[str] = []

        def look(what: str) -> None:
            found.extend(f"{what}: {v['id']} {v['nodes'][0]['html'][:160]}" for v in Axe().run(page, options=RULES).response["violations"])

        look("form")
        page.evaluate("for (const d of document.querySelectorAll('details')) d.open = true")
        look("form, all open")
        if phone:
            page.locator(LENGTH).fill("20")
            expect(page.locator("#e-oxygen-part-2-length")).to_be_visible()
            worked(page)
            look("form, wrong")
        page.goto(f"{EDIT}?as=text")
        look("text")
        page.goto("/stations/new")
        look("start")
        page.fill("[name=name]", "Bay 9")
        page.click("button.act")
        look("new")
        assert found == []


def test_without_script_every_button_sends_the_form_and_shows_it_again(yard: Office) -> None:
    with watched(yard.yard.settings.base, java_script_enabled=False) as seen:
        page = opened(seen)
        page.click("#s-oxygen > summary")
        page.locator(LENGTH).fill("80 m")
        page.locator(LENGTH).press("Enter")
        assert digits(page) > 3.3
        page.click("#s-oxygen > summary") if not page.locator(LENGTH).is_visible() else None
        page.click('[name="op"][value="same oxygen 2"]')
        expect(page.locator('[name="oxygen.part.3.length"]')).to_have_value("80 m")
