"""Clear, release or sign through the pages without the right: by no try of a few dozen, and of hundreds in `make soak`.

Guessing is not slowed down here: what is tried must be refused for what it is.
"""

import random
from pathlib import Path
from typing import Any

from sqlalchemy import delete
from starlette.testclient import TestClient

from steadycone.records import New, events, tables
from steadycone.web.guard import passwords, sessions
from tests.random_stations import many
from tests.web.round_desk import deliver, delivery, file_it, given, made
from tests.web_desk import BASE, PASSWORD, Office, office, token_of

OWN = "hers or his alone, and long"  # of whoever has the right
THEIRS = {"L. Marsh": "lead hand", "T. Vance": "authorised technician", "C. Holt": "competent person"}
NEW, GONE, OVER = "N. New", "G. Gone", "P. Past"  # a starting password; an account that is closed; a role that has ended
WITHOUT = ("O. Quist", "M. Reyes", "A. Stone")  # their own password fits, and they have no such right
ROUND = "a-round-1"


def prepared(found: Office) -> str:
    """A round that lacks its signature alone, an item in quarantine, a flashback's gate. Gives the incident."""
    file_it(found)
    steps = given(made(found))
    assert deliver(found, "O. Quist", ROUND, delivery(made(found), steps[:-1])).json()["next"] == "sign"
    found.clock.now = steps[-1].at
    now, accounts = found.clock.now, found.store.accounts
    roles = {**THEIRS, NEW: "authorised technician", GONE: "authorised technician", OVER: "authorised technician"}
    bodies: list[events.Event] = [events.Authorised(person=name, role=role, basis="letter") for name, role in roles.items()]
    bodies += [events.AuthorisationEnded(person=OVER, role="authorised technician", why="left")]
    bodies += [events.GearAdded(mark="R-7", item="regulator", gas="oxygen"), events.Quarantined(mark="R-7", reason="creeps")]
    found.site.append(*(New(body, "M. Reyes", now, known_by="password") for body in bodies))
    (receipt,) = found.site.append(New(events.Incident(station="Dry dock", event="flashback"), "L. Marsh", now))
    own, everybodys = passwords.hashed(OWN), passwords.hashed(PASSWORD)
    accounts.add("C. Holt", own, now)
    for name in ("L. Marsh", "T. Vance"):
        accounts.set_password(name, own, now)
    accounts.add(NEW, everybodys, now, starting=True)
    for name in (GONE, OVER):
        accounts.add(name, everybodys, now)
    accounts.disable(GONE)
    return receipt.id


def signed_in(found: Office, name: str) -> tuple[TestClient, str]:
    """A client of a person, and a form token; of nobody, with an empty name."""
    client = TestClient(found.app, base_url=BASE, follow_redirects=False)
    if name:
        client.cookies.set(sessions.SIGNED_IN, found.store.accounts.begin(name, found.clock.now))
    return client, token_of(client.get("/own" if name else "/sign-in").text)


def state(found: Office) -> Any:
    site = found.site
    return site.items(), site.incidents(), [station.sign_off for station in site.stations()], site.drafts.get(ROUND).state, site.size


def whom(dice: random.Random) -> tuple[str, str]:
    """A name and a password that together have no right to any of it."""
    return dice.choice(
        (
            (dice.choice(list(THEIRS)), dice.choice([PASSWORD, "", OWN[:-1], OWN.upper(), OWN + " ", "\0", OWN + "\n"])),
            (dice.choice(["", *WITHOUT]), PASSWORD),
            (dice.choice([NEW, GONE, OVER]), PASSWORD),
            (dice.choice(["E. Eve", "l. marsh\u200b", "T. Vance,", "L. Marsh; T. Vance", "*"]), dice.choice([OWN, PASSWORD])),
        )
    )


def test_what_is_tried_without_the_right_comes_to_nothing(tmp_path: Path) -> None:
    dice = random.Random(20261201)
    with office(tmp_path) as found:
        incident = prepared(found)
        clients = {name: signed_in(found, name) for name in ("", *WITHOUT, NEW)}
        gate = [each.id for each in found.site.incidents()[0].gate if each.who not in ("operator",)]
        before = state(found)
        for _ in range(many(40)):
            with found.store.changing() as connection:
                connection.execute(delete(tables.attempts))
            (client, token), (name, password) = clients[dice.choice(list(clients))], whom(dice)
            told = {"token": token, "name": name, "password": password, "evidence": "report 7, 4 cm3/h", "by": "T. Vance"}
            to, more = dice.choice(
                (
                    (f"/incidents/{incident}", {"condition": dice.choice(gate)}),
                    (f"/incidents/{incident}", {"condition": dice.choice(gate), "outside": "R. Driver"}),
                    ("/gear/release", {"mark": "R-7", "did": "seat changed"}),
                    (f"/rounds/{ROUND}/sign", {"step": "sign"}),
                )
            )
            done = client.post(to, data=told | more)
            assert done.status_code in (303, 400, 403, 404, 409), (to, name, done.text)
            assert done.status_code != 303 or done.headers["location"] in ("/sign-in", "/own"), (to, name)
        assert state(found) == before
        # and who has the right can: nothing else stood in the way
        client, token = signed_in(found, "O. Quist")
        mine = {"token": token, "name": "L. Marsh", "password": OWN}
        signed = client.post(f"/rounds/{ROUND}/sign", data=mine | {"step": "sign"})
        assert signed.headers["location"] == f"/rounds/{ROUND}/report"
        asked = {"condition": "cause-found", "evidence": "report 7, 4 cm3/h", "token": token, "name": "T. Vance", "password": OWN}
        assert client.post(f"/incidents/{incident}", data=asked).status_code == 303
        assert len(found.site.incidents()[0].open) == len(before[1][0].open) - 1
