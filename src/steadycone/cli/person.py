"""Who a name on the command line is: the person whose account's password is typed. A typed name alone is nobody."""

import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING, Literal

import click

from steadycone.cli.desk import now
from steadycone.errors import InputError, Refused

if TYPE_CHECKING:
    from steadycone.records import Site
    from steadycone.records.accounts import Account
    from steadycone.records.events import Event

_ALWAYS = ("repaired", "released", "condition-cleared", "condition-reopened")
# asked as soon as the yard has accounts: before that nobody can sign in, and the first roles are given
_WITH_ACCOUNTS = ("authorised", "authorisation-ended", "policy-changed", "defect-closed", "correction", "sign-off", "trained")


def known_by(site: "Site", who: str, bodies: "Iterable[Event]") -> Literal["", "password"]:
    """Whether the author is who the name says, asked where one of the events needs it.

    Raises  Refused: no account. InputError: name and password don't fit. throttle.TooMany.

    Source      own-name-judged
    """
    from steadycone.records.events import TestResult, kind_of

    kinds = {kind_of(body) for body in bodies}
    completes = any(isinstance(body, TestResult) and body.completes for body in bodies)
    needed = kinds & set(_ALWAYS)
    if not needed and not ((kinds & set(_WITH_ACCOUNTS) or completes) and site.store.accounts.count()):
        return ""
    check_person(site, who)
    return "password"


def check_person(site: "Site", who: str) -> None:
    """Ask for the password of a name.

    Raises  as known_by. Refused: the password was given by somebody else, who knows it too.
    """
    account = account_of(site, who)
    if account.starting:
        raise Refused(
            f"the password of {account.person} was given by somebody else",
            where="--by",
            try_=f'Choose your own first: steadycone people password "{account.person}"',
        )


def account_of(site: "Site", who: str) -> "Account":
    """The account whose name and password are given, a starting password too.

    Raises  as known_by.
    """
    from steadycone.web.guard import passwords, throttle

    accounts = site.store.accounts
    account = accounts.get(who)
    if account is None or account.disabled:
        raise Refused(
            f"{who} has no account, and a typed name is nobody",
            where="--by",
            try_=f'Make one: steadycone people account "{who}", or let somebody who has one do it.',
        )
    given = ask_password(f"Password of {account.person}")
    with throttle.tried(accounts, who, "command", now()) as attempt:
        if not passwords.matches(given, account.password):
            attempt.failed = True
            raise InputError(
                "name and password don't fit together", where="--by", try_="Type it again. After five wrong tries a name waits."
            )
    return account


def ask_password(says: str) -> str:
    """Typed unseen; a line of the standard input where no person sits there."""
    if sys.stdin.isatty():
        return str(click.prompt(says, hide_input=True, err=True))
    return sys.stdin.readline().rstrip("\r\n")
