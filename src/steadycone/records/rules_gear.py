"""What must hold before an event about gear goes into the log. Each rule gives the event back, with what the store fills in."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from msgspec.structs import replace

from steadycone.data.reader import toml
from steadycone.errors import BadUnit, InputError, OutOfRange, Refused, UnknownName
from steadycone.practice.examination import asked_of, held_to_limit, window_days
from steadycone.records import events as e
from steadycone.records.envelope import New, Recorded
from steadycone.records.gear_day import gear_day
from steadycone.records.gear_told import on_record
from steadycone.records.names import checked, key
from steadycone.records.places import misfit, named
from steadycone.records.policy import TABLE, covers
from steadycone.records.quarantine import never_back
from steadycone.records.rows import Item, Station
from steadycone.records.rules_instruments import measured_with
from steadycone.records.rules_people import check_evidence, check_known, check_role_of, says_something
from steadycone.records.times import read
from steadycone.records.world import World
from steadycone.units import Duration as Time
from steadycone.units import GasFlow, GivenDate, Length, Mass, Measure, Number, Pressure, PressureDifference, Share, Temperature, Volume

_MEASURES: dict[str, type[Measure]] = {
    kind.kind: kind for kind in (GasFlow, Length, Mass, Number, Pressure, PressureDifference, Share, Temperature, Time, Volume)
}
_LONGEST = 4000  # characters of free text


def item_of(world: World, mark: str) -> Item:
    """Raises  UnknownName: no such item."""
    found = world.item(mark)
    if found is None:
        raise UnknownName(f'no item with the mark "{mark[:60]}"', where="mark", try_="Add it first: steadycone gear add.")
    return found


def live_item(world: World, mark: str) -> Item:
    """Raises  UnknownName. InputError: it is retired."""
    found = item_of(world, mark)
    if found.state == "retired":
        raise InputError(f'"{found.mark}" is retired: {found.reason}', where="mark", try_="A retired mark is never used again.")
    return found


def check_text(text: str, where: str) -> None:
    """Raises  InputError: longer than anybody reads."""
    if len(text) > _LONGEST:
        raise InputError(f"{len(text)} characters", where=where, try_=f"{_LONGEST} at most; longer papers go along as documents.")


def needed(text: str, where: str, try_: str) -> None:
    """Raises  InputError: nothing said."""
    check_text(text, where)
    if not text.strip():
        raise InputError("nothing said", where=where, try_=try_)


def gear_added(world: World, new: New, body: e.GearAdded) -> e.Event:
    mark = checked(body.mark, "mark")
    if (found := world.item(mark)) is not None:
        raise InputError(
            f'the mark "{found.mark}" is taken, by event {found.first}', where="mark", try_="Give each item a mark of its own."
        )
    for name, dated in body.dates.items():
        gear_day(dated.date, name, world.now.date())
    made = body.dates.get("made")
    for name in ("bought", "in_service", "tested"):
        if made and name in body.dates and GivenDate.parse(body.dates[name].date).last < GivenDate.parse(made.date).day:
            raise OutOfRange(f'"{body.dates[name].date}" is before it was made, {made.date}', where=name, try_="Check both dates.")
    for text in (body.note, body.type, body.gas, *body.ratings.values()):
        check_text(text, "gear")
    return replace(body, mark=mark)


def gear_dated(world: World, new: New, body: e.GearDated) -> e.Event:
    item = live_item(world, body.mark)
    gear_day(body.date, body.which, world.now.date())
    made = item.dates.get("made")
    if made and body.which != "made" and GivenDate.parse(body.date).last < GivenDate.parse(made.date).day:
        raise OutOfRange(f'"{body.date}" is before it was made, {made.date}', where=body.which, try_="Check both dates.")
    if body.which == "tested":
        check_paper(item, body.date, body.basis)
    return replace(body, mark=item.mark)


def check_paper(item: Item, date: str, basis: str) -> None:
    """An examination that the register did not see sets the clock on only by a paper that is named. An earlier date needs none.

    Raises  InputError: no paper is named, or it reads like a test that was recorded here.

    Source      paper-judged
    """
    known = item.dates.get("tested")
    if known is not None and GivenDate.parse(date).day <= GivenDate.parse(known.date).day:
        return
    if not says_something(basis) or on_record(basis):
        raise InputError(
            f'"{basis[:40]}" names no paper of this examination',
            where="basis",
            try_='Name it and who examined it: "certificate 4711, R. Holt". What you tested here is recorded as a test.',
        )


def gear_fitted(world: World, new: New, body: e.GearFitted) -> e.Event:
    item, place = live_item(world, body.mark), checked(body.place, "place")
    name = checked(body.station, "station")
    station = world.station(name)
    _fit(item, station, name)
    if station:
        _check_place(world, item, station, place)
        if there := _taken(world, station, place, item):
            raise InputError(f"{there} is fitted there", where=f"{station.name}, {place}", try_=f"Remove {there} first: gear remove.")
    return replace(body, mark=item.mark, station=station.name if station else name, place=place)


def _fit(item: Item, station: Station | None, name: str) -> None:
    """Raises  InputError: fitted elsewhere. Refused: quarantined."""
    if item.state == "quarantined":
        raise Refused(
            f'"{item.mark}" is quarantined: {item.reason}', where="mark", try_="Quarantined gear is not fitted. Release it first."
        )
    if item.incidents and not (station and set(item.incidents) <= set(station.incidents)):
        raise Refused(
            f'"{item.mark}" is held by an incident, event {item.incidents[0]}',
            where="mark",
            try_="Clear its gate first, or scrap and retire it.",
        )
    if item.station and key(item.station) != key(name):
        raise InputError(
            f'"{item.mark}" is fitted to {item.station}, {item.place}', where="mark", try_="An item is in one place: remove it there first."
        )


def _check_place(world: World, item: Item, station: Station, place: str) -> None:
    """Raises  Refused: the station's file has no such place, or another kind of thing or another gas there."""
    noun = world.filed.noun(station)
    wrong = misfit(item, place, noun) if noun else None
    if wrong:
        raise Refused(wrong.says, where=f"{station.name}, {place}", try_=wrong.try_)


