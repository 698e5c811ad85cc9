"""Stations' files, charts and policies in the log: who changed what, from what, and what it ends."""

import threading
from datetime import timedelta
from pathlib import Path

import pytest

from steadycone.cli.round import _read
from steadycone.errors import BadFile, InputError, Overtaken, Refused, StoreError, UnknownName
from steadycone.records import events as e
from steadycone.records.envelope import document_hash
from steadycone.records.station_files import file_paper, file_station, read_all, read_hashes, read_station
from steadycone.records.telling import event_line
from tests.records.conftest import Yard
from tests.records.filing import CHART, EXAMPLES, NAME, POLICY, TEXT, another, file_it, file_papers, filed, papers_now


def _text_hash(text: str = TEXT) -> str:
    return document_hash(text.encode())


def _signed(yard: Yard) -> str:
    """A round on the files of now, signed; gives the round's id."""
    done = e.RoundDone(station=NAME, state="signed", verdict="go")
    round_id = yard.site.append(yard.new(done, documents=papers_now(yard)))[0].id
    yard.sign(NAME, round_id)
    return round_id


def test_a_station_is_read_as_it_was_filed_with_the_digest_that_the_command_line_has(any_yard: Yard) -> None:
    filed(any_yard)
    found = read_station(any_yard.site, "slip 2, FRAME bench")
    setup, digest, papers = _read(EXAMPLES / "slip-2.toml")
    assert (found.name, found.file, found.text) == (NAME, "slip-2.toml", TEXT)
    assert (found.setup, found.digest, found.papers) == (setup, digest, papers)
    assert found.hashes == {name: document_hash(data) for name, data in papers.items()}
    station = any_yard.site.station(NAME)
    assert (station.file, station.text, station.papers) == ("slip-2.toml", _text_hash(), (POLICY, CHART))
    assert (station.filed_by, station.retired) == ("M. Reyes", "")
    assert any_yard.site.verify().sound
    assert any_yard.site.stale() == []


def test_papers_know_the_stations_that_name_them(any_yard: Yard) -> None:
    filed(any_yard)
    assert [(paper.name, paper.what, paper.stations) for paper in any_yard.site.papers()] == sorted(
        [(POLICY, "policy", (NAME,)), (CHART, "chart", (NAME,))]
    )
    assert [paper.name for paper in any_yard.site.papers("chart")] == [CHART]
    assert any_yard.site.paper(CHART.upper()).filed_by == "A. Lindqvist"
    without = "\n".join(line for line in TEXT.splitlines() if not line.startswith("policy ="))
    file_it(any_yard, without, base=_text_hash())
    assert any_yard.site.paper(POLICY).stations == ()
    assert any_yard.site.paper(CHART).stations == (NAME,)
    assert [event.kind for event in any_yard.site.history(paper=POLICY)] == ["station-filed", "station-filed", "paper-filed"]
    assert any_yard.site.stale() == []
    assert any_yard.site.rebuild() == any_yard.site.size
    assert any_yard.site.paper(CHART).stations == (NAME,)


def test_a_change_that_began_from_an_older_text_is_refused_and_tells_whose_change_was_first(yard: Yard) -> None:
    filed(yard)
    file_it(yard, another(), author="J. Okafor", base=_text_hash(), why="read today")
    with pytest.raises(Overtaken, match=r"J\. Okafor changed it on 2026-11-25 at 09:00 UTC") as raised:
        file_it(yard, another(pressure="90 bar"), base=_text_hash())
    assert (raised.value.code, raised.value.exit_code, raised.value.by) == ("overtaken", 3, "J. Okafor")
    assert raised.value.now == _text_hash(another())
    with pytest.raises(Overtaken):
        file_it(yard, another(pressure="90 bar"))
    assert yard.site.station(NAME).text == _text_hash(another())


def test_the_same_text_again_changes_nothing_and_the_same_form_sent_twice_is_filed_once(yard: Yard) -> None:
    filed(yard)
    size = yard.site.size
    with pytest.raises(InputError, match="nothing changed"):
        file_it(yard, base=_text_hash())
    first = file_it(yard, another(), base=_text_hash(), id="form-0001")
    again = file_it(yard, another(), base=_text_hash(), id="form-0001")
    assert (first.known, again.known, again.sequence) == (False, True, first.sequence)
    assert yard.site.size == size + 1
    with pytest.raises(InputError, match="nothing changed"):
        file_paper(yard.site, "M. Reyes", yard.clock.now, CHART, "chart", (EXAMPLES / CHART).read_bytes(), yard.site.paper(CHART).hash)


