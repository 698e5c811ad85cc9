"""The same store on both engines: asking, many sites, many hands at once."""

import threading
from datetime import date, timedelta

import pytest

from steadycone.errors import InputError, StoreMissing, UnknownName
from steadycone.records import New, Receipt, open_store
from steadycone.records import events as e
from tests.records.conftest import Clock, Yard


def test_what_was_recorded_is_there_when_the_store_is_opened_again(address: str, clock: Clock) -> None:
    with open_store(address, clock=clock) as store:
        yard = Yard(store, clock)
        yard.made_up()
        signed = yard.sign()
        head = yard.site.head()
    with open_store(address, clock=clock, create=False) as store:
        site = store.site()
        assert site.head() == head
        assert site.station("slip 2").sign_off == signed
        assert site.station("Slip 2").makeup == {"oxygen regulator": "R-1", "oxygen part 1": "H-1"}
        assert site.verify(every_signature=True).sound
        assert site.stale() == []


def test_gear_is_asked_for_in_many_ways(any_yard: Yard) -> None:
    any_yard.made_up()
    any_yard.says(e.GearAdded(mark="T-7", item="torch", type="three-tube, 90°", note="100% spare_"))
    any_yard.says(e.Quarantined(mark="T-7", reason="valve stiff"))
    site = any_yard.site
    assert [item.mark for item in site.items()] == ["H-1", "R-1", "T-7"]
    assert [item.mark for item in site.items(station="SLIP 2")] == ["H-1", "R-1"]
    assert [item.mark for item in site.items(state="quarantined")] == ["T-7"]
    assert [item.mark for item in site.items(item="hose")] == ["H-1"]
    assert [item.mark for item in site.items(search="three-TUBE")] == ["T-7"]
    assert [item.mark for item in site.items(search="0% spare_")] == ["T-7"]
    assert site.items(search="%%") == []
    assert [item.mark for item in site.items(after="h-1", limit=1)] == ["R-1"]


def test_events_come_back_as_they_went_in(any_yard: Yard) -> None:
    body = e.TestResult(
        mark="R-1", test="creep", value="0.1 bar", passed=True, readings={"start": "2.0 bar", "end": "2.1 bar"}, gas="nitrogen"
    )
    any_yard.gear("R-1")
    receipt = any_yard.site.append(any_yard.new(body, "Ł. Øst", documents={"sheet": b"scan"}))[0]
    found = any_yard.site.event(receipt.id)
    assert found == receipt.event == any_yard.site.event(receipt.sequence)
    assert (found.body, found.author, found.kind) == (body, "Ł. Øst", "test-result")
    assert any_yard.site.document(found.documents["sheet"]) == b"scan"
    assert [event.sequence for event in any_yard.site.events(first=3)] == [3, receipt.sequence]
    with pytest.raises(UnknownName):
        any_yard.site.event("no-such-event")


def test_history_is_turned_over_page_by_page(any_yard: Yard) -> None:
    any_yard.gear("R-1")
    for number in range(7):
        any_yard.says(e.Noted(says=str(number), mark="R-1"))
    first = any_yard.site.history(mark="R-1", limit=5)
    rest = any_yard.site.history(mark="r-1", limit=5, before=first[-1].sequence)
    assert [event.sequence for event in [*first, *rest]] == [10, 9, 8, 7, 6, 5, 4, 3]


def test_the_log_is_searched_by_time(any_yard: Yard) -> None:
    any_yard.gear("R-1")
    any_yard.clock.now += timedelta(hours=2)
    any_yard.says(e.Noted(says="later"))
    assert any_yard.site.first_since(any_yard.clock.now - timedelta(hours=1)) == 4
    assert any_yard.site.first_since(any_yard.clock.now + timedelta(hours=1)) == 5


def test_sites_keep_to_themselves(any_yard: Yard) -> None:
    any_yard.gear("R-1")
    other = any_yard.store.open_site("dry dock", region="us", author="J. Marsh")
    other.append(any_yard.new(e.GearAdded(mark="R-1", item="hose")))
    assert any_yard.store.sites() == ["dry dock", "tern-quay"]
    assert (any_yard.site.item("R-1").item, other.item("R-1").item) == ("regulator", "hose")
    assert other.policy.region == "us"
    assert any_yard.site.verify().sound
    assert other.verify().sound
    assert other.log != any_yard.site.log
    with pytest.raises(InputError, match="more than one site"):
        any_yard.store.site()
    with pytest.raises(UnknownName):
        any_yard.store.site("dry duck")
    with pytest.raises(InputError, match="another region"):
        any_yard.store.open_site("dry dock", region="uk", author="J. Marsh")


