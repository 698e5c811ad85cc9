"""A round without script, one answer a page: the same fold and the same report as the command line."""

from pathlib import Path

from steadycone.procedures.rounds import fold
from steadycone.render.round_json import round_dict
from tests.web.round_desk import SLUG, deliver, delivery, fields_of, file_it, given, made, press, signature
from tests.web_desk import PASSWORD, office, token_of


def test_a_round_is_gone_page_by_page_and_signed_by_the_lead_hand(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        plan = made(found).plan
        steps = given(made(found))
        begun = found.send("O. Quist", f"/stations/{SLUG}/round", f"/stations/{SLUG}/rounds")
        url = begun.headers["location"]
        for answer in steps[:-1]:
            step = plan.step(answer.step)
            found.clock.now = answer.at
            if step.kind == "wait" and not step.runs_on:
                found.clock.later(seconds=-(step.seconds or 0) - 15)
                assert press(found, "O. Quist", url, step=step.id, do="begin").status_code == 303
                found.clock.now = answer.at
            page = found.client("O. Quist").get(url)
            assert f'data-step="{step.id}"' in page.text
            done = press(found, "O. Quist", url, step=step.id, **fields_of(step, answer.value))
            assert done.status_code == 303, (step.id, done.text[:3000])
        found.clock.now = steps[-1].at
        signed = press(found, "O. Quist", url, to="/sign", step="sign", name="L. Marsh", password=PASSWORD)
        assert signed.headers["location"] == url + "/report"
        id_ = url.rpartition("/")[2]
        kept = found.site.drafts.get(id_)
        assert (kept.state, kept.problem) == ("recorded", "")
        report = found.client("O. Quist").get(url + "/report.json").json()
        same = fold(plan, steps).round
        told = round_dict(same, made(found).card.card, made(found).card.told)
        # begun waits add their `since` to the answers, which the report does not show
        assert report["hash"] == told["hash"]
        assert report["sign_off"]["by"] == "L. Marsh"
        assert [event.author for event in found.site.events() if event.id.endswith(id_)] == ["L. Marsh", "L. Marsh"]
        page = found.client("O. Quist").get(url + "/report")
        assert page.status_code == 200
        assert "Signed fit until 16:30" in page.text
        assert found.client("O. Quist").get(url + "/report.pdf").content.startswith(b"%PDF")


def test_a_wait_is_refused_too_early_and_says_when_it_is_due(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        of = made(found)
        some = given(of)
        place = next(i for i, a in enumerate(some) if a.step == "leak-settle")
        assert deliver(found, "O. Quist", "a-round-1", delivery(of, some[:place])).json()["next"] == "leak-settle"
        found.clock.now = some[place - 1].at
        assert press(found, "O. Quist", "/rounds/a-round-1", step="leak-settle", do="begin").status_code == 303
        found.clock.later(seconds=30)
        assert "Due at" in found.client("O. Quist").get("/rounds/a-round-1").text
        early = press(found, "O. Quist", "/rounds/a-round-1", step="leak-settle", do="done")
        assert early.status_code == 400
        assert "answered after 30 s, and the wait is 60 s" in early.text
        found.clock.later(seconds=31)
        assert press(found, "O. Quist", "/rounds/a-round-1", step="leak-settle", do="done").status_code == 303


def test_a_reading_finer_than_its_gauge_comes_back_with_what_was_typed(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        of = made(found)
        some = given(of)
        place = next(i for i, a in enumerate(some) if a.step == "test-oxygen")
        deliver(found, "O. Quist", "a-round-1", delivery(of, some[:place]))
        found.clock.now = some[place].at
        page = press(found, "O. Quist", "/rounds/a-round-1", step="test-oxygen", do="save", number="4.27")
        assert page.status_code == 400
        assert 'value="4.27"' in page.text
        assert "Read to the nearest 0.1 bar" in page.text


def test_a_fail_stops_it_and_closing_records_the_stop(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        of = made(found)
        some = given(of, **{"clear-place": "fail: rags behind the wall"})
        place = next(i for i, a in enumerate(some) if a.step == "clear-place")
        told = deliver(found, "O. Quist", "a-round-1", delivery(of, some[: place + 1])).json()
        assert told["state"] == "stopped"
        page = found.client("O. Quist").get("/rounds/a-round-1")
        assert "rags behind the wall" in page.text
        assert "Mended: answer it again" in page.text
        found.clock.now = some[place].at
        again = found.client("O. Quist").get("/rounds/a-round-1?step=clear-place")
        assert 'name="fix"' in again.text
        closed = press(found, "O. Quist", "/rounds/a-round-1", to="/close")
        assert closed.headers["location"] == "/rounds/a-round-1/report"
        assert found.site.drafts.get("a-round-1").event == "round-a-round-1"
        assert found.site.event("round-a-round-1").author == "O. Quist"


def test_a_wrong_password_or_no_right_to_sign_keeps_the_round_unsigned(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        of = made(found)
        some = given(of)
        deliver(found, "O. Quist", "a-round-1", delivery(of, some[:-1]))
        found.clock.now = some[-1].at
        for name, password, said in (("L. Marsh", "something else", "don’t fit together"), ("O. Quist", PASSWORD, "no right to sign")):
            page = press(found, "O. Quist", "/rounds/a-round-1", to="/sign", step="sign", name=name, password=password)
            assert page.status_code in (400, 409)
            assert said in page.text
            assert password not in page.text
        assert found.site.drafts.get("a-round-1").state == "open"


def test_another_persons_round_is_read_not_answered(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        of = made(found)
        deliver(found, "O. Quist", "a-round-1", delivery(of, given(of)[:3]))
        assert "O. Quist goes this round" in found.client("L. Marsh").get("/rounds/a-round-1").text
        token = token_of(found.client("L. Marsh").get(f"/stations/{SLUG}/round").text)
        tried = found.client("L. Marsh").post("/rounds/a-round-1", data={"token": token, "step": "held-what", "do": "done"})
        assert tried.status_code == 409


def test_the_signature_is_asked_for_with_the_round_of_a_phone(tmp_path: Path) -> None:
    with office(tmp_path) as found:
        file_it(found)
        of = made(found)
        some = given(of)
        found.clock.now = some[-1].at
        unsigned = deliver(found, "O. Quist", "b-round-1", delivery(of, some)).json()
        assert (unsigned["state"], unsigned["draft"]) == ("signed", "open")
        page = found.client("O. Quist").get("/rounds/b-round-1").text
        assert 'name="password"' in page  # nobody confirmed the name yet
        named = press(found, "O. Quist", "/rounds/b-round-1", step="sign", do="save", text="L. Marsh")
        assert named.status_code == 400
        signed = deliver(found, "O. Quist", "b-round-1", delivery(of, some, sign=signature())).json()
        assert (signed["draft"], signed["event"], signed["problem"]) == ("recorded", "round-b-round-1", "")
        again = deliver(found, "O. Quist", "b-round-1", delivery(of, some, sign=signature())).json()
        assert again["event"] == "round-b-round-1"
        assert [event.id for event in found.site.events()].count("round-b-round-1") == 1
