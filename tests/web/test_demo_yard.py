"""The invented yard of `serve --demo`: the same on any day, sound, and with something true on every page."""

from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from click.testing import CliRunner
from starlette.testclient import TestClient

from steadycone.cli.serve import serve
from steadycone.errors import InputError
from steadycone.records import New, Site, Store, events, open_store
from steadycone.records.times import read
from steadycone.web.app import make_app
from steadycone.web.board import Board, board
from steadycone.web.demo import build_demo
from steadycone.web.guard import passwords
from steadycone.web.settings import Settings
from steadycone.web.yard import Yard
from tests.web_desk import BASE, token_of

# an ordinary morning; a leap day just after midnight; a month's last evening, far from Greenwich
MOMENTS = [
    datetime(2026, 11, 25, 7, 52, tzinfo=UTC),
    datetime(2028, 2, 29, 0, 10, tzinfo=timezone(timedelta(hours=1))),
    datetime(2031, 6, 30, 23, 40, tzinfo=timezone(timedelta(hours=10))),
]


class Demo:
    """A built yard and the moment it was built at."""

    def __init__(self, store: Store, now: datetime) -> None:
        self.store, self.now = store, now
        self.notice = build_demo(store, now)
        self.site: Site = store.site()
        self.yard = Yard(store, Settings(notice=self.notice), lambda: now)

    @property
    def board(self) -> Board:
        return board(self.yard, self.site, self.site.size, self.now)

    @property
    def password(self) -> str:
        return self.notice[-1].split(" is ")[1].partition(",")[0]


@pytest.fixture(scope="module", params=MOMENTS, ids=lambda moment: moment.date().isoformat())
def demo(request: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Demo]:
    now = request.param
    with open_store(tmp_path_factory.mktemp("demo") / "yard.db", clock=lambda: now.astimezone(UTC)) as store:
        yield Demo(store, now)


def test_its_log_is_sound(demo: Demo) -> None:
    found = demo.site.verify()
    assert found.sound, found.problems
    assert not demo.site.stale()


def test_it_was_written_down_in_order_of_time_and_never_before_it_happened(demo: Demo) -> None:
    written = [(read(event.recorded_at), read(event.happened_at)) for event in demo.site.events()]
    assert [recorded for recorded, _ in written] == sorted(recorded for recorded, _ in written)
    assert all(happened <= recorded <= demo.now for recorded, happened in written)
    assert demo.now.date() - written[0][0].astimezone(demo.now.tzinfo).date() == timedelta(days=60)
    assert not [event for event in demo.site.events() if event.clock]


def test_two_stations_stop_first_and_the_rest_are_cautions_and_goes(demo: Demo) -> None:
    verdicts = [placed.row.verdict for placed in demo.board.rows]
    assert Counter(verdicts) == {"stop": 2, "caution": 4, "go": 4}
    assert verdicts == sorted(verdicts, key=["stop", "caution", "go"].index)


def test_what_is_go_is_signed_and_stays_so_for_hours(demo: Demo) -> None:
    for placed in demo.board.rows:
        if placed.row.verdict == "go":
            station = demo.site.station(placed.row.name)
            assert demo.site.sign_off(station.name, demo.now + timedelta(hours=4)).holds, placed.row.name


def test_the_stops_are_an_incident_with_its_gate_open_and_a_creeping_regulator(demo: Demo) -> None:
    incident, creeping = (placed.row for placed in demo.board.rows[:2])
    (held,) = demo.site.incidents()
    assert held.event == "flashback"
    assert held.station == incident.name
    assert held.gate
    item = next(item for item in demo.site.items(station=creeping.name, state="quarantined") if item.item == "regulator")
    assert "creeps" in item.reason
    assert demo.site.station(creeping.name).round_state == "stopped"


def test_its_gear_has_every_state_that_the_lists_are_for(demo: Demo) -> None:
    due = demo.site.due(demo.now.date(), days=14)
    assert len(demo.site.items()) > 60
    assert due[0].why == "unknown age"
    assert any(line.days is not None and line.days < 0 for line in due)
    assert sum(line.days is not None and line.days >= 0 for line in due) >= 3
    assert {item.item for item in demo.site.items(state="quarantined")} == {"arrestor", "hose", "regulator"}
    assert not [item.mark for item in demo.site.items(fitted=True) if item.overdue(demo.now.date())]


def test_the_register_and_the_stations_files_give_the_same_dates(demo: Demo) -> None:
    from steadycone.files.edit import fields_of
    from steadycone.records.station_files import read_station

    paths = {"regulator": "regulator", "arrestor": "part.1", "hose": "part.2"}
    for item in demo.site.items(fitted=True):
        if item.item in paths:
            fields = fields_of(read_station(demo.site, item.station).text)
            path = f"{'oxygen' if item.gas == 'oxygen' else 'fuel'}.{paths[item.item]}"
            assert {name: dated.date for name, dated in item.dates.items()} == {
                name: fields[f"{path}.{name}"] for name in ("made", "tested") if f"{path}.{name}" in fields
            }, item.mark


def test_there_are_rounds_tests_moves_a_correction_and_a_round_left_half_way(demo: Demo) -> None:
    kinds = Counter(event.kind for event in demo.site.events())
    assert kinds["round-done"] >= 10
    assert kinds["sign-off"] >= 9
    for kind in ("test-result", "cylinder-moved", "correction", "noted", "defect-found", "defect-closed", "gear-removed", "sign-off-ended"):
        assert kinds[kind], kind
    (draft,) = demo.site.drafts.open_ones()
    assert read(draft.answers[-1]["at"]) <= demo.now


def test_it_goes_on_with_the_stores_own_clock(demo: Demo) -> None:
    (receipt,) = demo.site.append(New(events.Noted(says="seen"), "M. Reyes", demo.now))
    assert read(receipt.event.recorded_at) == demo.now


def test_everybody_has_an_account_with_the_password_that_is_told(demo: Demo) -> None:
    accounts = demo.store.accounts.all()
    assert {account.person for account in accounts} == {person.name for person in demo.site.people()}
    assert all(passwords.matches(demo.password, account.password) for account in accounts[:2])
    assert all(account.person in demo.notice[0] for account in accounts)


def test_every_page_of_its_first_line_can_be_shown(demo: Demo) -> None:
    client = TestClient(make_app(demo.yard), base_url=BASE, follow_redirects=False)
    page = client.get("/sign-in")
    assert all(line in page.text for line in demo.notice)
    done = client.post("/sign-in", data={"token": token_of(page.text), "name": "M. Reyes", "password": demo.password})
    assert done.status_code == 303
    assert client.get("/").text.count('href="/stations/') >= 10
    for placed in demo.board.rows:
        assert client.get(f"/stations/{placed.slug}").status_code == 200, placed.slug


def test_no_two_starts_have_the_same_password() -> None:
    from steadycone.web.demo.build import _password

    found = {_password() for _ in range(100)}
    assert len(found) == 100
    assert all(len(password) >= passwords.SHORTEST for password in found)


@pytest.mark.parametrize(
    "asked", [["--store", "yard.db"], ["--site", "Tern Quay"], ["--host", "0.0.0.0"], ["--origin", "https://yard.example"]]
)
def test_it_is_refused_with_records_of_ones_own_and_where_others_reach_it(asked: list[str]) -> None:
    done = CliRunner().invoke(serve, ["--demo", *asked])
    assert isinstance(done.exception, InputError)
    assert done.exception.try_.startswith("Leave out --")
