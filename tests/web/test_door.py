"""Who gets in, and who does not: accounts, sessions, form tokens, the throttle, other hosts. Each name is a line of docs/security.md."""

from pathlib import Path

import pytest

from steadycone.records import open_store
from steadycone.web.app import TABLE, make_app
from steadycone.web.guard import passwords, sessions, throttle, tokens
from steadycone.web.settings import Settings
from steadycone.web.yard import Yard
from tests.web_desk import BASE, NOW, PASSWORD, Office, office, token_of


@pytest.fixture
def door(tmp_path: Path):
    with office(tmp_path) as found:
        yield found


@pytest.fixture(scope="module")
def standing(tmp_path_factory: pytest.TempPathFactory):
    """One office for tests that must leave it as it was."""
    with office(tmp_path_factory.mktemp("standing")) as found:
        yield found


# --- the first account -----------------------------------------------------------------


def empty(folder: Path):
    from starlette.testclient import TestClient

    store = open_store(folder / "empty.db")
    return store, TestClient(make_app(Yard(store, Settings(), lambda: NOW)), base_url=BASE, follow_redirects=False)


def first(client, code: str, **more: str):
    given = {"code": code, "yard": "North Slip", "region": "us", "name": "R. Okafor", "password": PASSWORD} | more
    return client.post("/first", data={"token": token_of(client.get("/first").text), **given})


def test_the_printed_code_makes_the_first_account_once(tmp_path: Path) -> None:
    store, client = empty(tmp_path)
    with store:
        code = store.accounts.make_first_code(NOW)
        assert client.get("/").headers["location"] == "/first"
        assert first(client, "wrong").status_code == 400
        assert store.sites() == []
        assert first(client, code).status_code == 303
        assert client.get("/").status_code == 200
        assert store.site().person("R. Okafor").roles(NOW.date()) == {"manager", "lead hand"}
        assert (
            client.post(
                "/first", data={"token": token_of(client.get("/own").text), "code": code, "name": "Another", "password": PASSWORD}
            ).headers["location"]
            == "/sign-in"
        )
        assert store.accounts.count() == 1
        (opened,) = [event for event in store.site().events() if event.kind == "account-changed"]
        assert (opened.author, opened.body.person, opened.body.what) == ("R. Okafor", "R. Okafor", "opened")
        made = store.accounts.get("R. Okafor")
        assert made is not None
        assert not made.starting  # chosen by the one who has it


def test_a_short_password_makes_no_account(tmp_path: Path) -> None:
    store, client = empty(tmp_path)
    with store:
        assert first(client, store.accounts.make_first_code(NOW), password="short").status_code == 400
        assert store.accounts.count() == 0


# --- signing in ------------------------------------------------------------------------


def sign_in(door: Office, name: str, password: str, **headers: str):
    client = door.client()
    client.cookies.delete(sessions.SIGNED_IN)
    token = token_of(client.get("/sign-in").text)
    return client.post("/sign-in", data={"token": token, "name": name, "password": password}, headers=headers)


def test_name_and_password_open_a_session_that_nothing_else_opens(door: Office) -> None:
    done = sign_in(door, "l. marsh", PASSWORD)
    cookie = next(line for line in done.headers.get_list("set-cookie") if line.startswith("steadycone="))
    assert "HttpOnly" in cookie
    assert "SameSite=lax" in cookie
    assert door.client().get("/own").status_code == 200
    assert sign_in(door, "L. Marsh", PASSWORD + "x").status_code == 403
    assert sign_in(door, "Nobody", PASSWORD).status_code == 403


def test_over_tls_the_cookie_is_for_this_host_and_encrypted_alone(tmp_path: Path) -> None:
    from starlette.testclient import TestClient

    with office(tmp_path, settings=Settings(origin="https://yard.example", proxied=True)) as found:
        client = TestClient(found.app, base_url="https://yard.example", follow_redirects=False)
        token = token_of(client.get("/sign-in").text)
        done = client.post("/sign-in", data={"token": token, "name": "L. Marsh", "password": PASSWORD})
        cookie = next(line for line in done.headers.get_list("set-cookie") if line.startswith("__Host-steadycone="))
        assert "Secure" in cookie
        assert done.headers["strict-transport-security"].startswith("max-age=")


