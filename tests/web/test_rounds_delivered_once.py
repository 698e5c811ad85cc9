"""Rounds from phones with a bad connection: each is in the log once, whole, whatever was lost, doubled or late on the way."""

import os
import random
import threading
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from steadycone.procedures.rounds import Answer
from steadycone.records import events
from steadycone.web.rounds.made import MadeRound
from tests.web.round_desk import deliver, delivery, file_it, given, made, signature
from tests.web_desk import BASE, PASSWORD, Office, office, token_of

ROUNDS = int(os.environ.get("STEADYCONE_ROUNDS", "6"))  # 50 are a week's; a longer run takes a minute
LOST, UNHEARD, DOUBLED, LATE = 0.3, 0.2, 0.2, 0.3


@dataclass
class Phone:
    """One person's phone: it sends all of its round each time, and knows only what it hears."""

    office: Office
    id: str
    rng: random.Random
    heard: dict[str, Any] = field(default_factory=dict)
    late: list[dict[str, Any]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.client = TestClient(self.office.app, base_url=BASE, follow_redirects=False)
        token = token_of(self.client.get("/sign-in").text)
        self.client.post("/sign-in", data={"token": token, "name": "O. Quist", "password": PASSWORD})
        self.token = self.client.get("/rounds/here.json").json()["token"]

    def send(self, told: dict[str, Any]) -> None:
        rng = self.rng
        if self.late and rng.random() < 0.5:
            self._post(self.late.pop(rng.randrange(len(self.late))))
        if rng.random() < LOST:
            return
        if rng.random() < LATE:
            self.late.append(told)
            return
        reply = self._post(told)
        if rng.random() < DOUBLED:
            self._post(told)
        if rng.random() >= UNHEARD:
            self.heard = reply

    def _post(self, told: dict[str, Any]) -> dict[str, Any]:
        response = self.client.post(f"/rounds/{self.id}.json", json=told, headers={"x-form-token": self.token})
        assert response.status_code == 200, response.text
        found: dict[str, Any] = response.json()
        return found


def go_round(phone: Phone, of: MadeRound, answers: list[Answer], faults: list[BaseException]) -> None:
    try:
        count = 0
        while count < len(answers):
            count = min(len(answers), count + phone.rng.randrange(1, 20))
            phone.send(delivery(of, answers[:count]))
        while phone.heard.get("draft") != "recorded":
            phone.send(delivery(of, answers, sign=signature()))
        for old in phone.late:
            phone._post(old)
    except BaseException as error:  # noqa: BLE001 - told by the test, not by the thread
        faults.append(error)


def test_every_round_is_recorded_once_whatever_the_connection_does(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        of = made(found)
        answers = given(of)
        found.clock.now = answers[-1].at
        rng = random.Random(11)
        all_phones = [Phone(found, f"round-of-{number:04}", random.Random(rng.random())) for number in range(ROUNDS)]
        faults: list[BaseException] = []
        threads = [threading.Thread(target=go_round, args=(phone, of, answers, faults)) for phone in all_phones]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert faults == []
        done = [event for event in found.site.events() if isinstance(event.body, events.RoundDone)]
        signed = [event for event in found.site.events() if isinstance(event.body, events.SignOff)]
        assert sorted(event.id for event in done) == sorted(f"round-{phone.id}" for phone in all_phones)
        assert len(signed) == ROUNDS
        # with the readings' own times, not the delivery's
        assert {event.happened_at for event in done} == {done[0].happened_at}
        assert done[0].happened_at.startswith(answers[-1].at.strftime("%Y-%m-%dT%H:%M:%S"))
        assert all(len(found.site.drafts.get(phone.id).answers) == len(answers) for phone in all_phones)


def test_answers_that_contradict_what_is_kept_are_refused_and_nothing_is_lost(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        of = made(found)
        some = given(of)
        deliver(found, "O. Quist", "round-of-0001", delivery(of, some[:5]))
        other = [*some[:3], some[4], some[3]]
        refused = deliver(found, "O. Quist", "round-of-0001", delivery(of, other))
        assert refused.status_code == 409
        assert "answer 4 is not the one that is kept" in refused.text
        assert len(found.site.drafts.get("round-of-0001").answers) == 5


def test_a_round_of_another_list_of_steps_is_kept_and_told_so(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        of = made(found)
        told = deliver(found, "O. Quist", "round-of-0002", delivery(of, given(of)[:9], plan="0" * 64)).json()
        assert told["draft"] == "refused"
        assert "The program or its tables changed" in told["problem"]
        kept = found.client("O. Quist").get("/rounds/round-of-0002/answers.json").json()
        assert len(kept["answers"]) == 9


def test_a_round_dated_ahead_of_the_yards_clock_is_kept_and_recorded_when_the_clock_is_there(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        of = made(found)
        answers = given(of)
        found.clock.now = answers[-1].at
        found.clock.later(minutes=-10)
        early = deliver(found, "O. Quist", "round-of-0003", delivery(of, answers, sign=signature())).json()
        assert (early["draft"], early["kept"]) == ("open", len(answers))
        assert "Set this device’s clock right" in early["problem"]
        found.clock.later(minutes=9)
        assert deliver(found, "O. Quist", "round-of-0003", delivery(of, answers, sign=signature())).json()["draft"] == "recorded"


def test_a_card_of_another_day_than_the_answers_is_not_believed(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        of = made(found)
        old = delivery(of, given(of)[:4]) | {"on": "2026-11-20"}
        told = deliver(found, "O. Quist", "round-of-0004", old).json()
        assert (told["draft"], told["state"]) == ("open", "stopped")
        assert "the card was made for 2026-11-20" in told["stops"][0][1]
        assert "begin a new round" in told["stops"][0][2]
