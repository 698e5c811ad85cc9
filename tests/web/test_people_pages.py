"""People: roles are events of the log, accounts stand beside it, and somebody can always look after both."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.web_desk import BASE, NOW, Office, office, token_of


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Office]:
    with office(tmp_path) as o:
        yield o


def act(o: Office, what: str, by: str = "M. Reyes", **fields: str) -> Any:
    client = o.client(by)
    return client.post(f"/people/{what}", data={"token": token_of(client.get("/own").text), **fields})


def signs_in(o: Office, name: str, password: str) -> bool:
    client = TestClient(o.app, base_url=BASE, follow_redirects=False)
    token = token_of(client.get("/sign-in").text)
    return client.post("/sign-in", data={"token": token, "name": name, "password": password}).status_code == 303


def password_of(page: str) -> str:
    found = re.search(r'class="rec-code">([^<]+)<', page)
    assert found, page
    return found[1]


def test_everybody_is_shown_with_role_last_day_and_basis(yard: Office) -> None:
    act(yard, "authorise", person="T. Vance", role="competent person", until="2027-03-31", basis="course 2024-03")
    page = yard.client("A. Stone").get("/people").text
    assert "2027-03-31" in page
    assert "course 2024-03" in page
    assert 'action="/people/authorise"' not in page


def test_a_role_that_is_over_does_not_hold(yard: Office) -> None:
    act(yard, "authorise", person="P. Novak", role="operator", until="2026-11-26", basis="letter")
    page = yard.client("A. Stone").get("/people").text
    assert page.count("holds") == 7
    yard.clock.later(days=3)
    client = TestClient(yard.app, base_url=BASE, follow_redirects=False)
    token = token_of(client.get("/sign-in").text)
    client.post("/sign-in", data={"token": token, "name": "A. Stone", "password": "three words in a row"})
    page = client.get("/people").text
    assert page.count("holds") == 6
    assert "operator, 2026-11-25 to 2026-11-26 (letter)" in page


def test_a_role_nobody_knows_comes_back(yard: Office) -> None:
    found = act(yard, "authorise", person="P. Novak", role="captain", basis="a long letter")
    assert found.status_code == 400
    assert 'value="a long letter"' in found.text


def test_only_who_looks_after_people_may_authorise(yard: Office) -> None:
    size = yard.site.size
    refused = act(yard, "authorise", "L. Marsh", person="L. Marsh", role="manager")
    assert refused.status_code == 403
    assert yard.site.size == size


def test_a_role_is_ended(yard: Office) -> None:
    act(yard, "end", person="I. Bell", role="instructor", why="left the yard")
    assert yard.site.person("I. Bell").roles(NOW.date()) == set()


def test_the_last_who_looks_after_people_stays(yard: Office) -> None:
    refused = act(yard, "end", person="M. Reyes", role="manager", form="end-4-1")
    assert refused.status_code == 409
    assert "then nobody could look after people" in refused.text
    act(yard, "authorise", person="P. Novak", role="manager")  # without an account: that helps nobody
    assert act(yard, "end", person="M. Reyes", role="manager").status_code == 409
    act(yard, "open", person="P. Novak")
    assert act(yard, "end", person="M. Reyes", role="manager").status_code == 303
    assert "manager" not in yard.site.person("M. Reyes").roles(NOW.date())


def test_a_second_role_of_the_last_may_end(yard: Office) -> None:
    act(yard, "authorise", person="M. Reyes", role="operator")
    assert act(yard, "end", person="M. Reyes", role="operator").status_code == 303


def test_a_new_account_is_given_a_password_once(yard: Office) -> None:
    opened = act(yard, "open", person="P. Novak")
    assert opened.status_code == 200
    assert opened.headers["cache-control"] == "no-store"
    password = password_of(opened.text)
    assert signs_in(yard, "P. Novak", password)
    assert password not in yard.client("M. Reyes").get("/people").text
    assert "Until then it opens nothing else" in opened.text


def test_an_account_that_is_there_is_not_opened_again(yard: Office) -> None:
    found = act(yard, "open", person="t. vance")
    assert found.status_code == 400
    assert "there is an account" in found.text


def test_an_account_takes_the_name_as_the_log_writes_it(yard: Office) -> None:
    act(yard, "authorise", person="P. Novak", role="operator")
    act(yard, "open", person="p.  NOVAK")
    account = yard.store.accounts.get("P. Novak")
    assert account is not None
    assert account.person == "P. Novak"


def test_a_new_password_replaces_the_old_one_and_ends_sessions(yard: Office) -> None:
    client = yard.client("T. Vance")
    assert client.get("/people").status_code == 200
    password = password_of(act(yard, "password", person="T. Vance").text)
    assert client.get("/people").status_code == 303  # signed out
    assert signs_in(yard, "T. Vance", password)
    assert not signs_in(yard, "T. Vance", "three words in a row")


def test_an_account_is_closed_and_opened_again(yard: Office) -> None:
    client = yard.client("T. Vance")
    assert client.get("/people").status_code == 200
    act(yard, "disable", person="T. Vance")
    assert client.get("/people").status_code == 303
    assert not signs_in(yard, "T. Vance", "three words in a row")
    act(yard, "enable", person="T. Vance")
    assert signs_in(yard, "T. Vance", "three words in a row")


def test_nobody_closes_the_own_account_or_gets_a_password_for_it_here(yard: Office) -> None:
    assert act(yard, "disable", person="m. reyes").status_code == 409
    assert act(yard, "password", person="M. Reyes").status_code == 409
    assert signs_in(yard, "M. Reyes", "three words in a row")


def test_an_account_that_is_not_there_is_told(yard: Office) -> None:
    assert act(yard, "disable", person="Nobody").status_code == 404
    assert act(yard, "enable", person="Nobody").status_code == 404


def test_what_is_done_to_accounts_is_in_the_log_with_who_did_it(yard: Office) -> None:
    password = password_of(act(yard, "open", person="N. Person").text)
    act(yard, "disable", person="N. Person")
    act(yard, "enable", person="N. Person")
    second = password_of(act(yard, "password", person="N. Person").text)
    found = [event for event in yard.site.history(person="N. Person") if event.kind == "account-changed"]
    assert [(event.body.what, event.author) for event in reversed(found)] == [  # type: ignore[union-attr]
        ("opened", "M. Reyes"),
        ("closed", "M. Reyes"),
        ("opened again", "M. Reyes"),
        ("starting password given", "M. Reyes"),
    ]
    told = "".join(yard.site.lines())
    assert password not in told
    assert second not in told
    assert "argon2" not in told
