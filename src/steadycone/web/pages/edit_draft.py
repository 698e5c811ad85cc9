"""A station's file while somebody edits it: the text so far, what stands in the boxes, and what is to be done with both."""

import hashlib
import re
import secrets
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from steadycone.errors import InputError
from steadycone.files.edit import (
    AddDeclared,
    AddLine,
    AddPart,
    DuplicatePart,
    MovePart,
    Op,
    RemoveDeclared,
    RemoveLine,
    RemovePart,
    apply,
    change,
    fields_of,
)
from steadycone.web.desk import Desk

if TYPE_CHECKING:
    from steadycone.records.store import Site

MOST_FORM = 400_000  # bytes of a form: the text goes along, each of its letters up to three bytes long
MOST_TEXT = 100_000  # characters; a station's file has some 4,000
_NONCE = re.compile("[0-9a-f]{16}")


@dataclass(frozen=True, slots=True)
class Draft:
    """An edit that is under way. It lives in the form that shows it: the server keeps nothing of it.

    text : the file's, with every change so far that it could take
    values : of the boxes by path. They say what the text says, unless `error` tells why they could not be put into it
    base : hash of the filed text that the edit began from; empty for a new station
    nonce : told apart from other edits, so that a form sent twice is filed once
    as_text : the whole text is edited in one box
    """

    text: str
    values: dict[str, str]
    base: str
    file: str
    why: str = ""
    nonce: str = ""
    as_text: bool = False
    error: InputError | None = None

    @property
    def id(self) -> str:
        """Of the event that files this very text from this very form."""
        said = "\n".join((self.text, self.why)).encode("utf-8", "surrogatepass")
        return f"{self.nonce}-{hashlib.sha256(said).hexdigest()[:16]}"


def begun(text: str, base: str, file: str, *, as_text: bool = False) -> Draft:
    """An edit that begins."""
    values, error = _boxes(text)
    return Draft(text, values, base, file, nonce=secrets.token_hex(8), as_text=as_text or error is not None, error=error)


def sent(desk: Desk) -> Draft:
    """The edit as its form was sent, with what the boxes say put into the text.

    Raises  InputError: no form of ours.
    """
    base, nonce = desk.field("base", ""), desk.field("nonce", "")
    text = _own_line_ends(desk.site, base, long_text(desk, "text"))
    boxes = {name: value for name, value in desk.form.items() if "." in name and isinstance(value, str)}
    draft = Draft(
        text=text,
        values=boxes,
        base=base,
        file=desk.field("file", ""),
        why=desk.field("why", ""),
        nonce=nonce if _NONCE.fullmatch(nonce) else secrets.token_hex(8),
        as_text=desk.field("as", "") == "text",
    )
    if draft.as_text:
        values, error = _boxes(text)
        return replace(draft, values=values, error=error)
    try:
        return taken(draft, apply(text, boxes))
    except InputError as error:
        return replace(draft, error=error)


def taken(draft: Draft, text: str) -> Draft:
    """The edit with another text, and boxes that say what it says. Raises InputError: no station file's text."""
    return replace(draft, text=text, values=fields_of(text), error=None)


def done(draft: Draft, op: Op) -> Draft:
    """The edit after an operation on its parts; with its error where that can't be done, or where the boxes are not in the text yet."""
    if draft.error is not None:
        return draft
    try:
        return taken(draft, change(draft.text, op))
    except InputError as error:
        return replace(draft, error=error)


def op_asked(desk: Desk) -> Op | None:
    """What a button of the form asks to do with the parts; None where it is no such button.

    Raises  InputError: a button that the form has not.
    """
    match desk.field("op", "work").split():
        case ["add", line]:
            return AddPart(line, desk.field(f"add-{line}", ""))
        case ["remove", line, number]:
            return RemovePart(line, _number(number))
        case ["same", line, number]:
            return DuplicatePart(line, _number(number))
        case ["up", line, number]:
            return MovePart(line, _number(number), "regulator")
        case ["down", line, number]:
            return MovePart(line, _number(number), "torch")
        case ["add-line", line]:
            return AddLine(line)
        case ["remove-line", line]:
            return RemoveLine(line)
        case ["declare"]:
            return AddDeclared(desk.field("add-declared", ""))
        case ["undeclare", number]:
            return RemoveDeclared(_number(number))
        case ["work" | "save" | "text" | "form" | "lay"]:
            return None
    raise InputError("no such button", where="op", try_="Load the page again.")


def section_of(op: Op) -> str:
    """Where the form shows what an operation did."""
    return "declared" if isinstance(op, AddDeclared | RemoveDeclared) else op.line


def long_text(desk: Desk, name: str) -> str:
    """A field that may hold a whole file, with plain line ends. Raises InputError: missing or too long."""
    found = desk.form.get(name)
    if not isinstance(found, str):
        raise InputError("it is missing", where=name, try_="Load the page again.")
    if len(found) > MOST_TEXT:
        raise InputError(f"{len(found):,} characters", where=name, try_=f"{MOST_TEXT:,} at most.")
    return found.replace("\r\n", "\n")


def filed_text(site: "Site", hash_: str) -> str:
    """The text that was filed under a hash. Raises InputError: no text of a station of this site."""
    if not site.files.was_filed("station", hash_):
        raise InputError("the text that the edit began from is not kept here", where="form", try_="Open the station and edit it again.")
    return site.files.document(hash_).decode("utf-8", "surrogatepass")


def _own_line_ends(site: "Site", base: str, text: str) -> str:
    """A browser sends every line end as CRLF: they become what the file had."""
    if not base:
        return text
    before = filed_text(site, base)
    if "\r\n" not in before:
        return text
    return before if before.replace("\r\n", "\n") == text else text.replace("\n", "\r\n")


def _boxes(text: str) -> tuple[dict[str, str], InputError | None]:
    try:
        return fields_of(text), None
    except InputError as error:
        return {}, error


def _number(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 4):
        raise InputError(f'"{text[:20]}" is not the number of a part', where="op", try_="Load the page again.")
    return int(text)