def test_of_many_who_file_the_same_station_at_once_one_is_taken(any_yard: Yard) -> None:
    filed(any_yard)
    size, outcomes = any_yard.site.size, []
    start = threading.Barrier(8)

    def change(number: int) -> None:
        start.wait()
        try:
            file_it(any_yard, another(pressure=f"{100 + number} bar"), author=f"Person {number}", base=_text_hash())
            outcomes.append("taken")
        except Overtaken as overtaken:
            outcomes.append(overtaken.by)

    threads = [threading.Thread(target=change, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    by = any_yard.site.station(NAME).filed_by
    assert sorted(outcomes) == sorted(["taken", *[by] * 7])
    assert any_yard.site.size == size + 1
    assert any_yard.site.stale() == []


def test_a_first_text_that_two_file_at_once_is_the_first_ones(any_yard: Yard) -> None:
    file_papers(any_yard)
    outcomes, start = [], threading.Barrier(2)

    def begin(pressure: str) -> None:
        start.wait()
        try:
            file_it(any_yard, another(pressure=pressure), author=pressure)
            outcomes.append("taken")
        except Refused as refused:
            outcomes.append(refused.code)

    threads = [threading.Thread(target=begin, args=(pressure,)) for pressure in ("100 bar", "110 bar")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["overtaken", "taken"]


def test_a_change_of_the_file_ends_the_sign_off_at_once_and_another_round_is_needed(any_yard: Yard) -> None:
    filed(any_yard)
    round_id = _signed(any_yard)
    now = any_yard.clock.now + timedelta(minutes=1)
    assert any_yard.site.sign_off(NAME, now).holds
    file_it(any_yard, another(), base=_text_hash())
    held = any_yard.site.sign_off(NAME, now)
    assert (held.holds, held.ended_by) == (False, "file changed")
    with pytest.raises(Refused, match="not the last one"):
        any_yard.sign(NAME, round_id)
    _signed(any_yard)
    assert any_yard.site.sign_off(NAME, now).holds
    assert any_yard.site.stale() == []


@pytest.mark.parametrize("what", ["chart", "policy"])
def test_another_chart_or_policy_ends_the_sign_offs_that_stood_on_it(any_yard: Yard, what: str) -> None:
    filed(any_yard)
    name = {"chart": CHART, "policy": POLICY}[what]
    for own, of in (("own.toml", POLICY), ("own.csv", CHART)):
        kind = "policy" if of == POLICY else "chart"
        file_paper(any_yard.site, "M. Reyes", any_yard.clock.now, own, kind, (EXAMPLES / of).read_bytes())  # type: ignore[arg-type]
    other = TEXT.replace(NAME, "Slip 3").replace(POLICY, "own.toml").replace(CHART, "own.csv")
    file_station(any_yard.site, "M. Reyes", any_yard.clock.now, "slip-3.toml", other)
    done = e.RoundDone(station="Slip 3", state="signed", verdict="go")
    papers = dict(read_station(any_yard.site, "Slip 3").papers)
    any_yard.sign("Slip 3", any_yard.site.append(any_yard.new(done, documents=papers))[0].id)
    _signed(any_yard)
    data = (EXAMPLES / name).read_bytes() + b"\n"
    receipt = file_paper(any_yard.site, "A. Lindqvist", any_yard.clock.now, name, what, data, any_yard.site.paper(name).hash)  # type: ignore[arg-type]
    assert receipt.event.body.stations == (NAME,)  # type: ignore[union-attr]
    now = any_yard.clock.now + timedelta(minutes=1)
    held = any_yard.site.sign_off(NAME, now)
    assert (held.holds, held.ended_by) == (False, f"{what} changed")
    assert any_yard.site.sign_off("Slip 3", now).holds
    assert any_yard.site.stale() == []


def test_a_late_round_on_the_files_of_before_is_kept_and_not_signed(yard: Yard) -> None:
    filed(yard)
    before = papers_now(yard)
    file_it(yard, another(), base=_text_hash())
    late = yard.site.append(yard.new(e.RoundDone(station=NAME, state="signed", verdict="go"), documents=before))[0].id
    with pytest.raises(Refused, match="does not hold the station's file as filed now"):
        yard.sign(NAME, late)
    now = papers_now(yard)
    file_paper(yard.site, "M. Reyes", yard.clock.now, CHART, "chart", (EXAMPLES / CHART).read_bytes() + b"\n", yard.site.paper(CHART).hash)
    late = yard.site.append(yard.new(e.RoundDone(station=NAME, state="signed", verdict="go"), documents=now))[0].id
    with pytest.raises(Refused, match="does not hold the chart as filed now"):
        yard.sign(NAME, late)
    with pytest.raises(Refused, match="does not hold the station's file"):
        yard.sign(NAME, yard.round(NAME))  # a round without papers says nothing of what it was about


def test_a_retired_station_is_not_signed_off_until_its_file_is_filed_again(any_yard: Yard) -> None:
    filed(any_yard)
    _signed(any_yard)
    any_yard.says(e.StationRetired(station="SLIP 2, frame bench", why="slip is rebuilt"))
    assert any_yard.site.station(NAME).retired == "slip is rebuilt"
    assert any_yard.site.sign_off(NAME, any_yard.clock.now + timedelta(minutes=1)).ended_by == "retired"
    assert list(read_all(any_yard.site)) == []
    with pytest.raises(Refused, match="retired: slip is rebuilt"):
        _signed(any_yard)
    with pytest.raises(InputError, match="it is retired"):
        any_yard.says(e.StationRetired(station=NAME, why="again"))
    file_it(any_yard, base=_text_hash(), why="back in use")
    assert any_yard.site.station(NAME).retired == ""
    _signed(any_yard)
    assert any_yard.site.sign_off(NAME, any_yard.clock.now + timedelta(minutes=1)).holds
    assert any_yard.site.stale() == []


def test_a_station_keeps_its_name(yard: Yard) -> None:
    filed(yard)
    renamed = TEXT.replace(NAME, "Slip 9")
    with pytest.raises(InputError, match='names the station "Slip 9"'):
        file_it(yard, renamed, base=_text_hash(), editing=NAME)
    with pytest.raises(InputError, match='no file of "Slip 9" is kept that could be changed'):
        file_it(yard, renamed, base=_text_hash())
    assert [station.name for station in yard.site.stations()] == [NAME]


def test_nothing_is_filed_that_can_not_be_read(yard: Yard) -> None:
    size = yard.site.size
    with pytest.raises(BadFile, match="no such policy is kept"):
        file_it(yard)
    filed(yard)
    with pytest.raises(InputError):
        file_it(yard, TEXT.replace('pressure = "140 bar"', 'pressure = "140"'), base=_text_hash())
    with pytest.raises(InputError):
        file_paper(yard.site, "M. Reyes", yard.clock.now, "charts/own.csv", "chart", b"")
    with pytest.raises(InputError):
        file_paper(yard.site, "M. Reyes", yard.clock.now, "own.toml", "policy", b"format = 3")
    with pytest.raises(InputError, match="is the name of a chart"):
        yard.site.append(yard.new(e.PaperFiled(name=CHART, what="policy"), documents={"paper": b"x"}))
    assert yard.site.size == size + 3


@pytest.mark.parametrize("name", ["", ".hidden", "a/b.toml", "..", "a\\b", "C:x", "x" * 121, "a\nb\u0007"])
def test_a_file_has_a_plain_name(yard: Yard, name: str) -> None:
    new = yard.new(e.StationFiled(station="Slip 1", file=name), documents={"station": b"x"})
    with pytest.raises(InputError):
        yard.site.append(new)


@pytest.mark.parametrize("name", ["", "../a.csv", "/a.csv", "charts//a.csv", "charts/.a.csv", "charts\\a.csv", "c:/a.csv"])
def test_a_paper_lies_beside_the_stations_or_below(yard: Yard, name: str) -> None:
    with pytest.raises(InputError):
        yard.site.append(yard.new(e.PaperFiled(name=name, what="chart"), documents={"paper": b"x"}))


def test_what_is_filed_goes_along_alone_and_names_only_what_is_kept(yard: Yard) -> None:
    body = e.StationFiled(station="Slip 1", file="slip-1.toml")
    for documents in ({}, {"paper": b"x"}, {"station": b"x", "other": b"y"}):
        with pytest.raises(InputError, match="alone"):
            yard.site.append(yard.new(body, documents=documents))
    with pytest.raises(UnknownName, match="no chart or policy"):
        yard.site.append(yard.new(e.StationFiled(station="Slip 1", file="a.toml", papers=("none.csv",)), documents={"station": b"x"}))
    with pytest.raises(UnknownName):
        yard.says(e.StationRetired(station="Slip 1", why="x"))


def test_the_documents_of_an_earlier_read_are_read_again_whatever_was_filed_since(any_yard: Yard) -> None:
    filed(any_yard)
    before = read_station(any_yard.site, NAME)
    file_it(any_yard, another(), base=_text_hash())
    assert read_station(any_yard.site, NAME).digest != before.digest
    assert read_hashes(any_yard.site, before.file, before.hashes) == before
    with pytest.raises(UnknownName, match="no such chart was filed here"):
        read_hashes(any_yard.site, before.file, before.hashes | {"chart": _text_hash()})
    with pytest.raises(InputError, match="not the hashes"):
        read_hashes(any_yard.site, before.file, {"chart": before.hashes["chart"]})
    with pytest.raises(UnknownName, match="names a chart"):
        read_hashes(any_yard.site, before.file, {name: hash_ for name, hash_ in before.hashes.items() if name != "chart"})


@pytest.mark.parametrize("name", ["", "nobody's", "\0", "\ud800", "x" * 5000, "sha256:%"])
def test_what_no_database_could_hold_is_simply_not_there(any_yard: Yard, name: str) -> None:
    filed(any_yard)
    site = any_yard.site
    for asked in (site.station, site.paper, site.document, site.event, lambda text: read_station(site, text)):
        with pytest.raises(UnknownName):
            asked(name)
    with pytest.raises(UnknownName):
        read_hashes(site, "slip-2.toml", {"station": name})


def test_another_sites_documents_are_not_given(yard: Yard) -> None:
    filed(yard)
    hashes = read_station(yard.site, NAME).hashes
    other = yard.store.open_site("dry dock", region="uk", author="J. Marsh")
    with pytest.raises(UnknownName, match="no such station was filed here"):
        read_hashes(other, "slip-2.toml", hashes)


def test_a_station_is_told_unreadable_in_its_place_and_the_others_are_read(yard: Yard) -> None:
    filed(yard)
    broken = e.StationFiled(station="Old bench", file="old.toml")
    yard.site.append(yard.new(broken, documents={"station": b"format = 'of long ago'"}))
    yard.round("Slip 7")  # known by a round alone: no file is kept
    told = {station.name: what for station, what in read_all(yard.site)}
    assert list(told) == ["Old bench", NAME]
    assert isinstance(told["Old bench"], InputError)
    assert told[NAME] == read_station(yard.site, NAME)
    with pytest.raises(UnknownName, match='no file of "Slip 7" is kept'):
        read_station(yard.site, "Slip 7")


def test_a_policy_that_a_station_can_not_be_read_with_is_refused(yard: Yard) -> None:
    filed(yard)
    data = (EXAMPLES / POLICY).read_text(encoding="utf-8")
    with pytest.raises(InputError):
        file_paper(
            yard.site,
            "M. Reyes",
            yard.clock.now,
            POLICY,
            "policy",
            (data + "\nno_such_choice = 3\n").encode(),
            yard.site.paper(POLICY).hash,
        )


def test_documents_are_read_once(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    filed(yard)
    first = read_station(yard.site, NAME)

    def gone(hash_: str) -> bytes:
        raise StoreError("read again")

    monkeypatch.setattr(yard.site, "document", gone)
    assert read_station(yard.site, NAME) is first


def test_filing_is_told_in_words(yard: Yard) -> None:
    filed(yard)
    file_it(yard, another(), base=_text_hash(), why="read today")
    yard.says(e.StationRetired(station=NAME, why="sold"))
    lines = [event_line(event) for event in yard.site.events(first=3)]
    assert f"policy {POLICY} filed. A. Lindqvist" in lines[0]
    assert f"{NAME}: file slip-2.toml filed, with {POLICY}, {CHART}. M. Reyes" in lines[2]
    assert f"file slip-2.toml changed, with {POLICY}, {CHART}: read today" in lines[3]
    assert f"{NAME} retired: sold" in lines[4]


def test_an_old_text_is_got_back_from_history(yard: Yard) -> None:
    filed(yard)
    file_it(yard, another(), base=_text_hash())
    oldest = yard.site.history(station=NAME)[-1]
    assert yard.site.document(oldest.documents["station"]) == Path(EXAMPLES / "slip-2.toml").read_bytes()