def test_wrong_tries_of_a_name_make_it_wait_and_a_quarter_of_an_hour_later_it_works(door: Office) -> None:
    for _ in range(throttle.FREE):
        assert sign_in(door, "L. Marsh", "guess guess guess").status_code == 403
    assert "too many wrong tries" in sign_in(door, "L. Marsh", PASSWORD).text
    assert sign_in(door, "O. Quist", PASSWORD).status_code == 303  # others are not kept out with it
    door.clock.later(minutes=16)
    assert sign_in(door, "L. Marsh", PASSWORD).status_code == 303


def test_wrong_tries_from_one_address_stop_names_that_were_never_tried(door: Office) -> None:
    for number in range(throttle.FREE_ADDRESS):
        sign_in(door, f"Guess {number}", "guess guess guess")
    assert "too many wrong tries" in sign_in(door, "L. Marsh", PASSWORD).text


def test_an_unknown_name_costs_as_much_as_a_known_one() -> None:
    # the same work is done for both: a hash is compared in either case
    import time

    kept = passwords.hashed(PASSWORD)
    passwords.matches("x" * 12, None)
    known, unknown = [], []
    for times, against in ((known, kept), (unknown, None)) * 5:
        begun = time.perf_counter()
        assert not passwords.matches("not this one", against)
        times.append(time.perf_counter() - begun)
    assert min(unknown) > 0.5 * min(known)  # an early return would be a thousand times faster


def test_signing_in_again_gives_another_session_and_ends_the_old_one(door: Office) -> None:
    client = door.client("L. Marsh")
    old = client.cookies[sessions.SIGNED_IN]
    token = token_of(client.get("/sign-in").text)
    client.post("/sign-in", data={"token": token, "name": "L. Marsh", "password": PASSWORD})
    assert client.cookies[sessions.SIGNED_IN] != old
    assert door.store.accounts.read(old, door.clock.now) is None


def test_a_session_ends_with_the_shift_and_when_it_is_left_alone(door: Office) -> None:
    client = door.client("L. Marsh")
    assert client.get("/own").status_code == 200
    door.clock.later(hours=4, minutes=1)
    assert client.get("/own").status_code == 303
    other = door.client("O. Quist")
    for _ in range(4):
        door.clock.later(hours=3)
        other.get("/own")
    assert other.get("/own").status_code == 303  # 12 hours after it began, however busy it was


def test_an_old_token_is_changed_for_a_new_one_on_the_way(door: Office) -> None:
    client = door.client("L. Marsh")
    old = client.cookies[sessions.SIGNED_IN]
    door.clock.later(hours=1, minutes=5)
    client.get("/own", headers={"sec-fetch-dest": "document"})
    assert client.cookies[sessions.SIGNED_IN] != old
    client.get("/own")
    door.clock.later(minutes=2)
    client.get("/own")
    assert door.store.accounts.read(old, door.clock.now) is None


def test_signing_out_ends_the_session_on_the_server(door: Office) -> None:
    client = door.client("L. Marsh")
    old = client.cookies[sessions.SIGNED_IN]
    client.post("/sign-out", data={"token": token_of(client.get("/own").text)})
    assert door.store.accounts.read(old, door.clock.now) is None


def test_a_changed_password_puts_everybody_else_out(door: Office) -> None:
    client = door.client("L. Marsh")
    other = door.store.accounts.begin("L. Marsh", door.clock.now)
    assert door.send("L. Marsh", "/own", "/own/password", password="not it at all", new="another long one").status_code == 400
    assert door.send("L. Marsh", "/own", "/own/password", password=PASSWORD, new="another long one").status_code == 303
    assert door.store.accounts.read(other, door.clock.now) is None
    assert client.get("/own").status_code == 200


def test_a_disabled_account_is_out_at_once(door: Office) -> None:
    client = door.client("O. Quist")
    door.store.accounts.disable("O. Quist")
    assert client.get("/own").status_code == 303
    assert sign_in(door, "O. Quist", PASSWORD).status_code == 403