def test_opening_a_site_twice_is_one_site(any_yard: Yard) -> None:
    size = any_yard.site.size
    assert any_yard.store.open_site("tern-quay", region="uk", author="J. Marsh").size == size


def _list(yard: Yard, count: int) -> list[New]:
    """A gear list of which every twentieth row is faulty, each in one of four ways."""
    rows = []
    for number in range(count):
        mark, day = f"G-{number}", "2024-03"
        if number % 20 == 19:
            mark, day = (("G-0", day), (mark, "2031-01"), (mark, "spring"), ("", day))[number // 20 % 4]
        rows.append(yard.new(e.GearAdded(mark=mark, item="hose", dates={"made": e.Dated(date=day)})))
    return rows


def test_a_list_goes_in_row_by_row_and_every_bad_row_says_why(any_yard: Yard) -> None:
    rows = _list(any_yard, 2500)
    size = any_yard.site.size
    foreseen = any_yard.site.preview(rows)
    assert any_yard.site.size == size
    assert any_yard.site.items() == []
    found = any_yard.site.append_each(rows)
    bad = [result for result in found if isinstance(result, InputError)]
    assert len(bad) == 125
    assert [str(problem) for problem in foreseen if problem] == [str(problem) for problem in bad]
    for why in ("2031-01 is in the future", "is not a date", "no mark"):
        assert any(why in problem.says for problem in bad), why
    assert any_yard.site.size == size + 2375
    assert any_yard.site.stale() == []
    again = any_yard.site.append_each(rows)
    assert sum(isinstance(result, Receipt) and result.known for result in again) == 2375
    assert any_yard.site.size == size + 2375


def test_a_list_with_a_bad_row_stays_out_altogether_when_asked_so(any_yard: Yard) -> None:
    size = any_yard.site.size
    with pytest.raises(InputError):
        any_yard.site.append(*_list(any_yard, 100))
    assert any_yard.site.size == size


def test_many_hands_at_once_lose_and_double_nothing(any_yard: Yard) -> None:
    any_yard.gear("R-1")
    ids: list[str] = []
    errors: list[Exception] = []

    def work(number: int) -> None:
        try:
            for _ in range(10):
                ids.append(any_yard.says(e.Noted(says=str(number), mark="R-1")))
        except Exception as error:  # noqa: BLE001 - raised in a thread, looked at below
            errors.append(error)

    threads = [threading.Thread(target=work, args=(number,)) for number in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert errors == []
    kept = [event.id for event in any_yard.site.events(kinds=["noted"])]
    assert sorted(kept) == sorted(ids)
    assert any_yard.site.verify(every_signature=True).sound


def test_the_same_event_from_two_stores_at_once_is_one(address: str, clock: Clock) -> None:
    with open_store(address, clock=clock) as one, open_store(address, clock=clock) as two:
        first = Yard(one, clock)
        new = first.new(e.GearAdded(mark="R-1", item="hose"))
        found: list[Receipt] = []
        threads = [threading.Thread(target=lambda site: found.extend(site.append(new)), args=(store.site(),)) for store in (one, two)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert sorted(receipt.known for receipt in found) == [False, True]
        assert len({receipt.sequence for receipt in found}) == 1


def test_two_people_who_give_the_same_mark_at_once_get_one_item(address: str, clock: Clock) -> None:
    with open_store(address, clock=clock) as store:
        yard = Yard(store, clock)
        refused: list[InputError] = []

        def work() -> None:
            try:
                yard.gear("R-1")
            except InputError as error:
                refused.append(error)

        threads = [threading.Thread(target=work) for _ in range(8)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert len(refused) == 7
        assert len(yard.site.items()) == 1


def test_a_store_is_not_made_by_looking_for_it(address: str) -> None:
    for create, read_only in ((False, False), (True, True)):
        with pytest.raises(StoreMissing):
            open_store(address, create=create, read_only=read_only)


def test_due_lists_can_be_cut_short(any_yard: Yard) -> None:
    for number in range(5):
        any_yard.gear(f"R-{number}", made=f"2021-0{number + 1}")
    assert [due.item.mark for due in any_yard.site.due(date(2026, 11, 25), limit=2)] == ["R-0", "R-1"]