def _taken(world: World, station: Station, place: str, item: Item) -> str:
    """Who hangs at a place already, under whatever name of it: "fuel hose" and "fuel part 2" may be one. Empty: nobody."""
    noun = world.filed.noun(station)
    own = named(noun, place) if noun else ()
    for other, mark in station.makeup.items():
        same = key(other) == key(place) or (len(own) == 1 and noun is not None and named(noun, other) == own)
        if same and key(mark) != item.key:
            return mark
    return ""


def gear_removed(world: World, new: New, body: e.GearRemoved) -> e.Event:
    item = item_of(world, body.mark)
    if not item.station:
        raise InputError(f'"{item.mark}" is not fitted to anything', where="mark", try_="Look at gear list.")
    return replace(body, mark=item.mark, station=item.station)


def gear_retired(world: World, new: New, body: e.GearRetired) -> e.Event:
    item = live_item(world, body.mark)
    needed(body.why, "why", "Say what became of it: scrapped, sold, lost.")
    return replace(body, mark=item.mark, station=item.station)


def station_made_up(world: World, new: New, body: e.StationMadeUp) -> e.Event:
    name = checked(body.station, "station")
    station = world.station(name)
    makeup: dict[str, str] = {}
    seen: dict[str, str] = {}
    for place, mark in body.makeup.items():
        item = live_item(world, mark)
        _fit(item, station, name)
        if item.key in seen:
            raise InputError(
                f'"{item.mark}" is in two places: {seen[item.key]} and {place}', where="makeup", try_="An item is in one place."
            )
        seen[item.key] = place
        if station and station.makeup.get(place) != item.mark:  # what hangs there already is evidence: the card says what is wrong with it
            _check_place(world, item, station, place)
        makeup[checked(place, "place")] = item.mark
    before = station.makeup.values() if station else ()
    removed = tuple(mark for mark in before if key(mark) not in seen)
    return replace(body, station=station.name if station else name, makeup=makeup, removed=removed)


def test_result(world: World, new: New, body: e.TestResult) -> e.Event:
    item = live_item(world, body.mark)
    for name, text in body.readings.items():
        check_value("other", text, name)
    check_text(body.note, "note")
    instrument, until = measured_with(world, item, body, new.happened_at)
    body = replace(judged(item, body), mark=item.mark, station=item.station, instrument=instrument, instrument_until=until)
    if body.completes:
        check_complete(world, new, item, body)
    return body


