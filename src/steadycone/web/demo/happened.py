"""Sixty days at Tern Quay: what was found, tested, moved and signed."""

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from functools import partial
from typing import TYPE_CHECKING

from steadycone.card.make import make_card
from steadycone.procedures import settings
from steadycone.procedures.triage import triage
from steadycone.records import events
from steadycone.records.envelope import New
from steadycone.records.incident_record import incident_event
from steadycone.records.round_record import record_round
from steadycone.records.station_files import file_station, read_station
from steadycone.web.demo import gear
from steadycone.web.demo.rounds import Gone, Walk, go_round, on_mark
from steadycone.web.demo.stations import Place, changed, days_ago
from steadycone.web.demo.story import Story

if TYPE_CHECKING:
    from steadycone.records.store import Site

Places = Mapping[str, Place]

SLIP_1, SLIP_2, SLIP_3, DOCK = "Slip 1, shell plates", "Slip 2, frame bench", "Slip 3, keel blocks", "Dry dock, stern frame"
BERTH, BOILER, PONTOON = "Berth 4, deck strips", "Boiler shop, bending slab", "Pontoon 2, mooring rings"
PLATE_1, PLATE_2, PIPE = "Plate shop, burner 1", "Plate shop, burner 2", "Pipe shop, weld bench"
_SHIFT = timedelta(hours=6)  # left of the shift now: the sign-offs of today hold that long
_CREPT = 1.4e5  # Pa over what it may rise to
# Begun so many minutes ago, by whom
_TODAY = ((SLIP_1, 262, "O. Quist"), (SLIP_2, 240, "O. Quist"), (BERTH, 251, "L. Marsh"), (BOILER, 230, "O. Quist"), (PLATE_1, 205, "C. Holt"), (PIPE, 175, "O. Quist"), (PONTOON, 150, "L. Marsh"))  # fmt: skip


def happened(story: Story, site: "Site", found: Places, now: datetime) -> None:
    """Everything into the story, in any order."""
    for part in (_stores, _replaced_arrestor, _small_things, _earlier_rounds, _flashback, _today, _creep, _half_way):
        part(story, site, found, now)


def _ago(now: datetime, days: float, hour: int, minute: int = 0) -> datetime:
    """A time of day some days ago."""
    return (now - timedelta(days=days)).replace(hour=hour, minute=minute, second=0, microsecond=0)


def _record(story: Story, site: "Site", gone: Gone) -> None:
    """A round that was gone to its end, into the log when it ended."""

    def written() -> None:
        _, refused = record_round(gone.report, site, gone.papers())
        if refused is not None:
            raise refused

    story.at(gone.ended, written)


# --- the weeks before ------------------------------------------------------------------


def _stores(story: Story, site: "Site", found: Places, now: datetime) -> None:
    """Cylinders in, out to their stations, and the empty ones back."""
    for days, body in zip((57, 41, 20, 12, 3), gear.cylinders(), strict=True):
        came = events.CylinderMoved(mark=body.mark, gas=body.gas, to="gas store", state="full", came_from="gas supplier")
        story.record(_ago(now, days, 8, 10), site, "O. Quist", came)
        story.record(_ago(now, days - 2, 7, 5), site, "O. Quist", body)


def _replaced_arrestor(story: Story, site: "Site", found: Places, now: datetime) -> None:
    """One that failed its test, and the one that took its place; the station's file says so since."""
    at, place = _ago(now, 33, 10, 40), found[PLATE_2]
    failed = events.TestResult(mark="A-25", test="reverse flow", value="85 cm3/h", limit="50 cm3/h", gas="nitrogen", passed=False)
    story.record(at, site, "T. Vance", failed)
    taken = events.GearRemoved(mark="A-25", why="failed its reverse flow test")
    fitted = events.GearFitted(mark="A-41", station=PLATE_2, place=gear.place_of("oxygen.part.1", place))
    story.record(at + timedelta(minutes=35), site, "T. Vance", taken, fitted)
    text = _with_new_arrestor(place, now.date()).text
    later = at + timedelta(minutes=50)

    def filed() -> None:
        base = read_station(site, PLATE_2).hashes["station"]
        file_station(site, "T. Vance", later, place.file, text, base, "A-41 in the place of A-25", editing=PLATE_2)

    story.at(later, filed)


def _with_new_arrestor(place: Place, on: date) -> Place:
    dates = {dated.mark: dated.dates for dated in gear.spares(on)}["A-41"]
    return changed(place, {f"oxygen.part.1.{name}": dated.date for name, dated in dates.items()})


