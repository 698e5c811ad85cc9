"""`steadycone people`: who may do what, and until when."""

import sys

import click

from steadycone.cli.card import on_option
from steadycone.cli.desk import moment, open_site, reading, record, today, write_json, writing


@click.group("people", help="Authorisations: who may sign, clear and release, on what grounds and until when.")
def people() -> None: ...


@people.command(
    "list", help="Everybody with an authorisation, and what it is worth today.", epilog="Example: steadycone people list --json"
)
@on_option
@reading
def list_command(store: str | None, site: str | None, as_json: bool, on: str | None) -> None:
    from steadycone.render.table import text_table

    when = today(on)
    with open_site(store, site) as found:
        everybody = found.people()
    if as_json:
        import msgspec

        told = [{"name": each.name, "roles": sorted(each.roles(when)), "grants": msgspec.to_builtins(each.grants)} for each in everybody]
        write_json({"format": "steadycone-people/1", "on": when.isoformat(), "people": told})
        return
    rows = [
        (
            each.name,
            grant.role,
            grant.since,
            grant.ended or grant.until or "open",
            "yes" if grant.role in each.roles(when) else "NO",
            grant.basis,
        )
        for each in everybody
        for grant in each.grants
    ]
    sys.stdout.write(text_table(("name", "role", "since", "until", "holds", "basis"), rows) if rows else "Nobody is authorised yet.\n")


@people.command("authorise", help="A person may act in a role.", epilog='Example: steadycone people authorise "J. Okafor" "competent person" --until 2027-03-31 --basis "course 2024-03" --by NAME')  # fmt: skip
@click.argument("person")
@click.argument("role")
@click.option("--until", default="", metavar="DATE", help="The last day; until ended if left out.")
@click.option("--basis", default="", metavar="TEXT", help="Certificate, course, letter.")
@writing
def authorise(
    store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, person: str, role: str, until: str, basis: str
) -> None:
    from steadycone.records import events

    when = moment(at)
    with open_site(store, site, writes=True) as found:
        record(found, by, when, events.Authorised(person=person, role=role, until=until, basis=basis), as_json=as_json)


@people.command("end", help="A person may no longer act in a role.", epilog='Example: steadycone people end "J. Okafor" "competent person" --why "left the yard" --by NAME')  # fmt: skip
@click.argument("person")
@click.argument("role")
@click.option("--why", default="", metavar="TEXT")
@writing
def end(store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, person: str, role: str, why: str) -> None:
    from steadycone.records import events

    when = moment(at)
    with open_site(store, site, writes=True) as found:
        record(found, by, when, events.AuthorisationEnded(person=person, role=role, why=why), as_json=as_json)


@people.command("account", help="An account for a person: their own password, typed twice by them. Clearing and releasing ask for it.", epilog='Example: steadycone people account "J. Okafor" --by "M. Reyes"')  # fmt: skip
@click.argument("person")
@writing
def account(store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, person: str) -> None:
    """The first one is made by whoever holds the records; the next ones by somebody who may, with the own password.

    Whoever opens it for somebody else sees who types: to be safe, such a password is a starting one.
    """
    from steadycone.cli.desk import author, now
    from steadycone.cli.person import check_person
    from steadycone.errors import Refused
    from steadycone.records import events
    from steadycone.records.names import key
    from steadycone.web.desk import roles_of
    from steadycone.web.guard import passwords
    from steadycone.web.guard.rights import rights, roles_with

    moment(at)
    with open_site(store, site, writes=True) as found:
        accounts, who = found.store.accounts, by or person
        found.check_key()  # what can't be recorded is not done
        if accounts.count():
            who = author(by)
            check_person(found, who)
            if "people" not in rights(roles_of(found, who, now().date())):
                raise Refused(
                    f"{who} has no right to open accounts", where="--by", try_=f"Let a {' or '.join(roles_with('people'))} do it."
                )
        given = _twice(f"Password for {person}")
        made = accounts.add(person, passwords.hashed(given), now(), starting=key(who) != key(person))
        found.record_own(events.AccountChanged(person=made.person, what="opened"), who, now())
    if as_json:
        write_json({"account": made.person, "starting": made.starting})
    else:
        own = f' It is good for nothing before it is changed: steadycone people password "{made.person}"' if made.starting else ""
        sys.stdout.write(f"{made.person} has an account.{own}\n")


@people.command("password", help="Change the own password, as at first signing in: the old one once, the new one twice.", epilog='Example: steadycone people password "J. Okafor"')  # fmt: skip
@click.argument("person")
@reading
def password(store: str | None, site: str | None, as_json: bool, person: str) -> None:
    from steadycone.cli.desk import now
    from steadycone.cli.person import account_of
    from steadycone.errors import InputError
    from steadycone.records import events
    from steadycone.web.guard import passwords

    with open_site(store, site, writes=True) as found:
        found.check_key()  # what can't be recorded is not done
        account = account_of(found, person)
        given = _twice(f"New password of {account.person}")
        if passwords.matches(given, account.password):
            raise InputError("the new password is the old one", where="password", try_="Choose another: a few words in a row are good.")
        found.store.accounts.set_password(account.person, passwords.hashed(given), now())
        found.record_own(events.AccountChanged(person=account.person, what="own password changed"), account.person, now())
    if as_json:
        write_json({"account": account.person, "starting": False})
    else:
        sys.stdout.write(f"The password of {account.person} is changed.\n")


def _twice(says: str) -> str:
    """Raises  InputError: not the same the second time."""
    from steadycone.cli.person import ask_password
    from steadycone.errors import InputError

    given = ask_password(says)
    if given != ask_password("The same again"):
        raise InputError("two different passwords", where="account", try_="Type the same one twice.")
    return given


@people.command("training", help="Marked drills: who sat which, with how many points, and who marked it.", epilog="Example: steadycone people training --person \"A. Bell\"")  # fmt: skip
@click.option("--person", default="", metavar="NAME", help="Of this one alone.")
@reading
def training_command(store: str | None, site: str | None, as_json: bool, person: str) -> None:
    from steadycone.records import events
    from steadycone.records.names import key
    from steadycone.records.telling import local
    from steadycone.render.table import text_table

    with open_site(store, site) as found:
        corrected = found.corrections()
        recorded = [each for each in found.events(kinds=["trained"]) if isinstance(each.body, events.Trained)]
    told = [
        {
            "event": each.sequence, "on": local(each.happened_at)[:10], "person": body.person, "drill": body.drill, "sitting": body.sitting,
            "points": body.points, "of": body.of, "pass_mark": body.pass_mark, "passed": body.passed, "by": each.author,
            "corrected": each.id in corrected,
        }
        for each in recorded
        if isinstance(body := each.body, events.Trained) and (not person or key(body.person) == key(person))
    ]  # fmt: skip
    if as_json:
        write_json({"format": "steadycone-training/1", "training": told})
        return
    rows = [
        (
            str(each["event"]),
            str(each["on"]),
            str(each["person"]),
            f"{each['drill']}, sitting {each['sitting']}",
            f"{each['points']} of {each['of']}",
            "corrected since" if each["corrected"] else "passed" if each["passed"] else "NOT PASSED",
            str(each["by"]),
        )
        for each in told
    ]
    shown = text_table(("event", "day", "name", "drill", "points", "came to", "marked by"), rows)
    sys.stdout.write(shown if rows else "No drill was recorded yet.\n")