def test_passwords_and_tokens_are_not_in_the_store(door: Office) -> None:
    client = door.client("L. Marsh")
    token = client.cookies[sessions.SIGNED_IN]
    door.store.close()
    held = b"".join(path.read_bytes() for path in Path(door.store.address.path).parent.iterdir() if path.is_file())
    assert token.encode() not in held
    assert PASSWORD.encode() not in held
    assert b"$argon2id$" in held


# --- a password that somebody else gave ---------------------------------------------------

GIVEN = "given over the desk"


def given(door: Office, name: str = "L. Marsh"):
    """Somebody signed in with a password that the manager gave."""
    door.store.accounts.set_password(name, passwords.hashed(GIVEN), door.clock.now, starting=True)
    assert sign_in(door, name, GIVEN).status_code == 303
    return door.client()


def test_a_starting_password_opens_nothing_but_its_own_change(standing: Office) -> None:
    client = given(standing, "L. Marsh")
    token, size = token_of(client.get("/own").text), standing.site.size
    for page in TABLE:
        if page.needs in ("open", "own"):
            continue
        path = page.path.replace("{", "").replace("}", "")
        if page.method == "GET":
            found = client.get(path)
        elif page.takes == "json":
            found = client.post(path, json={}, headers={"x-form-token": token})
        else:
            found = client.post(path, data={"token": token})
        if page.takes == "json" or path.endswith(".json"):
            assert (found.status_code, found.json()["error"]["code"]) == (403, "starting-password"), path
        else:
            assert (found.status_code, found.headers["location"]) == (303, "/own"), path
    assert {page.path for page in TABLE if page.needs == "own"} == {"/own", "/own/password"}
    assert standing.site.size == size
    assert "somebody else knows it" in client.get("/own").text
    assert "<nav" not in client.get("/own").text
    standing.store.accounts.set_password("L. Marsh", passwords.hashed(PASSWORD), standing.clock.now)


def test_once_it_is_changed_everything_opens_and_the_log_says_so(door: Office) -> None:
    client = given(door)
    token = token_of(client.get("/own").text)

    def change(**fields: str):
        return client.post("/own/password", data={"token": token_of(client.get("/own").text), **fields})

    for fields in (
        {"password": GIVEN, "new": GIVEN},
        {"password": GIVEN, "new": "short"},
        {"password": "another one", "new": "words of my own"},
    ):
        assert change(**fields).status_code == 400
        assert client.get("/").headers["location"] == "/own"
    done = change(password=GIVEN, new="words of my own")
    assert (done.status_code, done.headers["location"]) == (303, "/?done=password")
    assert client.get("/people").status_code == 200
    assert "somebody else knows it" not in client.get("/own").text
    assert sign_in(door, "L. Marsh", GIVEN).status_code == 403
    last = door.site.event(door.site.size)
    assert (last.kind, last.author, last.body.what) == ("account-changed", "L. Marsh", "own password changed")
    assert token


def test_nothing_is_signed_in_anothers_name_with_the_password_that_was_given(door: Office) -> None:
    from starlette.datastructures import FormData, QueryParams

    from steadycone.errors import Refused
    from steadycone.web.desk import Desk
    from steadycone.web.pages.asked import asked_again
    from steadycone.web.rounds.finish import check_signer

    desk = Desk(yard=door.yard, path={}, asked=QueryParams(), now=door.clock.now, form=FormData({"name": "L. Marsh", "password": GIVEN}))
    door.store.accounts.set_password("L. Marsh", passwords.hashed(GIVEN), door.clock.now, starting=True)
    with pytest.raises(Refused, match="given by somebody else"):
        asked_again(desk)
    with pytest.raises(Refused, match="given by somebody else"):
        check_signer(desk, "L. Marsh", GIVEN)
    door.store.accounts.set_password("L. Marsh", passwords.hashed(GIVEN), door.clock.now)
    assert asked_again(desk) == check_signer(desk, "L. Marsh", GIVEN) == "L. Marsh"


