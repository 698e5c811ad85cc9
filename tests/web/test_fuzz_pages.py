"""Nonsense in every field and every address: answered in words, never a fault, nothing half written."""

import os
import random
from urllib.parse import quote

import pytest

from steadycone.records import New, events
from steadycone.web.app import TABLE
from tests.web.crawl import Form, crawl
from tests.web_desk import Office, office, token_of
from tests.web_yard import filled

WHO = "M. Reyes"
ROUNDS = int(os.environ.get("STEADYCONE_FUZZ", "10"))  # times each form is sent; `make soak` sends more
NONSENSE = (
    "", " ", "0", "-1", "1e999", "NaN", "٣", "3,5 bar", "12 parsec", "null", "None", "true", "2026-13-45", "../../etc/passwd", "C:\\x", "/",
    "<script>alert(1)</script>", "{{ 7*7 }}", "';--", "%00", "\x00", "\ud7ff", "\u202e", "é" * 300, "x" * 5000, "[" * 200, "a\nb\rc\td", "=1+1", "#", "?",
    "slip-2-frame-bench", "R-0142", "oxygen", "go", "stop", "done", "1", "2026-11-25", "16:30", "20 m", "3/16 in", "0.5 bar", "999999999999999999999",
)  # fmt: skip
FINE = {200, 303, 400, 401, 403, 404, 405, 409, 413, 503}


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory):
    with office(tmp_path_factory.mktemp("fuzz")) as found:
        filled(found)
        for role in ("lead hand", "authorised technician", "competent person", "instructor"):
            found.site.append(New(events.Authorised(person=WHO, role=role, basis="letter"), WHO, found.clock.now))
        yield found


def signed_in(yard: Office):
    """The client; where a form signed it out, signed in again."""
    client = yard.client(WHO)
    if client.get("/own").status_code != 200:
        yard.store.accounts.enable(WHO)
        yard.store.accounts.clear(f"name {WHO.casefold()}")
        yard._clients.pop(WHO)
        client = yard.client(WHO)
    return client


def test_no_link_of_any_page_leads_to_a_fault_or_nowhere(yard: Office) -> None:
    pages, forms = crawl(signed_in(yard))
    assert len(pages) > 40
    assert len(forms) > 10
    assert {address: found.status_code for address, found in pages.items() if found.status_code not in (200, 303)} == {}


@pytest.mark.parametrize("page", [page for page in TABLE if page.method == "GET"], ids=lambda page: page.path)
def test_nonsense_in_an_address_is_answered(yard: Office, page) -> None:
    client, dice = signed_in(yard), random.Random(page.path)
    for _ in range(12):
        path = page.path
        for part in _parts(path):
            path = path.replace("{" + part + "}", quote(dice.choice(NONSENSE) or "x", safe=""))
        asked = "&".join(f"{quote(dice.choice(_ASKED))}={quote(dice.choice(NONSENSE))}" for _ in range(dice.randrange(4)))
        found = client.get(f"{path}?{asked}")
        assert found.status_code in FINE, (path, asked, found.text[:300])


_ASKED = (
    "q",
    "sort",
    "state",
    "as",
    "mark",
    "station",
    "verdict",
    "done",
    "to",
    "after",
    "before",
    "days",
    "kind",
    "class",
    "flow",
    "gas",
    "region",
    "theme",
    "from",
    "until",
)


def _parts(path: str) -> list[str]:
    return [piece.partition("}")[0] for piece in path.split("{")[1:]]


def test_nonsense_in_every_field_of_every_form_is_answered(yard: Office) -> None:
    client = signed_in(yard)
    _, forms = crawl(client)
    dice = random.Random(6)
    for form in sorted(forms.values(), key=lambda form: form.shape):
        for _ in range(ROUNDS if form.method == "post" else ROUNDS // 2):
            sent = _mutated(form, dice)
            found = _send(yard, form, sent, dice)
            assert found.status_code in FINE, (form.action, sent, found.text[:300])
    assert yard.site.verify().sound


def test_the_json_that_phones_send_may_be_anything(yard: Office) -> None:
    client, dice = signed_in(yard), random.Random(8)
    token = token_of(client.get("/own").text)
    for page in TABLE:
        if page.takes != "json":
            continue
        for _ in range(60):
            path = page.path
            for part in _parts(path):
                path = path.replace("{" + part + "}", quote(dice.choice(("slip-2-frame-bench", "0" * 32, "x")), safe=""))
            found = client.post(path, json=_anything(dice, 3), headers={"x-form-token": token})
            assert found.status_code in FINE, (path, found.text[:300])


def _anything(dice: random.Random, depth: int):
    kind = dice.randrange(7 if depth else 4)
    if kind < 3:
        return dice.choice(NONSENSE)
    if kind == 3:
        return dice.choice((None, True, 0, -1, 1e300, 12345678901234567890, 0.1))
    if kind == 4:
        return [_anything(dice, depth - 1) for _ in range(dice.randrange(4))]
    names = (
        "id",
        "station",
        "file",
        "hashes",
        "on",
        "digest",
        "plan",
        "answers",
        "waiting",
        "finish",
        "sign",
        "values",
        "base",
        "text",
        "ops",
        "step",
        "value",
        "at",
        "by",
        "password",
    )
    return {dice.choice(names): _anything(dice, depth - 1) for _ in range(dice.randrange(8))}


def _mutated(form: Form, dice: random.Random) -> dict[str, str]:
    """The form as it came, with some of its fields spoilt, left out, or another of its choices."""
    sent = dict(form.fields)
    for name in form.fields:
        if name == "token":
            continue
        die = dice.random()
        if die < 0.4:
            sent[name] = dice.choice(NONSENSE)
        elif die < 0.55 and form.choices.get(name):
            sent[name] = dice.choice(form.choices[name])
        elif die < 0.62:
            sent.pop(name)
    return sent


def _send(yard: Office, form: Form, sent: dict[str, str], dice: random.Random):
    client = signed_in(yard)
    if form.method == "get":
        return client.get(form.action, params=sent)
    page = client.get(form.page)
    if "token" in sent and page.status_code == 200 and 'name="token"' in page.text:
        sent["token"] = token_of(page.text)
    files = None
    if form.files:
        data = dice.choice((b"", b"\x00\x01", b"PK\x03\x04junk", b"size,thickness\n1,2\n", "größe,;\n".encode("latin-1"), b'"' * 5000))
        files = {name: (dice.choice(("chart.csv", "list.xlsx", "../x.toml", "x.ods", "x")), data) for name in form.files}
    return client.post(form.action, data=sent, files=files)
