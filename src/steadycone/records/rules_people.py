"""Who may do what: roles, the gate back to service, and two persons where the site asks for them."""

import re

from msgspec.structs import replace

from steadycone.data.reader import toml
from steadycone.errors import InputError, Refused, UnknownName
from steadycone.records import events as e
from steadycone.records.envelope import New
from steadycone.records.names import checked, key
from steadycone.records.policy import TABLE, check_role, covers
from steadycone.records.world import World
from steadycone.units import GivenDate


def check_known(new: New, where: str) -> None:
    """Raises  Refused: the author is a name that somebody typed, and nobody who signed in.

    Source      own-name-judged
    """
    if not new.known_by:
        raise Refused(
            f"nobody signed in as {new.author}: a typed name clears nothing",
            where=where,
            try_="Sign in for it: on the page, or at the command with your account's password.",
        )


def check_evidence(text: str, where: str) -> None:
    """Raises  InputError: it says nothing, or only that all is well.

    Source      gate-evidence-judged
    """
    if not says_something(text):
        raise InputError(
            f'"{text[:40]}" is no evidence', where=where, try_="Say what was seen or measured: the number, the paper, the mark, the time."
        )


def says_something(text: str) -> bool:
    """Whether a text could be evidence: two words at least, and not only that all is well.

    Source      gate-evidence-judged
    """
    rules = toml("gate_checks.toml")["evidence"]
    words = re.findall(r"\w+", text)
    told = [word for word in words if word.casefold() not in rules["empty"]]
    enough: bool = len(words) >= rules["words"] and sum(map(len, told)) >= rules["least"]
    varied: bool = len(set("".join(told).casefold())) >= rules["least"] // 2
    return enough and varied


def is_outside(role: str) -> bool:
    """Whether somebody who is not of this yard meets the condition."""
    return role in toml(TABLE)["outside"]["roles"]


def check_outside(world: World, new: New, where: str) -> None:
    """Raises  Refused: the author may not enter what somebody from outside did.

    Source      release-roles-judged
    """
    told_by = toml(TABLE)["outside"]["told_by"]
    if not any(covers(world.roles(new.author, new.happened_at), known) for known in told_by):
        raise Refused(
            f"{new.author} is not authorised to enter what somebody from outside did",
            where=where,
            try_=f"A {' or '.join(told_by)} enters it; record the authorisation first.",
        )


def check_role_of(world: World, new: New, role: str, where: str) -> None:
    """Raises  Refused: the author has not the role, nor one that stands in for it.

    Source      release-roles-judged
    """
    if not covers(world.roles(new.author, new.happened_at), role):
        raise Refused(
            f"{new.author} is not authorised as {role} on {new.happened_at.date().isoformat()}",
            where=where,
            try_="Let an authorised person sign in for it, or record the authorisation.",
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
