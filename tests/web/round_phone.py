"""Phones at the demo station, and a round pressed through on one. The phone's clock, like the yard's, is set by the test."""

import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import BrowserContext, Page

from steadycone.procedures.rounds import Answer, PlanStep
from steadycone.web.settings import Settings
from tests.edge.round_samples import START
from tests.web.browser import PHONE, free_port, running, sign_in, the_browser
from tests.web.round_desk import SLUG, MadeRound, file_it
from tests.web_desk import PASSWORD, Office, office

ZONE = "Europe/London"
_CUT = ("net::ERR_INTERNET_DISCONNECTED", "net::ERR_FAILED")  # what a browser writes itself when a request finds no network


@dataclass
class Phones:
    """`errors`: what no page may do: errors on the console, requests that leave the host."""

    office: Office
    errors: list[str] = field(default_factory=list)
    contexts: list[BrowserContext] = field(default_factory=list)

    def context(self, **more: Any) -> BrowserContext:
        """A phone of its own. Its clock stands where the yard's does, and runs on."""
        given: dict[str, Any] = {"timezone_id": ZONE, "viewport": PHONE, "has_touch": True} | more
        made = the_browser().new_context(base_url=self.office.yard.settings.base, **given)
        made.set_default_timeout(8000)
        made.on("console", lambda told: self._said(told.text) if told.type == "error" else None)
        made.on("weberror", lambda error: self.errors.append(str(error.error)))
        made.on("request", lambda asked: self._asked(asked.url))
        made.clock.install(time=self.office.clock.now)
        self.contexts.append(made)
        return made

    def phone(self, person: str = "", **more: Any) -> Page:
        page = self.context(**more).new_page()
        if person:
            sign_in(page, person)
        return page

    def _said(self, text: str) -> None:
        if not any(cut in text for cut in _CUT):
            self.errors.append(text)

    def _asked(self, url: str) -> None:
        if urlsplit(url).netloc not in (urlsplit(self.office.yard.settings.base).netloc, ""):
            self.errors.append(f"left the host: {url}")


@contextmanager
def phones(folder: Path, fill: Callable[[Office], object] = file_it) -> Iterator[Phones]:
    """An office behind a real port at the samples' first minute; at the end no phone may have done what none may."""
    with office(folder, settings=Settings(port=free_port())) as found, running(found):
        found.clock.now = START
        fill(found)
        it = Phones(found)
        try:
            yield it
        finally:
            for context in it.contexts:
                context.close()
        assert it.errors == []


def set_clocks(found: Phones, page: Page, at: datetime) -> None:
    """Both clocks to one moment; the phone's runs on by itself from there."""
    found.office.clock.now = at
    page.clock.set_system_time(at)


def awake(page: Page) -> None:
    """Only from then on a press is heard by the round's own script."""
    until(page, "document.documentElement.dataset.awake === 'yes'")


def until(page: Page, told: str) -> None:
    """Playwright's own wait_for_function evaluates text inside the page, which the pages' policy forbids."""
    last = time.monotonic() + 10
    while not page.evaluate(told):
        assert time.monotonic() < last, told
        page.wait_for_timeout(50)


def save_state(page: Page, told: str) -> None:
    # Every half minute at the latest: not every browser tells a page that its connection came back.
    page.wait_for_selector(f'#sent:has-text("{told}")', timeout=40_000)


_SEED = """([id, answers]) => new Promise((resolve, reject) => {
  const asked = indexedDB.open("steadycone", 1);
  asked.onsuccess = () => {
    const change = asked.result.transaction("rounds", "readwrite");
    const rounds = change.objectStore("rounds");
    rounds.get(id).onsuccess = (event) => rounds.put({ ...event.target.result, answers });
    change.oncomplete = () => { asked.result.close(); resolve(true); };
    change.onabort = () => reject(change.error);
  };
})"""


def seed(found: "Phones", page: Page, id_: str, answers: list[Answer]) -> None:
    """These answers as if they had been pressed before on this phone, which shows the round again then."""
    page.evaluate(_SEED, [id_, [answer.out() for answer in answers]])
    set_clocks(found, page, answers[-1].at)
    page.reload()
    awake(page)


def begin(page: Page) -> str:
    """Begin a round of the demo station; gives its id."""
    page.goto(f"/stations/{SLUG}/round")
    awake(page)
    page.click("[data-begin-form] button")
    page.wait_for_selector("[data-step=who]:not([hidden])")
    return page.url.partition("#")[2]


def give(found: Phones, page: Page, step: PlanStep, answer: Answer) -> None:
    """One answer as a hand gives it, at its own time."""
    place = f'[data-step="{step.id}"]'
    page.wait_for_selector(f"{place}:not([hidden])")
    if step.kind == "wait" and not step.runs_on:
        page.click(f"{place} [data-begin]")
        page.wait_for_selector(f"{place} [data-done]:not([hidden])")
    set_clocks(found, page, answer.at)
    said = str(answer.value)
    if step.kind == "wait":
        page.wait_for_selector(f'{place} [data-done][aria-disabled="false"]')
        page.click(f"{place} [data-done]")
    elif said.startswith("fail"):
        page.click(f"{place} summary")
        page.fill(f"{place} [name=why]", said.partition(": ")[2])
        page.click(f'{place} button[value="fail"]')
    elif step.kind == "tick":
        page.click(f'{place} button[value="done"]')
    elif step.kind == "choice":
        page.click(f'{place} button[value="{said}"]')
    elif step.id == "sign":
        sign(page, said)
    else:
        bare = step.division is not None or step.reading in ("temperature", "share")
        page.fill(f'{place} [name="{"text" if step.kind == "text" else "number"}"]', said.partition(" ")[0] if bare else said)
        page.click(f"{place} .round-main")
    page.wait_for_selector(place, state="hidden")


def sign(page: Page, name: str, password: str = PASSWORD) -> None:
    page.fill("[data-step=sign] [name=name]", name)
    page.fill("[data-step=sign] [name=password]", password)
    page.click("[data-step=sign] .round-main")


def go(found: Phones, page: Page, of: MadeRound, answers: Iterable[Answer]) -> None:
    for answer in answers:
        give(found, page, of.plan.step(answer.step), answer)


def up_to(answers: list[Answer], step: str) -> int:
    return next(place for place, answer in enumerate(answers) if answer.step == step)