def test_a_clock_that_stands_before_the_log_is_told_on_every_page_of_whoever_is_signed_in(door: Office) -> None:
    assert "before the last event" not in door.client("L. Marsh").get("/gear").text
    door.clock.later(hours=-1)
    assert "The clock of the server says" in door.client("L. Marsh").get("/").text  # not the phone's that shows it
    for path in ("/", "/gear", "/gear/due", "/log", "/people", "/own"):
        assert "That is before the last event of the log, 2026-11-25 07:52 UTC" in door.client("L. Marsh").get(path).text, path
    assert "before the last event" not in door.client().get("/emergency").text
    door.clock.later(hours=1, seconds=-1)
    assert "before the last event" not in door.client("L. Marsh").get("/gear").text  # two machines differ by as much


# --- forms -------------------------------------------------------------------------------


def test_a_form_without_its_token_is_not_taken(door: Office) -> None:
    client = door.client("L. Marsh")
    good = token_of(client.get("/own").text)
    foreign = token_of(door.client("O. Quist").get("/own").text)
    for token in ("", "x", foreign, good[:-4] + "AAAA"):
        assert client.post("/theme", data={"token": token, "theme": "dark"}).status_code == 403
    assert client.post("/theme", data={"token": good, "theme": "dark"}).status_code == 303


@pytest.mark.parametrize("page", [page for page in TABLE if page.method == "POST"], ids=lambda page: page.path)
def test_no_form_is_taken_from_another_site(standing: Office, page) -> None:
    client = standing.client("M. Reyes")
    token = token_of(client.get("/own").text)
    path = page.path.replace("{", "").replace("}", "")
    for headers in ({"origin": "https://elsewhere.example"}, {"origin": "null"}, {"sec-fetch-site": "cross-site"}):
        if page.takes == "json":
            done = client.post(path, json={}, headers={"x-form-token": token, **headers})
        else:
            done = client.post(path, data={"token": token}, headers=headers)
        assert done.status_code == 403, headers


def test_a_token_is_written_anew_each_time_and_still_fits() -> None:
    secret = tokens.of_text("a secret")
    first, second = tokens.make(secret), tokens.make(secret)
    assert first != second
    assert tokens.fits(first, secret)
    assert tokens.fits(second, secret)
    assert not tokens.fits(first, tokens.of_text("another"))
    assert not tokens.fits("ä", secret)


# --- every page ---------------------------------------------------------------------------


@pytest.mark.parametrize("page", TABLE, ids=lambda page: f"{page.method} {page.path}")
def test_nobody_who_is_not_signed_in_sees_a_page_that_is_not_open(standing: Office, page) -> None:
    client = standing.client()
    path = page.path.replace("{", "").replace("}", "")
    if page.method == "GET":
        found = client.get(path)
    else:
        token = token_of(client.get("/sign-in").text)
        found = (
            client.post(path, json={}, headers={"x-form-token": token})
            if page.takes == "json"
            else client.post(path, data={"token": token})
        )
    if page.needs == "open":
        assert found.status_code != 401
    else:
        assert found.status_code in (303, 401)
        if found.status_code == 303:
            assert found.headers["location"].startswith("/sign-in")


OPEN = {
    "/static/{stamp}/{name}", "/favicon.ico", "/worker.js", "/manifest.json", "/emergency", "/sign-in", "/sign-out", "/first", "/theme", "/offline",
}  # fmt: skip


def test_what_is_open_to_everybody_is_a_short_list() -> None:
    assert {page.path for page in TABLE if page.needs == "open"} <= OPEN


def test_an_auditor_changes_nothing(door: Office) -> None:
    """Every form that changes the record is closed to somebody who only reads."""
    client = door.client("A. Stone")
    token = token_of(client.get("/own").text)
    before = door.site.size
    for page in TABLE:
        if page.method != "POST" or page.needs in ("open", "own", "read"):
            continue
        path = page.path.replace("{", "").replace("}", "")
        done = (
            client.post(path, json={}, headers={"x-form-token": token})
            if page.takes == "json"
            else client.post(path, data={"token": token})
        )
        assert done.status_code == 403, page.path
    assert door.site.size == before


