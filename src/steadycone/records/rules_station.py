"""What must hold before a round, a sign-off or an incident goes into the log."""

from datetime import datetime

from msgspec.structs import replace

from steadycone.errors import InputError, Refused
from steadycone.records import events as e
from steadycone.records.envelope import New
from steadycone.records.holds import holds, stops
from steadycone.records.names import checked, key
from steadycone.records.policy import covers
from steadycone.records.rows import Station
from steadycone.records.rules_day import check_day
from steadycone.records.rules_files import check_proved
from steadycone.records.rules_gear import item_of, needed, station_of
from steadycone.records.times import told
from steadycone.records.world import World
from steadycone.render.words import Words


def round_done(world: World, new: New, body: e.RoundDone) -> e.Event:
    """Evidence is never refused, whatever it says."""
    name = checked(body.station, "station")
    station = world.station(name)
    return replace(body, station=station.name if station else name)


def sign_off(world: World, new: New, body: e.SignOff) -> e.Event:
    """Nothing that the record knows may speak against it."""
    station = station_of(world, body.station)
    _check_station(world, station, new.happened_at)
    _check_round(station, body)
    check_proved(world, station)
    check_day(world, station, new.happened_at)
    _check_signer(world, new, station)
    until = _until(body)
    if until <= new.happened_at:
        raise InputError(f"{body.valid_until} is over already", where="valid_until", try_="A sign-off lasts until its shift ends.")
    if until <= world.now:
        raise Refused(
            f"the shift was over at {until:%H:%M} on {until:%Y-%m-%d}, before this was recorded",
            where=station.name,
            try_="A signature is of its day. The round is kept as evidence; go round again.",
        )
    if body.longest_break < 0:
        raise InputError(f"{body.longest_break} s", where="longest_break", try_="Give seconds, zero or more.")
    return replace(body, station=station.name, valid_until=told(until, "valid_until"))


def _until(body: e.SignOff) -> datetime:
    try:
        return datetime.fromisoformat(body.valid_until)
    except ValueError:
        raise InputError(f'"{body.valid_until[:40]}" is not a time', where="valid_until", try_="Write date, time and zone.") from None


def _check_station(world: World, station: Station, at: datetime) -> None:
    """Raises  Refused: something of the records is a stop: nobody signs what its own card would not let anybody light."""
    items = {place: item for place, mark in station.makeup.items() if (item := world.item(mark))}
    incidents = {row.key: row for id_ in station.incidents if (row := world.incident(id_))}
    stopped = stops(holds(station, items, at.date(), incidents=incidents, noun=world.filed.noun(station)))
    if stopped:
        words = Words.of(world.policy.region)
        where = station.name if stopped[0].subject == "station" else f"{station.name}, {words.subject(stopped[0].subject)}"
        raise Refused(words.says(stopped[0]).rstrip("."), where=where, try_=words.remedy(stopped[0]))


def _check_round(station: Station, body: e.SignOff) -> None:
    """Raises  Refused: not the last round of this make-up, or one that stopped."""
    if key(station.round) != key(body.round) or not body.round:
        raise Refused(
            "the round is not the last one of this station, or its make-up changed since",
            where=station.name,
            try_="Go round again; a change of gear ends what was proved before.",
        )
    if station.round_state == "unsigned":
        raise Refused("the sign-off was refused when this round was recorded", where=station.name, try_="Go round again.")
    if station.round_state != "signed" or station.round_verdict == "stop":
        raise Refused(
            f"the round is {station.round_state}, verdict {station.round_verdict}", where=station.name, try_="Clear its stops first."
        )


def _check_signer(world: World, new: New, station: Station) -> None:
    """Raises  Refused: without the role this site asks for, or the same person that cleared the station."""
    policy = world.policy
    held = world.roles(new.author, new.happened_at) if policy.sign_off_by else set()
    if policy.sign_off_by and not any(covers(held, role) for role in policy.sign_off_by):
        raise Refused(
            f"{new.author} is not authorised as {' or '.join(policy.sign_off_by)}",
            where=station.name,
            try_="Let an authorised person sign, or record the authorisation.",
        )
    if policy.two_persons and key(new.author) in {key(name) for name in station.cleared_by}:
        raise Refused(
            f"{new.author} cleared it after an incident and would sign it: this site asks for two persons",
            where=station.name,
            try_="Let another person sign.",
        )


def sign_off_ended(world: World, new: New, body: e.SignOffEnded) -> e.Event:
    station = station_of(world, body.station)
    needed(body.why, "why", "Say what ended it.")
    if not station.sign_off or station.ended:
        raise InputError("no sign-off stands", where=station.name, try_="Nothing is left to end.")
    return replace(body, station=station.name)


def noted(world: World, new: New, body: e.Noted) -> e.Event:
    needed(body.says, "says", "Say something.")
    mark = item_of(world, body.mark).mark if body.mark else ""
    return replace(body, mark=mark, station=station_of(world, body.station).name if body.station else "")