def _small_things(story: Story, site: "Site", found: Places, now: datetime) -> None:
    """A slip of the pen put right, a defect mended, one that waits, and notes."""
    wrong, right = (
        events.GearDated(mark="H-90", which="in_service", date=days_ago(now.date(), days), basis="sheet") for days in (1500, 1800)
    )
    at, slip = _ago(now, 48, 14, 20), "demo-slip-of-the-pen"
    story.at(at, lambda: site.append(New(wrong, "O. Quist", at, id=slip)))
    correction = events.Correction(corrects=slip, why="read from the line below on the sheet", replaces=right)
    story.record(_ago(now, 47, 9, 15), site, "T. Vance", correction)
    mended = _ago(now, 26, 11, 30)
    wheel = "demo-trolley-wheel"
    bent = events.DefectFound(station=BERTH, severity="caution", says="cylinder trolley stands askew, one wheel bent")
    story.at(mended, lambda: site.append(New(bent, "O. Quist", mended, id=wheel)))
    story.record(_ago(now, 25, 15, 0), site, "C. Holt", events.DefectClosed(defect=wheel, how="wheel changed, stands upright, chain tried"))
    story.record(
        _ago(now, 14, 13, 30), site, "I. Bell", events.Noted(says="Two apprentices took the backfire drill; both shut torch oxygen first.")
    )
    glass = events.DefectFound(
        station=PONTOON, severity="caution", says="glass of the fuel low gauge cracked, needle free; new one ordered"
    )
    story.record(_ago(now, 4, 16, 10), site, "L. Marsh", glass)
    story.record(
        _ago(now, 5, 9, 0),
        site,
        "L. Marsh",
        events.Noted(mark="H-22", says="scuffed at the grating, no cord to be seen; look again each week"),
    )


def _earlier_rounds(story: Story, site: "Site", found: Places, now: datetime) -> None:
    """Rounds of other days. What they proved ended with its shift."""
    walks = ((SLIP_1, 12, "O. Quist"), (SLIP_2, 6, "O. Quist"), (DOCK, 2, "O. Quist"))
    for name, days, who in walks:
        begun = _ago(now, days, 6, 50)
        _record(story, site, go_round(found[name], Walk(who, "L. Marsh", begun, begun.replace(hour=15, minute=30))))
    begun = _ago(now, 1, 7, 5)
    place = _with_new_arrestor(found[PLATE_2], now.date())
    _record(story, site, go_round(place, Walk("O. Quist", "L. Marsh", begun, begun.replace(hour=13, minute=0))))


# --- what holds two stations ------------------------------------------------------------


def _flashback(story: Story, site: "Site", found: Places, now: datetime) -> None:
    """Soot in a hose: the gate is open, and the hose is out of use."""
    at = _ago(now, 2, 10, 20)
    saw = triage(["bang", "soot in the hose"], make_card(found[DOCK].files.setup, at.date()), site.policy.region)
    body, papers = incident_event(saw, DOCK, "Bang at the second lighting; soot a hand deep in the fuel hose.", site.policy.region)
    story.at(at, lambda: site.append(New(body, "L. Marsh", at, documents=papers)))
    inside = events.Quarantined(mark="H-28", reason="flashback inside: soot at the blowpipe end")
    story.record(at + timedelta(minutes=25), site, "L. Marsh", inside)
    cold = events.Noted(station=DOCK, says="Both cylinders felt over by hand after one hour and after three: cold. Left standing.")
    story.record(at + timedelta(hours=3, minutes=10), site, "C. Holt", cold)


def _creep(story: Story, site: "Site", found: Places, now: datetime) -> None:
    """The oxygen regulator climbs when the flow stops: the round ends there."""
    begun = now - timedelta(minutes=330)
    figures = make_card(found[SLIP_3].files.setup, begun.date()).figures
    line = figures.lines["oxygen"]
    most = settings.shut_pressure(figures, line).value
    assert most is not None
    crept, most_shown = (on_mark(line.outlet_division, pressure, "bar") for pressure in (most + _CREPT, most))
    gone = go_round(found[SLIP_3], Walk("L. Marsh", "L. Marsh", begun, now + _SHIFT, {"shut-oxygen": crept}))
    _record(story, site, gone)
    mark = gear.marks(list(found).index(SLIP_3))["oxygen.regulator"]
    held = events.Quarantined(mark=mark, reason=f"creeps to {crept} with the blowpipe shut; {most_shown} is the most")
    story.record(gone.ended + timedelta(minutes=6), site, "L. Marsh", held)


# --- today ------------------------------------------------------------------------------


def _today(story: Story, site: "Site", found: Places, now: datetime) -> None:
    """What is signed now; one of them changed a cylinder since."""
    for name, minutes, who in _TODAY:
        gone = go_round(found[name], Walk(who, "L. Marsh", now - timedelta(minutes=minutes), _whole_hour(now + _SHIFT)))
        _record(story, site, gone)
    story.record(now - timedelta(minutes=38), site, "O. Quist", events.SignOffEnded(station=BOILER, why="cylinder-changed"))


def _whole_hour(moment: datetime) -> datetime:
    return moment.replace(minute=0, second=0, microsecond=0)


def _half_way(story: Story, site: "Site", found: Places, now: datetime) -> None:
    """A round that somebody left, to be gone on with."""
    place = _with_new_arrestor(found[PLATE_2], now.date())
    gone = go_round(place, Walk("O. Quist", "L. Marsh", now - timedelta(minutes=24), now + _SHIFT, until="test-oxygen"))
    story.at(max(gone.ended, now - timedelta(minutes=12)), partial(_draft, site, gone))


def _draft(site: "Site", gone: Gone) -> None:
    filed = read_station(site, gone.place.name)
    plan = gone.round.plan
    site.drafts.extend(
        "demo-burner-2", station=filed.name, file=filed.file, hashes=filed.hashes, on=gone.card.figures.on, digest=filed.digest, plan=plan.hash, answers=gone.answers, author="O. Quist"
    )  # fmt: skip
