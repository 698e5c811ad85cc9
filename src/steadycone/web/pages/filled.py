"""Forms that come back as they were filled in, with what is wrong beside them; and small readings that several pages share."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from urllib.parse import quote, urlencode

from starlette.responses import Response

from steadycone.errors import BadUnit, InputError, SteadyconeError, UnknownName
from steadycone.web.desk import Desk


@dataclass(frozen=True, slots=True)
class Filled:
    """What was typed into one of a page's forms, and what is wrong with it. `form` names the form."""

    form: str = ""
    fields: Mapping[str, str] = field(default_factory=dict)
    error: SteadyconeError | None = None

    def value(self, form: str, name: str, otherwise: str = "") -> str:
        """What stands in a field: what was typed, where this is the form that came back."""
        return self.fields.get(name, "") if form == self.form else otherwise

    def problem(self, form: str) -> SteadyconeError | None:
        return self.error if form == self.form else None


def back(desk: Desk, form: str, error: SteadyconeError) -> Filled:
    """What was sent, to be shown again."""
    return Filled(
        form, {name: value for name, value in desk.form.items() if isinstance(value, str) and name not in ("token", "password")}, error
    )


def item_url(mark: str) -> str:
    """A mark may hold any letter, slashes too, so it stands behind the question mark."""
    return f"/gear/item?mark={quote(mark, safe='')}"


def lines_of_pairs(text: str, where: str) -> dict[str, str]:
    """Lines such as "outlet = 10 bar" as a table.

    Raises  InputError: a line without an equals sign, or a name twice.
    """
    found: dict[str, str] = {}
    for line in text.splitlines():
        if not line.strip():
            continue
        name, equals, value = line.partition("=")
        if not equals or not name.strip() or name.strip() in found:
            raise InputError(
                f'"{line.strip()[:60]}" is not name = value, or is there twice', where=where, try_="Write for example outlet = 10 bar."
            )
        found[name.strip()] = value.strip()
    return found


def moment_of(desk: Desk, name: str = "when") -> datetime:
    """A moment typed into a form; now where it was left empty. Without a zone it is of this machine's.

    Raises  BadUnit.
    """
    text = desk.field(name, "")
    if not text:
        return desk.now
    try:
        found = datetime.fromisoformat(text)
    except ValueError as error:
        raise BadUnit(f'"{text[:40]}" is not a time', where=name, try_="Write 2026-11-25T07:40.") from error
    return found.astimezone() if found.tzinfo is None else found


def number_asked(desk: Desk, name: str, otherwise: int, low: int, high: int) -> int:
    """A whole number behind the question mark.

    Raises  BadUnit: none, or out of bounds.
    """
    text = desk.asked.get(name, "").strip()
    if not text:
        return otherwise
    if not (text.isascii() and text.isdigit() and len(text) < 12 and low <= int(text) <= high):
        raise BadUnit(f'"{text[:40]}" is not a number from {low} to {high:,}', where=name, try_="Write it in digits.")
    return int(text)


def address(path: str, asked: Mapping[str, str], **other: Any) -> str:
    """The same page with other things asked of it; an empty one is left out."""
    wanted = {**asked, **{name: str(value) for name, value in other.items()}}
    kept = {name: value for name, value in wanted.items() if value not in ("", "None")}
    return f"{path}?{urlencode(kept)}" if kept else path


def asked_of(desk: Desk, names: Sequence[str]) -> dict[str, str]:
    """What stands behind the question mark under these names, one line each."""
    return {name: " ".join(desk.asked.get(name, "").split())[:200] for name in names}


def recorded(desk: Desk, form: str, do: Callable[[], str], show: Callable[[Filled], Response], done: str = "recorded") -> Response:
    """Do what a form asks, then see the page it names; or show the form again with what is wrong."""
    try:
        return desk.to(do(), done)
    except InputError as error:
        found = show(back(desk, form, error))
        found.status_code = status_in_form(error)
        return found


def status_in_form(error: SteadyconeError) -> int:
    """Of a page that is there, and that a form comes back on: a name in it that is not known makes no missing page."""
    from steadycone.web.answer import status_of

    return 400 if isinstance(error, UnknownName) else status_of(error)
