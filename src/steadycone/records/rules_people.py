"""Who may do what: roles, the gate back to service, and two persons where the site asks for them."""

from collections.abc import Iterable, Mapping

from msgspec.structs import replace

from steadycone.data.reader import toml
from steadycone.errors import InputError, Refused, UnknownName
from steadycone.records import events as e
from steadycone.records.envelope import New
from steadycone.records.names import checked, key
from steadycone.records.policy import TABLE, check_role, covers
from steadycone.records.world import World
from steadycone.units import GivenDate


def check_cleared(world: World, new: New, cleared: Iterable[e.Cleared], asked: Mapping[str, str], *, at_least_one: bool = False) -> None:
    """Every condition of a gate cleared by a named person with the role it asks for.

    asked : condition to role. at_least_one : one of the persons must have the role, as for an item's own quarantine

    Raises  Refused. InputError: a condition without name or evidence, or not of this gate.
    """
    given = tuple(cleared)
    missing = [condition for condition in asked if condition not in {each.condition for each in given}]
    if missing:
        raise Refused(f"not cleared: {', '.join(missing)}", where="gate", try_="Every condition of the gate is cleared, or it stays shut.")
    for each in given:
        if each.condition not in asked:
            raise InputError(
                f'"{each.condition[:60]}" is no condition of this gate', where="gate", try_=f"Its conditions: {', '.join(asked)}."
            )
        if not each.by.strip() or not each.evidence.strip():
            raise InputError("no name or no evidence", where=each.condition, try_="Say who cleared it, and on what evidence.")
        if world.policy.two_persons and key(each.by) == key(new.author):
            raise Refused(
                f"{each.by} cleared it and would sign it: this site asks for two persons",
                where=each.condition,
                try_="Let another person sign.",
            )
    refused = [problem for each in given if (problem := _unfit(world, new, each, asked[each.condition]))]
    if refused and (not at_least_one or len(refused) == len(given)):
        raise refused[0]


def _unfit(world: World, new: New, each: e.Cleared, role: str) -> Refused | None:
    """Why a person may not clear a condition; None where they may.

    Source      release-roles-judged
    """
    outside = toml(TABLE)["outside"]
    at = new.happened_at
    if role in outside["roles"]:
        if any(covers(world.roles(new.author, at), known) for known in outside["told_by"]):
            return None
        told = " or ".join(outside["told_by"])
        return Refused(
            f"{new.author} is not authorised to enter what somebody from outside did",
            where=each.condition,
            try_=f"A {told} enters it; record the authorisation first.",
        )
    if covers(world.roles(each.by, at), role):
        return None
    return Refused(
        f"{each.by} is not authorised as {role} on {at.date().isoformat()}",
        where=each.condition,
        try_="Let an authorised person clear it, or record the authorisation.",
    )


def authorised(world: World, new: New, body: e.Authorised) -> e.Event:
    person = checked(body.person, "person")
    check_role(body.role, "role")
    if body.until:
        until = GivenDate.parse(body.until)
        if until.day < new.happened_at.date() or len(body.until) != 10:
            raise InputError(f'"{body.until}" is no last day to come', where="until", try_="Write the last day in full, or leave it out.")
    if world.policy.two_persons and key(person) == key(new.author):
        raise Refused("nobody authorises themself: this site asks for two persons", where="author", try_="Let another person record it.")
    found = world.person(person)
    return replace(body, person=found.name if found else person)


def authorisation_ended(world: World, new: New, body: e.AuthorisationEnded) -> e.Event:
    found = world.person(body.person)
    if found is None or not any(grant.role == body.role and not grant.ended for grant in found.grants):
        raise UnknownName(f'"{body.person[:60]}" is not authorised as {body.role[:40]}', where="person", try_="Look at the list of people.")
    return replace(body, person=found.name)
