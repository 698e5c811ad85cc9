"""What the records hold against a station, as findings. The one place: card, pages, paper, JSON, yard and the sign-off rule ask here."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import TYPE_CHECKING

from steadycone.data.reader import toml
from steadycone.practice.finding import Finding, Verdict
from steadycone.records.fitness import Reason, fitness, short
from steadycone.records.names import key
from steadycone.records.places import misfit
from steadycone.records.quarantine import never_back
from steadycone.records.ratings import lower_ratings
from steadycone.records.rows import IncidentRow, Item, Station

if TYPE_CHECKING:
    from steadycone.station.setup import Station as Noun

_SOURCE = ("site-records",)
_CODES = {
    "retired": "record-retired", "quarantined": "record-quarantined", "incident": "record-held", "defect": "record-defect",
    "age-unknown": "record-age-unknown", "overdue": "record-overdue", "small-defect": "record-defect", "due-soon": "record-overdue",
    "date-missing": "record-age-unknown", "late": "record-overdue",
}  # fmt: skip


def holds(
    station: Station, items: Mapping[str, Item], on: date, *, incidents: Mapping[str, IncidentRow] | None = None, noun: "Noun | None" = None
) -> tuple[Finding, ...]:
    """Stops first: retired, an incident, gear that may not be used, an open defect; then what is a caution.

    Parameters
    ----------
    items : the make-up, by place; a mark that the register does not know is missing
    incidents : those that are open, by `names.key` of their id, for their words alone: an incident holds without them
    noun : the station as its file has it, where one can be read: gear is held against it
    """
    found = [*_of_station(station, incidents or {}), *_not_known(station, items), *_of_gear(items, on), *_of_places(station, items, noun)]
    return tuple(sorted(found, key=lambda finding: _FIRST.get(finding.code, 2) if finding.verdict == "stop" else 9))


_FIRST = {"record-station-retired": 0, "record-incident": 1}


def _of_station(station: Station, incidents: Mapping[str, IncidentRow]) -> Iterator[Finding]:
    if station.retired:
        yield _finding("record-station-retired", "stop", "station", reason=short(station.retired))
    for id_ in station.incidents:
        told = incidents.get(key(id_))
        event = told.event.replace("-", " ") if told else ""
        says = ": ".join(part for part in (event, short(told.says) if told else "") if part)
        yield _finding("record-incident", "stop", "station", "told" if says else "", reason=says, event=id_)
    for defect in station.defects.values():
        small = defect.severity == "caution"
        yield _finding("record-defect", "caution" if small else "stop", "station", reason=short(defect.says))
    if station.sign_off and station.ended:
        ended = toml("yard.toml")["ended"].get(station.ended, station.ended)
        yield _finding("record-sign-off", "caution", "station", "tip" if station.ended == "tip-changed" else "", reason=short(ended))


def _not_known(station: Station, items: Mapping[str, Item]) -> Iterator[Finding]:
    for place, mark in sorted(station.makeup.items()):
        if place not in items:
            yield _finding("record-not-known", "stop", place, mark=mark)


def _of_gear(items: Mapping[str, Item], on: date) -> Iterator[Finding]:
    for place, item in sorted(items.items()):
        for reason in fitness(item, on).reasons:
            yield _of_reason(place, item, reason, on)


def _of_reason(place: str, item: Item, reason: Reason, on: date) -> Finding:
    left = reason.day - on.toordinal()
    near = "today" if left == 0 else "tomorrow" if left == 1 else ""
    text = {"defect": "stop gear", "small-defect": "caution gear", "due-soon": near, "late": "late"}
    if reason.code == "quarantined" and never_back(item.item, item.reason):
        text["quarantined"] = "retire"
    blanks = {"mark": item.mark}
    if reason.day:
        blanks |= {"due": date.fromordinal(reason.day).isoformat(), "days": str(abs(left))}
    about = reason.about or (reason.says if reason.day else "")
    return _finding(_CODES[reason.code], reason.verdict, _subject(place, item), text.get(reason.code, ""), reason=about, **blanks)


def _of_places(station: Station, items: Mapping[str, Item], noun: "Noun | None") -> Iterator[Finding]:
    """Gear that the file has no place for, or another kind or gas there; and ratings that are lower than the file's."""
    if noun is None:
        return
    for place, item in sorted(items.items()):
        if wrong := misfit(item, place, noun):
            verdict: Verdict = "caution" if wrong.what == "place" else "stop"
            yield _finding("record-place", verdict, _subject(place, item), wrong.what, mark=item.mark, reason=wrong.says, cure=wrong.try_)
    for lower in lower_ratings(items, noun):
        says = f"{lower.register} in the register, {lower.file or 'none'} in the file"
        text = "" if lower.file else "alone"
        blanks = {"mark": lower.item.mark, "field": lower.field.replace("_", " "), "register": lower.register, "file": lower.file}
        yield _finding("record-rating", "caution", _subject(lower.place, lower.item), text, reason=says, **blanks)


def _finding(code: str, verdict: Verdict, subject: str, text: str = "", **blanks: str) -> Finding:
    return Finding(code, verdict, subject, sources=_SOURCE, blanks=dict(blanks), text=text)


def _subject(place: str, item: Item) -> str:
    """As the card names a place: "fuel part 2 (hose)"."""
    return f"{place} ({item.item})" if " part " in place else place


def stops(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Those for which nobody lights up or signs."""
    return tuple(finding for finding in found if finding.verdict == "stop")