def judged(item: Item, body: e.TestResult) -> e.TestResult:
    """A test with what its number came to: outside its limit it failed, whoever says passed.

    Raises  BadUnit, OutOfRange: a number that is none. InputError: said to have failed, and to complete an examination.
    """
    check_value(body.test, body.value, "value")
    if body.limit:
        check_value(body.test, body.limit, "limit")
    if body.completes and not body.passed:
        raise InputError("a failed test completes no examination", where="completes", try_="Leave completes out.")
    held = held_to_limit(item.item, body.test, body.value, body.limit)
    if held.outcome == "outside":
        return replace(body, passed=False, completes=False, held_to=held.limit)
    return replace(body, held_to=held.limit)


def check_complete(world: World, new: New, item: Item, body: e.TestResult) -> None:
    """An examination ends when all that its kind asks is recorded, by somebody who may.

    Raises  Refused.
    """
    role = world.policy.tester(item.item)
    if not covers(world.roles(new.author, new.happened_at), role):
        raise Refused(
            f"{new.author} is not authorised as {role}, and completes no examination",
            where=item.mark,
            try_="Let somebody who is record it, or leave completes out: the number is kept all the same.",
        )
    if not body.held_to and asked_of(item.item):
        raise Refused(
            f"no limit is known for the {body.test} test of {body.value}",
            where=item.mark,
            try_="Give the limit from the maker's sheet with it, in the same unit.",
        )
    missing = [test for test in asked_of(item.item) if test != body.test and not proved(item, test, new.happened_at, window_days())]
    if missing or (asked_of(item.item) and body.test not in asked_of(item.item)):
        raise Refused(
            f"its examination is {_and(asked_of(item.item))}; within its limit in the last {window_days():g} days, "
            f"not recorded: {_and(missing or asked_of(item.item))}",
            where=item.mark,
            try_="Record each with its number and, where none is known, its limit; then complete it with the last.",
        )


def proved(item: Item, test: str, at: datetime, days: float) -> bool:
    """Whether the last test of this name passed, within a known limit, in so many days before a moment."""
    last = item.tests.get(test, {})
    if last.get("result") != "pass" or not last.get("held_to") or "at" not in last:
        return False
    return timedelta(0) <= at - read(last["at"]) <= timedelta(days=days)


def no_longer_proved(item: Item, history: Iterable[Recorded]) -> list[str]:
    """Tests that the last examination needed and that no longer stand in its window. history: corrections in place."""
    tests = [(read(event.happened_at), event.body) for event in history if isinstance(event.body, e.TestResult) and event.body.passed]
    ended = max((at for at, body in tests if body.completes), default=None)
    if ended is None:
        return []
    window = timedelta(days=window_days())
    stands = {body.test for at, body in tests if body.held_to and timedelta(0) <= ended - at <= window}
    return [test for test in asked_of(item.item) if test not in stands]


