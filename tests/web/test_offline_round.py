"""A round on a phone: whole, without a connection, and with the tab killed on the way."""

import json
from datetime import timedelta
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

from steadycone.records import New, events
from tests.edge.round_samples import START
from tests.web.round_desk import NAME, SLUG, given, made
from tests.web.round_phone import Phones, awake, begin, go, phones, save_state, seed, set_clocks, sign, until, up_to
from tests.web_desk import PASSWORD


def visit(page: Page) -> None:
    """Look at the station with a connection: the phone keeps its page and its round."""
    page.goto("/")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    until(page, "navigator.serviceWorker.controller !== null")
    page.goto(f"/stations/{SLUG}")
    until(page, f"caches.open('pages').then((kept) => kept.match('/stations/{SLUG}/round')).then(Boolean)")


def kept_round(page: Page) -> dict[str, Any]:
    """The newest round on the phone's own disk."""
    found: dict[str, Any] = page.evaluate(
        """() => new Promise((resolve) => { const asked = indexedDB.open('steadycone', 1); asked.onsuccess = () => {
        const all = asked.result.transaction('rounds').objectStore('rounds').getAll(); all.onsuccess = () => resolve(all.result.at(-1)); }; })"""
    )
    return found


def rounds_of(found: Phones) -> list[str]:
    return [event.id for event in found.office.site.events() if isinstance(event.body, events.RoundDone)]


def test_a_whole_round_on_a_phone_ends_signed_and_in_the_log(tmp_path: Path) -> None:
    with phones(tmp_path) as found:
        page = found.phone("O. Quist")
        of = made(found.office)
        some = given(of)
        id_ = begin(page)
        go(found, page, of, some)
        page.wait_for_selector("text=Signed off")
        assert "sent" in page.inner_text("#sent")
        assert rounds_of(found) == [f"round-{id_}"]
        report = page.request.get(f"/rounds/{id_}/report.json").json()
        assert report["sign_off"]["by"] == "L. Marsh"
        page.click("text=See the report")
        page.wait_for_selector("text=Signed fit until 16:30")


def test_a_round_begun_without_a_connection_goes_on_after_the_tab_is_killed_and_is_delivered_once(tmp_path: Path) -> None:
    with phones(tmp_path) as found:
        page = found.phone("O. Quist")
        visit(page)
        of = made(found.office)
        some = given(of)
        cut, wait = up_to(some, "leak-start-low.oxygen"), up_to(some, "leak-watch")
        page.context.set_offline(True)
        page.goto(f"/stations/{SLUG}")
        page.click("text=Go round it")
        awake(page)
        page.click("[data-begin-form] button")
        go(found, page, of, some[:cut])
        save_state(page, "waiting")
        assert f"{cut} waiting" in page.inner_text("#sent")
        context = page.context
        page.close()  # the tab is killed

        page = context.new_page()
        page.goto(f"/stations/{SLUG}/round")
        awake(page)
        page.click(f"text={cut} answers")
        go(found, page, of, some[cut:wait])
        set_clocks(found, page, some[wait - 1].at + timedelta(minutes=3))
        page.reload()
        page.wait_for_selector('[data-step="leak-watch"]:not([hidden])')
        assert page.inner_text("[data-step=leak-watch] [data-timer]") in ("6:00", "5:59")  # 9 min watch, 3 gone while nobody looked
        early = page.locator("[data-step=leak-watch] [data-done]")
        assert early.get_attribute("aria-disabled") == "true"
        early.click(force=True)
        assert page.is_visible("[data-step=leak-watch]")
        go(found, page, of, some[wait:])
        page.wait_for_selector("text=Signed here, not yet confirmed")
        assert found.office.site.drafts.open_ones() == []
        assert PASSWORD not in json.dumps(kept_round(page))

        page.context.set_offline(False)
        save_state(page, "waiting")
        page.fill("[data-confirm] [name=name]", "L. Marsh")
        page.fill("[data-confirm] [name=password]", PASSWORD)
        page.click("[data-confirm] button")
        page.wait_for_selector("text=Signed off")
        (id_,) = rounds_of(found)
        report = page.request.get(f"/rounds/{id_.removeprefix('round-')}/report.json").json()
        told = [(step["id"], step["at"][:19]) for step in report["steps"] if step["at"]]
        want = [(each.step, each.at) for each in some]
        # the phone's clock runs on for a moment between setting it and the press
        assert [step for step, _ in told] == [step for step, _ in want]
        for (_, at), (_, own) in zip(told, want, strict=True):
            assert 0 <= _seconds(at) - _seconds(own.isoformat()[:19]) <= 8
        assert report["ended"][:16] == some[-1].at.isoformat()[:16]


def _seconds(iso: str) -> int:
    hours, minutes, seconds = iso[11:].split(":")
    return int(hours) * 3600 + int(minutes) * 60 + int(seconds)


