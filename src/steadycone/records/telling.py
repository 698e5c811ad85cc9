"""An event in one line, for a screen and for an audit."""

from collections.abc import Callable
from datetime import datetime
from typing import Any, cast

import msgspec

from steadycone.records import events as e
from steadycone.records.envelope import Recorded
from steadycone.records.times import read
from steadycone.render.table import plain


def event_dict(event: Recorded) -> dict[str, Any]:
    """One event as JSON."""
    return {"kind": event.kind, **cast("dict[str, Any]", msgspec.to_builtins(event))}


def local(moment: str) -> str:
    """A moment of the log in this machine's zone, to the minute."""
    found = read(moment) if moment.endswith("Z") else datetime.fromisoformat(moment)
    return found.astimezone().strftime("%Y-%m-%d %H:%M") if found.utcoffset() is not None else found.strftime("%Y-%m-%d %H:%M")


def event_line(event: Recorded) -> str:
    """Number, when it was so, who, what. When it was written down stands beside it where that was another day."""
    happened, recorded = local(event.happened_at), local(event.recorded_at)
    late = f" (written {recorded[:10]})" if recorded[:10] != happened[:10] else ""
    return plain(f"{event.sequence:>6}  {happened}{late}  {says(event.body)}. {event.author}")


def says(body: e.Event) -> str:
    """What an event says, without who and when."""
    told = _SAYS.get(type(body))
    return told(body) if told else " ".join(f"{key}: {value}" for key, value in msgspec.to_builtins(body).items())


def _at(station: str, place: str = "") -> str:
    return (f" at {station}" if station else "") + (f", {place}" if place else "")


def _why(why: str) -> str:
    return f": {why}" if why else ""


def _cleared(cleared: tuple[e.Cleared, ...]) -> str:
    return "; ".join(f"{one.condition} by {one.by} ({one.evidence})" for one in cleared)


def _added(b: e.GearAdded) -> str:
    dates = ", ".join(f"{name.replace('_', ' ')} {dated.date}" for name, dated in b.dates.items())
    return ", ".join(part for part in (f"{b.mark} added: {b.gas} {b.item}".replace(":  ", ": "), b.type, dates) if part)


def _test(b: e.TestResult) -> str:
    held_to = b.held_to or b.limit
    limit = f" (limit {held_to})" if held_to else ""
    return f"{b.mark} tested: {b.test} {b.value}{limit}, {'passed' if b.passed else 'FAILED'}" + (
        (f"; read with {b.instrument}" if b.instrument else "") + ("; examination complete" if b.completes else "")
    )


def _policy(b: e.PolicyChanged) -> str:
    parts: list[str] = [*b.classes]
    parts += [f"two persons {'asked for' if b.two_persons else 'not asked for'}"] if b.two_persons is not None else []
    parts += [f"signed by {', '.join(b.sign_off_by) or 'anybody named'}"] if b.sign_off_by is not None else []
    return f"policy changed, {', '.join(parts)}{_why(b.why)}"


def _corrected(b: e.Correction) -> str:
    return f"event {b.corrects} corrected{_why(b.why)}. " + (f"It should have said: {says(b.replaces)}" if b.replaces else "It is annulled")


_ROUND = {"unsigned": "gone to its end, not signed off"}

_SAYS: dict[type[e.Event], Callable[[Any], str]] = {
    e.SiteOpened: lambda b: f"log {b.log} opened for {b.site}, region {b.region}",
    e.PolicyChanged: _policy,
    e.KeyChanged: lambda b: f"heads are signed with another key, {b.key[:16]}{_why(b.why)}",
    e.Rebuilt: lambda b: f"register made again from the events, {b.places} place{'s' if b.places != 1 else ''} differed: {b.why}",
    e.AccountChanged: lambda b: f"account of {b.person}: {b.what}",
    e.GearAdded: _added,
    e.GearDated: lambda b: f"{b.mark} {b.which.replace('_', ' ')} {b.date}" + (f" ({b.basis})" if b.basis else ""),
    e.GearFitted: lambda b: f"{b.mark} fitted{_at(b.station, b.place)}",
    e.GearRemoved: lambda b: f"{b.mark} removed{_at(b.station)}{_why(b.why)}",
    e.GearRetired: lambda b: f"{b.mark} retired{_at(b.station)}{_why(b.why)}",
    e.TestResult: _test,
    e.Quarantined: lambda b: f"{b.mark} quarantined{_at(b.station)}: {b.reason}",
    e.Repaired: lambda b: f"{b.mark} put right: {b.did}" + (f" ({b.evidence})" if b.evidence else ""),
    e.Released: lambda b: f"{b.mark} released from quarantine: {_cleared(b.cleared)}",
    e.DefectFound: lambda b: f"defect, {b.severity}: {b.mark or b.station}: {b.says}",
    e.DefectClosed: lambda b: f"defect {b.defect} closed: {b.how}",
    e.StationMadeUp: lambda b: (
        f"{b.station} made up of {', '.join(f'{mark} ({place})' for place, mark in b.makeup.items()) or 'nothing'}{_why(b.why)}"
    ),
    e.RoundDone: lambda b: f"round at {b.station}: {_ROUND.get(b.state, b.state)}, {b.verdict}",
    e.SignOff: lambda b: f"{b.station} signed fit until {local(b.valid_until)}",
    e.SignOffEnded: lambda b: f"sign-off of {b.station} ended: {b.why}",
    e.StationFiled: lambda b: (
        f"{b.station}: file {b.file} {'changed' if b.base else 'filed'}" + (f", with {', '.join(b.papers)}" if b.papers else "") + _why(b.why)
    ),
    e.PaperFiled: lambda b: (
        f"{b.what} {b.name} {'changed' if b.base else 'filed'}" + (f", of {', '.join(b.stations)}" if b.stations else "") + _why(b.why)
    ),
    e.StationRetired: lambda b: f"{b.station} retired{_why(b.why)}",
    e.Incident: lambda b: f"incident at {b.station}: {b.event}{_why(b.says)}",
    e.ConditionCleared: lambda b: (
        f"gate of incident {b.incident}: {b.condition} cleared" + (f", done by {b.outside}" if b.outside else "") + f" ({b.evidence})"
        + ("; the gate is open" if b.last else "")
    ),
    e.ConditionReopened: lambda b: f"gate of incident {b.incident}: {b.condition} counts no more{_why(b.why)}",
    e.IncidentCleared: lambda b: f"incident {b.incident} cleared: {_cleared(b.cleared)}",
    e.Authorised: lambda b: (
        f"{b.person} authorised as {b.role}" + (f" until {b.until}" if b.until else "") + (f" ({b.basis})" if b.basis else "")
    ),
    e.AuthorisationEnded: lambda b: f"{b.person} no longer {b.role}{_why(b.why)}",
    e.Trained: lambda b: (
        f"{b.person} {'passed' if b.passed else 'did not pass'} the drill {b.drill}, sitting {b.sitting}: {b.points} of {b.of} points,"
        f" pass mark {b.pass_mark}" + (f" ({b.sheet})" if b.sheet else "")
    ),
    e.CylinderMoved: lambda b: (
        f"{b.gas} cylinder {b.mark}, {b.state}, " + (f"from {b.came_from} " if b.came_from else "") + f"to {b.to}"
        + (f", {b.contents}" if b.contents else "")
    ),
    e.Noted: lambda b: f"{b.mark or b.station or 'note'}: {b.says}",
    e.Correction: _corrected,
}  # fmt: skip
