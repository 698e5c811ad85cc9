"""What a draft of a station comes to, from the draft and what it is handed: no store, no yard, so that another process can do it as well."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from pathlib import PurePosixPath
from typing import TYPE_CHECKING, Any

from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.errors import BadFile, InputError
from steadycone.files.edit import draft_table, fields_of_table, station_table
from steadycone.files.read import setup_from_table
from steadycone.render.model import View
from steadycone.render.station_form import Form, form_of
from steadycone.render.train import train_svg
from steadycone.render.view import view_of
from steadycone.render.view_findings import go_summary
from steadycone.render.words import Words
from steadycone.station.form import fields_in
from steadycone.web.shell import part

if TYPE_CHECKING:
    from steadycone.records.held import Held


@dataclass(frozen=True, slots=True)
class Ask:
    """A draft, and all there is to know for it.

    text, values : the file's text, and by path what stands in the boxes; no values: the text alone
    papers : bytes of the charts and policies that the draft names, by (what, name). kept : names of all there are, by what
    region : the yard's. on : the day
    known : why the boxes can't be put into the text, where that was found before
    brief : what is in order is counted and not listed: some fifty lines, which nobody has unfolded
    held : what the records have of the station of that name; None where there is none yet
    """

    text: str
    values: Mapping[str, str]
    papers: Mapping[tuple[str, str], bytes]
    kept: Mapping[str, tuple[str, ...]]
    region: str
    on: date
    known: InputError | None = None
    brief: bool = False
    held: "Held | None" = None


@dataclass(frozen=True, slots=True)
class Worked:
    """What a draft comes to: a view, or what stands in the way and the form that says where."""

    view: View | None
    error: InputError | None = None
    form: Form | None = None

    @property
    def train(self) -> str:
        return train_svg(self.view.train) if self.view else ""

    @property
    def missing(self) -> tuple[tuple[str, str], ...]:
        """Needed boxes that are empty: path and label."""
        return self.form.missing if self.form else ()

    @property
    def wrong(self) -> list[tuple[str, str, str]]:
        """Boxes that hold something wrong: path, label, what is wrong."""
        groups = [group for section in self.form.sections for group in section.groups] if self.form else []
        return [
            (field.path, f"{group.title}: {field.label}", field.error)
            for group in groups
            for field in group.fields
            if field.error and field.value
        ]


def work(ask: Ask) -> Worked:
    """A draft worked out."""
    if ask.known is not None:
        return _failed(ask, ask.known)
    try:
        table = draft_table(table_of(ask.text), ask.values) if ask.values else table_of(ask.text)
        setup = setup_from_table(table, "", lambda name, limit, what: _paper(ask, name, what))
        card = ask.held.card(setup, ask.on, draft=True) if ask.held else make_card(setup, ask.on, draft=True)
        return Worked(_view(card, brief=ask.brief))
    except InputError as error:
        return _failed(ask, error)


def told(ask: Ask) -> dict[str, Any]:
    """The same as the page's script gets it: markup, the hoses' colours, the verdict's word, and errors by path."""
    found = work(ask)
    return {
        "html": part("edit_result.html.j2", worked=found),
        "strip": part("edit_strip.html.j2", worked=found),
        "hoses": found.view.hoses if found.view else "",
        "verdict": found.view.verdict_word if found.view else "",
        "errors": errors_of(found),
    }


@lru_cache(maxsize=200)
def table_of(text: str) -> dict[str, Any]:
    """The table of a text: the same for every key pressed after it was opened. Not to be changed. Raises BadFile."""
    return station_table(text)


def plain(name: str) -> str:
    """A paper's name as it is kept."""
    return str(PurePosixPath(name))


def _paper(ask: Ask, name: str, what: str) -> bytes:
    """Raises  BadFile: none of this name is kept."""
    found = ask.papers.get((what, plain(name)))
    if found is None:
        kept = ", ".join(ask.kept.get(what, ())) or "none"
        raise BadFile(f"no such {what} is kept", where=name, try_=f"File it first, or name one of those kept: {kept}.")
    return found


def _view(card: Card, *, brief: bool) -> View:
    """The view of a card nobody keeps: of its JSON only the sentences that the page shows."""
    words = Words.of(card.figures.setup.station.station.region)
    listed = replace(card, findings=tuple(finding for finding in card.findings if finding.verdict != "go")) if brief else card
    findings = [{"says": words.says(finding), "remedy": words.remedy(finding)} for finding in listed.findings]
    view = view_of(listed, {"on": card.figures.on.isoformat(), "findings": findings, "steps": [], "assumed": [], "cautions": []})
    if not brief:
        return view
    return replace(view, go_count=len(card.findings) - len(listed.findings), go_summary=go_summary(card, words))


# --- what is wrong, and where --------------------------------------------------------


def _failed(ask: Ask, error: InputError) -> Worked:
    try:
        filled = fields_of_table(table_of(ask.text)) | dict(ask.values)
    except InputError:
        return Worked(None, error)
    return Worked(None, error, form(filled, ask.region, ask.kept, error))


def form(values: Mapping[str, str], region: str, kept: Mapping[str, tuple[str, ...]], error: InputError | None = None) -> Form:
    """The form of these values, in the words of the region they name, or else of this one, with the charts there are to pick from."""
    filled = {path: value for path, value in values.items() if value or path.endswith(".kind")}  # a box that is empty begins no table
    own = filled.get("station.region", "")
    if own not in fields_in("station")["region"].choices:
        own = region
    return form_of(filled, own, filled.get("station.fuel", ""), [error] if error else [], {"chart": kept.get("chart", ())})


def errors_of(found: Worked) -> dict[str, str]:
    """What is wrong, by the path of its box, its group or its section."""
    if found.form is None:
        return {}
    errors = {section.id: " ".join(section.errors) for section in found.form.sections if section.errors}
    for group in (group for section in found.form.sections for group in section.groups):
        if group.errors:
            errors[group.path] = " ".join(group.errors)
        errors |= {field.path: field.error for field in group.fields if field.error}
    return errors
