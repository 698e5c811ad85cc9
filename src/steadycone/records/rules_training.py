"""A trainee's marked drill: by somebody else who may mark it, with a sum that is one."""

from msgspec.structs import replace

from steadycone.data.reader import toml
from steadycone.errors import InputError, OutOfRange, Refused
from steadycone.records import events as e
from steadycone.records.envelope import New
from steadycone.records.names import checked, key
from steadycone.records.policy import TABLE, covers
from steadycone.records.world import World
from steadycone.units import Share

_MOST, _LONGEST = 100, 200


def trained(world: World, new: New, body: e.Trained) -> e.Event:
    """Raises  Refused: marked by the trainee, or by nobody who may. InputError: points that can't be, or a pass below its mark.

    Source      training-marked-judged
    """
    person, drill = checked(body.person, "person"), checked(body.drill, "drill")
    if key(person) == key(new.author):
        raise Refused("nobody marks themself", where="author", try_="Let the instructor record it.")
    by = toml(TABLE)["training"]["by"]
    held = world.roles(new.author, new.happened_at)
    if not any(covers(held, role) for role in by):
        told = ", ".join(by[:-1]) + f" or {by[-1]}"
        raise Refused(
            f"{new.author} is not authorised to mark a drill on {new.happened_at.date().isoformat()}",
            where="author",
            try_=f"Needed: {told}. Record the authorisation first.",
        )
    _check_sum(body)
    _check_new(world, body)
    found = world.person(person)
    return replace(body, person=found.name if found else person, drill=drill)


def _check_new(world: World, body: e.Trained) -> None:
    """A sheet is recorded once; one that was annulled may be recorded again."""
    history = world.history(("person", key(body.person)))
    annulled = {event.body.corrects for event in history if isinstance(event.body, e.Correction)}
    for event in history:
        old = event.body
        if not isinstance(old, e.Trained) or event.id in annulled or not body.sheet:
            continue
        if (old.drill, old.sitting, old.sheet) == (body.drill, body.sitting, body.sheet):
            raise InputError(
                f"{body.person}'s sheet is recorded already, as event {event.sequence}",
                where="sheet",
                try_="Correct that event, or record another sheet.",
            )


def _check_sum(body: e.Trained) -> None:
    points = _points(body.points)
    if not 1 <= body.of <= _MOST or not 0 <= points <= body.of:
        raise OutOfRange(f"{body.points} of {body.of} points", where="points", try_=f"0 to {_MOST}, and no more than there are.")
    if not 1 <= body.sitting <= _MOST or len(body.sheet) > _LONGEST:
        raise OutOfRange("no such sitting or sheet", where="sitting", try_=f"1 to {_MOST}; a sheet in {_LONGEST} characters.")
    mark = Share.parse(body.pass_mark).si
    if not 0.0 < mark <= 1.0:
        raise OutOfRange(f"a pass mark of {body.pass_mark}", where="pass_mark", try_="Above 0 % and up to 100 %.")
    if body.passed and points < mark * body.of - 1e-9:
        raise InputError(f"{body.points} of {body.of} is under {body.pass_mark}", where="passed", try_="Record it as not passed.")


def _points(text: str) -> float:
    """Whole or half points. Raises InputError."""
    whole, _, half = text.partition(".")
    if not (whole.isascii() and whole.isdigit() and len(whole) <= 3 and half in ("", "0", "5")):
        raise InputError(f'"{text[:20]}" is no number of points', where="points", try_='Write whole or half points: "7" or "7.5".')
    return int(whole) + (0.5 if half == "5" else 0.0)
