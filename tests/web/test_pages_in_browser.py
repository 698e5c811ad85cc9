"""Every page as a person meets it: rules of accessibility in light and dark, room for a gloved thumb, nothing fetched from elsewhere, print."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from steadycone.records import New, events
from steadycone.web.settings import Settings
from tests.web.browser import free_port, running, sign_in
from tests.web.crawl import crawl, kind
from tests.web.looking import watched
from tests.web_desk import Office, office
from tests.web_yard import filled

WHO = "M. Reyes"
DOCUMENTS = (".pdf", ".json", "as=csv", "/file", "/document", "/proof", "/labels", "/export", "/audit")
# What WCAG 2.2 calls out, and axe's own best practices. Its target size (24 px) counts what the floor happens to cover before one scrolls;
# the test below asks for 48 px of everything.
RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    "rules": {"target-size": {"enabled": False}},
    "resultTypes": ["violations"],
}


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory):
    with office(tmp_path_factory.mktemp("browser"), settings=Settings(port=free_port())) as found:
        filled(found)
        for role in ("lead hand", "authorised technician", "competent person", "instructor"):
            found.site.append(New(events.Authorised(person=WHO, role=role, basis="letter"), WHO, found.clock.now))
        with running(found):
            yield found


@pytest.fixture(scope="module")
def addresses(yard: Office) -> list[str]:
    """One page of each kind, as links lead to them, and those that nobody is signed in for."""
    pages, _ = crawl(yard.client(WHO))
    kinds: dict[str, str] = {}
    for address, found in pages.items():
        if found.status_code == 200 and found.headers["content-type"].startswith("text/html"):
            kinds.setdefault(kind(address), address)
    return sorted(kinds.values())


def opened(yard: Office, *, phone: bool, dark: bool):
    return watched(yard.yard.settings.base, phone=phone, dark=dark)


@pytest.mark.parametrize(("phone", "dark"), [(True, False), (False, True)])
def test_no_page_breaks_a_rule_of_accessibility(yard: Office, addresses: list[str], phone: bool, dark: bool) -> None:
    assert len(addresses) > 20
    broken: dict[str, list[str]] = {}
    with opened(yard, phone=phone, dark=dark) as found:
        page = found.page()
        _check(page, ["/sign-in", "/emergency", "/nowhere"], broken)
        sign_in(page, WHO)
        _check(page, addresses, broken)
        found.errors = [error for error in found.errors if "/nowhere" not in error]  # the page that is not there is meant not to be
        found.check()
    assert broken == {}


def _check(page: Page, addresses: list[str], broken: dict[str, list[str]]) -> None:
    axe = Axe()
    for address in addresses:
        page.goto(address)
        result = axe.run(page, options=RULES)
        if result.violations_count:
            broken[address] = [
                f"{each['id']}: {node['target']} {node['html'][:120]}"
                for each in result.response["violations"]
                for node in each["nodes"][:3]
            ]


def test_on_a_phone_nothing_is_too_small_for_a_thumb_or_wider_than_the_screen(yard: Office, addresses: list[str]) -> None:
    small: dict[str, list[str]] = {}
    with opened(yard, phone=True, dark=False) as found:
        page = found.page()
        sign_in(page, WHO)
        for address in addresses:
            if address.endswith("/card"):
                continue  # the printed sheet: its page says how wide it is, and a phone shows it whole
            page.goto(address)
            told = page.evaluate(_SMALL)
            if told:
                small[address] = told
    assert small == {}


# Whatever can be pressed is 48 px high or more; a link inside a sentence is not a button, and a box is pressed by its label.
_SMALL = """() => {
  const told = [];
  const root = document.documentElement;
  if (root.scrollWidth > root.clientWidth) told.push(`page ${root.scrollWidth} px wide`);
  for (const part of document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary')) {
    const box = part.getBoundingClientRect();
    if (box.width === 0 || part.classList.contains('skip') || part.tabIndex < 0) continue;
    const style = getComputedStyle(part);
    if (part.tagName === 'A' && style.display === 'inline' && part.closest('p, dd, li span, figcaption')) continue;
    const label = part.matches('[type=checkbox], [type=radio]') ? part.closest('label') : null;
    const height = label ? label.getBoundingClientRect().height : box.height;
    if (height < 47.5) told.push(`${part.outerHTML.slice(0, 100)} ${Math.round(height)} px`);
  }
  return told.slice(0, 8);
}"""


def test_the_emergency_list_is_one_press_away_from_every_page(yard: Office, addresses: list[str]) -> None:
    with opened(yard, phone=True, dark=False) as found:
        page = found.page()
        sign_in(page, WHO)
        for address in addresses:
            page.goto(address)
            if address.startswith("/emergency") or page.locator(".floor h2").count():
                continue  # the list itself; the printed card, which has the whole list on it
            link = page.locator('footer.floor a[href="/emergency"]')
            assert link.is_visible(), address
            box = link.bounding_box()
            assert box
            assert box["y"] + box["height"] <= 845, address  # on the screen without scrolling


def test_the_keyboard_alone_reaches_and_shows_what_can_be_pressed(yard: Office) -> None:
    with opened(yard, phone=False, dark=False) as found:
        page = found.page()
        sign_in(page, WHO)
        page.goto("/")
        page.keyboard.press("Tab")
        assert page.evaluate("() => document.activeElement.className") == "skip"
        seen = set()
        for _ in range(80):
            page.keyboard.press("Tab")
            told = page.evaluate(
                "() => { const at = document.activeElement; const s = getComputedStyle(at); return [at.outerHTML.slice(0, 80), s.outlineStyle, parseFloat(s.outlineWidth)] }"
            )
            seen.add(told[0])
            if not told[0].startswith("<body"):
                assert told[1] == "solid", told
                assert told[2] >= 3, told
        assert any('href="/stations/' in each for each in seen)
        assert any('href="/emergency"' in each for each in seen)


def test_what_is_printed_has_no_buttons_and_keeps_the_emergency_floor(yard: Office, tmp_path: Path) -> None:
    from pypdf import PdfReader

    with opened(yard, phone=False, dark=True) as found:
        page = found.page()
        sign_in(page, WHO)
        for address, says in (
            ("/", "Slip 2, frame bench"),
            ("/stations/slip-2-frame-bench", "SET OXYGEN"),
            ("/stations/slip-2-frame-bench/card", "SET OXYGEN"),
        ):
            page.goto(address)
            page.emulate_media(media="print")
            assert page.evaluate("() => getComputedStyle(document.body).backgroundColor") in ("rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"), (
                address
            )
            target = tmp_path / "page.pdf"
            target.write_bytes(page.pdf(prefer_css_page_size=True))
            told = " ".join(sheet.extract_text() for sheet in PdfReader(target).pages)
            assert says in told
            assert "EMERGENCY" in told
            assert "Export what is shown" not in told
            assert "Plan gas" not in told
            page.emulate_media(media="screen")


def test_the_pages_are_there_without_script(yard: Office, addresses: list[str]) -> None:
    with watched(yard.yard.settings.base, phone=True, java_script_enabled=False) as found:
        page = found.page()
        sign_in(page, WHO)
        for address in addresses:
            page.goto(address)
            assert page.locator("h1").count() == 1, address
