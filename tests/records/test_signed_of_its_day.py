"""The records refuse a signature of another day, whichever program asks: the card is made anew from the round's own files."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from steadycone.errors import Refused
from steadycone.records import New
from steadycone.records import events as e
from tests.records.conftest import Yard

FILES = Path(__file__).parents[2] / "examples"
PAPERS = {
    "station": (FILES / "slip-2.toml").read_bytes(),
    "policy": (FILES / "policies/harbour-yard.toml").read_bytes(),
    "chart": (FILES / "charts/demo-acetylene-cutting.csv").read_bytes(),
}


def signed(yard: Yard, at: datetime, papers: dict[str, bytes], *, until: datetime | None = None) -> None:
    done = e.RoundDone(station="Slip 2", state="signed", verdict="go")
    name = f"round-{at:%d%H%M%S}"
    sign = e.SignOff(station="Slip 2", round=name, valid_until=(until or at + timedelta(hours=8)).isoformat(), longest_break=1800)
    yard.site.append(New(done, "M. Reyes", at, id=name, documents=papers), New(sign, "M. Reyes", at, id=f"sign-{name}"))


def test_a_round_of_the_day_is_signed(yard: Yard) -> None:
    signed(yard, yard.store.clock(), PAPERS)
    assert yard.site.station("Slip 2").sign_off


def test_gear_that_is_overdue_on_the_day_of_the_signature_keeps_it_out(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    later = datetime(2027, 6, 1, 8, tzinfo=UTC)
    monkeypatch.setattr(yard.store, "clock", lambda: later)
    with pytest.raises(Refused, match="the card of 2027-06-01 has a stop"):
        signed(yard, later, PAPERS)


def test_a_station_that_can_not_be_read_keeps_it_out(yard: Yard) -> None:
    with pytest.raises(Refused, match="can't be made"):
        signed(yard, yard.store.clock(), PAPERS | {"station": b"no station"})
    without = {name: data for name, data in PAPERS.items() if name != "chart"}
    with pytest.raises(Refused, match="the round holds none"):
        signed(yard, yard.store.clock() + timedelta(seconds=2), without)


def test_a_signature_whose_shift_is_over_goes_in_no_more(yard: Yard) -> None:
    now = yard.store.clock()
    with pytest.raises(Refused, match="the shift was over"):
        signed(yard, now - timedelta(hours=9), PAPERS, until=now)
    signed(yard, now - timedelta(hours=8), PAPERS, until=now + timedelta(minutes=1))