def test_a_needle_that_moved_stops_the_phone_alone_and_the_yard_judges_it_later(tmp_path: Path) -> None:
    with phones(tmp_path) as found:
        page = found.phone("O. Quist")
        visit(page)
        of = made(found.office)
        some = given(of, **{"leak-end-low.fuel": "0.65 bar"})
        last, bled = up_to(some, "leak-end-temperature"), up_to(some, "leak-valve-needle.fuel")
        id_ = begin(page)
        page.context.set_offline(True)
        seed(found, page, id_, some[: last + 1])
        assert page.is_visible("[data-step='leak-valve-wait.oxygen']")  # the bleed test belongs to the needles and is still asked
        assert "1 stop stands" in page.inner_text("[data-step='leak-valve-wait.oxygen'] .round-stands")
        seed(found, page, id_, some[: bled + 1])
        page.wait_for_selector("[data-stop] >> text=treat it as leaking")
        page.context.set_offline(False)
        save_state(page, "sent")
        # the yard's sum, in the words of the report, and what is gone round again after mending
        page.wait_for_selector("[data-stop] >> text=A leak on the low side")
        page.click("text=Mended: go round again from step")
        page.wait_for_selector('[data-step="screws-out"]:not([hidden])')
        page.click('[data-step="screws-out"] .round-main')
        page.wait_for_selector('[data-step="handle-open"]:not([hidden])')
        save_state(page, "sent")
        assert found.office.site.drafts.get(id_).answers[-1]["again"] is True


def test_a_signature_that_the_records_refuse_is_told_and_the_round_is_kept_as_evidence(tmp_path: Path) -> None:
    with phones(tmp_path) as found:
        site = found.office.site
        start = found.office.clock.now
        site.append(
            New(
                events.GearAdded(mark="TQ-HOS-1", item="hose", gas="oxygen", dates={"made": events.Dated(date="2024-05", basis="stamp")}),
                "T. Vance",
                start,
            )
        )
        site.append(New(events.StationMadeUp(station=NAME, makeup={"oxygen part 2": "TQ-HOS-1"}), "T. Vance", start))
        page = found.phone("O. Quist")
        of = made(found.office)
        some = given(of)
        seed(found, page, begin(page), some[:-1])
        set_clocks(found, page, some[-1].at)
        site.append(New(events.Quarantined(mark="TQ-HOS-1", reason="cut to the braid"), "T. Vance", some[-2].at))
        sign(page, "L. Marsh")
        page.wait_for_selector("text=Not signed")
        assert "TQ-HOS-1 is quarantined: cut to the braid" in page.inner_text("[data-end-problem]")
        assert len(rounds_of(found)) == 1
        assert not [event for event in site.events() if isinstance(event.body, events.SignOff)]


def test_a_round_that_waits_is_sent_from_whatever_page_is_opened_next(tmp_path: Path) -> None:
    with phones(tmp_path) as found:
        page = found.phone("O. Quist")
        visit(page)
        page.context.set_offline(True)
        id_ = begin(page)
        go(found, page, made(found.office), given(made(found.office))[:3])
        page.goto("/emergency")
        page.context.set_offline(False)
        page.goto("/own")
        page.wait_for_selector("#sent:empty", state="attached")
        until(page, "new Promise((resolve) => navigator.locks.request('steadycone-send', () => resolve(true)))")
        assert len(found.office.site.drafts.get(id_).answers) == 3


def test_the_emergency_list_is_there_without_a_connection_in_one_press(tmp_path: Path) -> None:
    with phones(tmp_path) as found:
        page = found.phone("O. Quist")
        visit(page)
        page.goto(f"/stations/{SLUG}/round")
        page.context.set_offline(True)
        page.click("footer.floor a.bar")
        page.wait_for_selector("text=EMERGENCY")
        assert page.locator(".plates li").count() == 4
        page.goto("/gear")
        page.wait_for_selector("text=The yard can’t be reached")
        assert page.locator("[data-kept] a").count() == 1


def test_a_phone_that_is_signed_out_keeps_no_page_of_the_yard_but_every_round_that_waits(tmp_path: Path) -> None:
    with phones(tmp_path) as found:
        page = found.phone("O. Quist")
        visit(page)
        page.context.set_offline(True)
        id_ = begin(page)
        go(found, page, made(found.office), given(made(found.office))[:2])
        page.evaluate("window.stop()")
        page.route("**/rounds/**", lambda route: route.abort())  # the yard answers, the rounds do not get through
        page.context.set_offline(False)
        page.goto("/own")
        page.click("text=Sign out")
        page.wait_for_url("**/sign-in**")
        assert page.evaluate("caches.has('pages')") is False
        assert kept_round(page)["id"] == id_
        save_state(page, "O. Quist")
        assert page.inner_text("#sent") == "waiting for O. Quist"
        page.fill("#name", "L. Marsh")
        page.fill("#password", PASSWORD)
        page.click("main button.act")
        page.unroute("**/rounds/**")
        page.goto(f"/stations/{SLUG}/round")
        awake(page)
        assert "Waiting for O. Quist" in page.inner_text("[data-rounds]")
        page.wait_for_timeout(300)
        assert found.office.site.drafts.open_ones() == []


def test_a_clock_that_is_off_is_said_and_a_page_kept_too_long_begins_nothing(tmp_path: Path) -> None:
    with phones(tmp_path) as found:
        page = found.phone("O. Quist")
        page.clock.set_system_time(START + timedelta(minutes=7))
        page.goto(f"/stations/{SLUG}/round")
        page.wait_for_selector("text=7 min ahead of the yard’s")
        page.clock.set_system_time(START + timedelta(days=9))
        page.click("[data-begin-form] button")
        page.wait_for_selector("text=dates may have run out since")