def _and(names: Iterable[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def check_value(test: str, text: str, where: str) -> None:
    """A test's figure has a unit that fits the test.

    Raises  BadUnit.
    """
    kinds = toml(TABLE)["units"][test]
    problem: InputError | None = None
    for kind in kinds:
        try:
            _MEASURES[kind].parse(text)
            return
        except InputError as error:
            problem = problem or error
    assert problem is not None
    if isinstance(problem, BadUnit):
        raise BadUnit(f'"{text[:60]}" is no figure of a {test} test', where=where, try_=f"Write it with its unit: {' or '.join(kinds)}.")
    raise problem.at(where)


def quarantined(world: World, new: New, body: e.Quarantined) -> e.Event:
    item = live_item(world, body.mark)
    needed(body.reason, "reason", "Say why: it goes on the tag.")
    if body.defect and world.defect(body.defect) is None:
        raise UnknownName(f'no defect "{body.defect[:60]}"', where="defect", try_="Leave it out, or give the id of a defect-found event.")
    return replace(body, mark=item.mark, station=item.station)


def repaired(world: World, new: New, body: e.Repaired) -> e.Event:
    item = live_item(world, body.mark)
    needed(body.did, "did", "Say what was put right.")
    check_text(body.evidence, "evidence")
    check_known(new, item.mark)
    return replace(body, mark=item.mark, station=item.station, known_by=new.known_by)


def released(world: World, new: New, body: e.Released) -> e.Event:
    """Raises  InputError: nothing to release, or no evidence. Refused: never to be released, by nobody known, without the role, in another's
    name, with a failed test, or by the same person that repaired it where the site asks for two.

    Source      own-name-judged; release-roles-judged; hose-after-flashback
    """
    item = live_item(world, body.mark)
    if item.state != "quarantined":
        raise InputError(f'"{item.mark}" is not quarantined', where="mark", try_="Look at gear list.")
    if cure := never_back(item.item, item.reason):
        raise Refused(f"{item.mark} is never released: {item.reason}", where=item.mark, try_=cure)
    role = world.policy.rule(item.item).release_by
    if not body.cleared:
        raise Refused("nobody cleared it", where=item.mark, try_=f"Say what was done and on what evidence; a {role} releases it.")
    for each in body.cleared:
        needed(each.condition, "did", "Say what was put right.")
        check_evidence(f"{each.condition} {each.evidence}" if each.evidence.strip() else "", "evidence")
        if each.by.strip() and key(each.by) != key(new.author):
            raise Refused(
                f"{new.author} releases it, in nobody else's name", where=each.by[:60], try_=f"Let {each.by[:60]} sign in and release it."
            )
    if new.known_by != "password":
        check_known(replace(new, known_by=""), item.mark)
    check_role_of(world, new, role, item.mark)
    _check_tests(item)
    _check_two(world, new, item)
    return replace(
        body, mark=item.mark, cleared=tuple(replace(each, by=" ".join(new.author.split())) for each in body.cleared), known_by=new.known_by
    )


def _check_tests(item: Item) -> None:
    """Raises  Refused: the last test of some name failed."""
    for test, last in item.tests.items():
        if last["result"] == "fail":
            raise Refused(
                f"its last {test} test failed: {last['value']} on {last['on']}",
                where=item.mark,
                try_="Test it again, and record the number; or retire it.",
            )


def _check_two(world: World, new: New, item: Item) -> None:
    """Raises  Refused: where the site asks for two persons, nobody else told what was put right since it was quarantined."""
    if not world.policy.two_persons:
        return
    done: list[Recorded] = []
    history = world.history(("item", item.key))
    wrong = {event.body.corrects for event in history if isinstance(event.body, e.Correction)}
    for event in history:
        if event.id in wrong:
            continue
        if isinstance(event.body, e.Quarantined | e.Released) or (isinstance(event.body, e.TestResult) and not event.body.passed):
            done = []
        elif isinstance(event.body, e.Repaired):
            done.append(event)
    if not done:
        says, try_ = "nobody has told what was put right", "Let the one who did it sign in and record it: gear repair, or the item's page."
    elif key(done[-1].author) == key(new.author):
        says, try_ = f"{new.author} put it right, and would release it", "Let another person release it."
    else:
        return
    raise Refused(f"{says}: this site asks for two persons", where=item.mark, try_=try_)


def defect_found(world: World, new: New, body: e.DefectFound) -> e.Event:
    needed(body.says, "says", "Say what is wrong.")
    if bool(body.mark) == bool(body.station):
        raise InputError("a defect is of an item or of a station", where="defect", try_="Give mark or station, one of the two.")
    if body.mark:
        item = live_item(world, body.mark)
        return replace(body, mark=item.mark, station=item.station)
    return replace(body, station=station_of(world, body.station).name)


def station_of(world: World, name: str) -> Station:
    """Raises  UnknownName."""
    found = world.station(name)
    if found is None:
        raise UnknownName(f'no station "{name[:60]}"', where="station", try_="Record its make-up or a round of it first.")
    return found


def defect_closed(world: World, new: New, body: e.DefectClosed) -> e.Event:
    found = world.defect(body.defect)
    needed(body.how, "how", "Say what was done.")
    if found is None:
        raise UnknownName(f'no defect "{body.defect[:60]}"', where="defect", try_="Give the id of its defect-found event.")
    if found.closed_at:
        raise InputError(f"it was closed by {found.closed_by}", where="defect", try_="Nothing is left to do.")
    if world.policy.two_persons and found.severity == "stop" and key(found.found_by) == key(new.author):
        raise Refused("who found it does not close it: this site asks for two persons", where="author", try_="Let another person close it.")
    return replace(body, mark=found.mark, station=found.station)


def cylinder_moved(world: World, new: New, body: e.CylinderMoved) -> e.Event:
    mark = checked(body.mark, "mark")
    found = world.cylinder(mark)
    if body.contents:
        check_value("other", body.contents, "contents")
    if found and found.gas != body.gas:
        raise InputError(f'"{found.mark}" holds {found.gas}, not {body.gas}', where="gas", try_="A cylinder keeps its gas. Check the mark.")
    return replace(
        body,
        mark=found.mark if found else mark,
        to=checked(body.to, "to"),
        gas=checked(body.gas, "gas"),
        came_from=found.place if found else body.came_from,
    )