def test_a_role_that_ended_ends_its_rights_with_the_next_page(door: Office) -> None:
    from steadycone.records import New, events

    client = door.client("M. Reyes")
    assert client.get("/people").status_code == 200
    token = token_of(client.get("/own").text)
    ended = events.AuthorisationEnded(person="M. Reyes", role="manager", why="left")
    door.site.append(New(ended, "M. Reyes", door.clock.now))
    door.clock.later(days=1)
    door.store.accounts.begin("M. Reyes", door.clock.now)
    again = sign_in(door, "M. Reyes", PASSWORD)
    assert again.status_code == 303
    people = next(page for page in TABLE if page.needs == "people" and page.method == "POST")
    assert door.client().post(people.path, data={"token": token_of(door.client().get("/own").text)}).status_code == 403
    assert token


def test_every_answer_has_the_headers_that_keep_a_browser_strict(door: Office) -> None:
    for found in (
        door.client().get("/emergency"),
        door.client().get("/nowhere"),
        door.client("L. Marsh").get("/"),
        door.client().get("/favicon.ico"),
    ):
        policy = found.headers["content-security-policy"]
        assert "default-src 'self'" in policy
        assert "unsafe" not in policy
        assert found.headers["x-content-type-options"] == "nosniff"
        assert found.headers["x-frame-options"] == "DENY"
    assert door.client("L. Marsh").get("/").headers["cache-control"] == "no-store"


def test_a_foreign_host_name_is_not_served(door: Office) -> None:
    # a page elsewhere can point its own name at 127.0.0.1
    for host in ("elsewhere.example", "127.0.0.1.elsewhere.example", "", "localhost.elsewhere.example:8717"):
        assert door.client().get("/emergency", headers={"host": host}).status_code == 421
    for host in ("127.0.0.1:8717", "localhost", "[::1]:8717"):
        assert door.client().get("/emergency", headers={"host": host}).status_code == 200


def test_nothing_leads_to_another_site(door: Office) -> None:
    client = door.client()
    token = token_of(client.get("/sign-in").text)
    for to in ("https://elsewhere.example", "//elsewhere.example", "/\\elsewhere.example", "javascript:alert(1)", "/\t/elsewhere.example"):
        client.cookies.delete(sessions.SIGNED_IN)
        token = token_of(client.get("/sign-in").text)
        done = client.post("/sign-in", data={"token": token, "name": "L. Marsh", "password": PASSWORD, "to": to})
        assert done.headers["location"] in ("/", "/%09/elsewhere.example"), done.headers["location"]


def test_more_than_a_form_can_hold_is_refused_before_it_is_read(door: Office) -> None:
    client = door.client("L. Marsh")
    token = token_of(client.get("/own").text)
    assert client.post("/theme", data={"token": token, "theme": "x" * 300_000}).status_code == 413
    told = client.post(
        "/theme", content=b"theme=x", headers={"content-length": "99999999999", "content-type": "application/x-www-form-urlencoded"}
    )
    assert told.status_code == 413
    many = client.post("/theme", data={"token": token, **{f"f{n}": "x" for n in range(3000)}})
    assert many.status_code == 400


def test_a_fault_is_told_without_its_details(door: Office, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture) -> None:
    from steadycone.web import board

    def broken(*args: object) -> None:
        raise RuntimeError("secret of the house")

    monkeypatch.setattr(board, "_board", broken)
    found = door.client("L. Marsh").get("/")
    assert found.status_code == 500
    assert "secret of the house" not in found.text
    assert "secret of the house" in caplog.text


def test_the_emergency_list_answers_while_the_records_are_gone(door: Office) -> None:
    door.client()
    door.store.engine.dispose()
    Path(door.store.address.path).unlink()
    found = door.client().get("/emergency?region=us")
    assert found.status_code == 200
    assert "911" in found.text


def test_every_test_that_the_page_on_security_names_exists() -> None:
    import re

    from tests.web_desk import ROOT

    named = set(re.findall(r"`(test_\w+\.py)`", (ROOT / "docs" / "security.md").read_text(encoding="utf-8")))
    assert named
    assert {name for name in named if not (ROOT / "tests" / "web" / name).is_file()} == set()
