"""What must hold before a station's file, a chart or a policy goes into the log. What the text says was checked by whoever files it."""

from msgspec.structs import replace

from steadycone.errors import InputError, Overtaken, Refused, UnknownName
from steadycone.records import events as e
from steadycone.records.envelope import New, document_hash
from steadycone.records.names import checked, checked_file, key
from steadycone.records.rows import Paper, Station
from steadycone.records.rules_gear import check_text, needed, station_of
from steadycone.records.world import World


def station_filed(world: World, new: New, body: e.StationFiled) -> e.Event:
    name = checked(body.station, "station")
    station, text = world.station(name), _document(new, "station")
    check_text(body.why, "why")
    if station and station.text:
        if text == station.text and not station.retired:
            raise _nothing(station.name)
        _check_base(body.base, station.text, station.name, station.filed_by, station.filed_at)
    elif body.base:
        says = f'no file of "{name[:60]}" is kept that could be changed'
        raise InputError(says, where="station", try_="A station keeps its name. Under another name it is filed as a new one.")
    papers = tuple(_named(world, paper).name for paper in dict.fromkeys(body.papers))
    left = {key(paper) for paper in papers}
    dropped = tuple(paper for paper in (station.papers if station else ()) if key(paper) not in left)
    return replace(body, station=station.name if station else name, file=checked_file(body.file, "file"), papers=papers, dropped=dropped)


def paper_filed(world: World, new: New, body: e.PaperFiled) -> e.Event:
    name = checked_file(body.name, body.what, folders=True)
    found, now = world.paper(name), _document(new, "paper")
    check_text(body.why, "why")
    if found is None:
        if body.base:
            raise UnknownName(f'no {body.what} "{name[:60]}" is kept that could be changed', where=body.what, try_="File it as a new one.")
        return replace(body, name=name, stations=())
    if found.what != body.what:
        raise InputError(f'"{found.name}" is the name of a {found.what}', where="name", try_=f"Give the {body.what} another name.")
    if now == found.hash:
        raise _nothing(found.name)
    _check_base(body.base, found.hash, found.name, found.filed_by, found.filed_at)
    return replace(body, name=found.name, stations=found.stations)


def station_retired(world: World, new: New, body: e.StationRetired) -> e.Event:
    station = station_of(world, body.station)
    needed(body.why, "why", "Say why it is taken out of use.")
    if station.retired:
        raise InputError(f"it is retired: {station.retired}", where=station.name, try_="Nothing is left to do.")
    return replace(body, station=station.name)


def _document(new: New, name: str) -> str:
    """Hash of the one document that is filed.

    Raises  InputError: none, or others too.
    """
    if list(new.documents) != [name]:
        raise InputError(f'what is filed goes along as the document "{name}", alone', where="documents", try_="Give the file itself.")
    return document_hash(new.documents[name])


def _nothing(where: str) -> InputError:
    return InputError("nothing changed", where=where, try_="It is filed as it is; nothing is left to do.")


def _check_base(base: str, now: str, where: str, by: str, when: str) -> None:
    """Raises  Overtaken: what was changed is not what stands there now."""
    if base != now:
        raise Overtaken(
            f"{by} changed it on {when[:10]} at {when[11:16]} UTC, after you began",
            where=where,
            try_="Look at what is there now, and put your change into that.",
            by=by,
            when=when,
            now=now,
        )


def _named(world: World, name: str) -> Paper:
    """Raises  UnknownName: a chart or policy that is not kept."""
    found = world.paper(name)
    if found is None:
        raise UnknownName(f'no chart or policy "{name[:60]}" is kept', where="papers", try_="File it first, under this name.")
    return found


def check_proved(world: World, station: Station) -> None:
    """A sign-off is for the station as its file describes it now, on the chart and policy of now.

    Raises  Refused: the round was about another text, chart or policy, or does not say which.
    """
    if not station.text:
        return
    proved = dict(station.round_papers)
    if proved.pop("station", "") != station.text:
        raise _other(station, "the station's file")
    now = {paper.what: paper.hash for name in station.papers if (paper := world.paper(name))}
    for what in ("chart", "policy"):
        if proved.get(what, "") != now.get(what, ""):
            raise _other(station, f"the {what}")


def _other(station: Station, what: str) -> Refused:
    return Refused(
        f"the round does not hold {what} as filed now", where=station.name, try_="Go round again, with the station as it is filed now."
    )
