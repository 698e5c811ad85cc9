"""The emergency page on a phone: what to do, for every branch, is one screen."""

from pathlib import Path

from steadycone.web.settings import Settings
from tests.web.browser import free_port, running
from tests.web.looking import watched
from tests.web_desk import office

WIDTH, HEIGHT = 390, 844


def test_everything_that_is_done_first_is_on_one_screen_of_a_phone(tmp_path: Path) -> None:
    with (
        office(tmp_path, settings=Settings(port=free_port())) as found,
        running(found),
        watched(found.yard.settings.base, phone=True, dark=False) as seen,
    ):
        page = seen.page()
        page.set_viewport_size({"width": WIDTH, "height": HEIGHT})
        for region in ("uk", "us"):
            page.goto(f"/emergency?region={region}")
            assert page.locator(".branch").count() == 6
            assert page.evaluate("document.querySelector('.call').getBoundingClientRect().bottom") <= HEIGHT
            assert page.evaluate("document.documentElement.scrollWidth") <= WIDTH
