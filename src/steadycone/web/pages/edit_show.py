"""The pages of an edit: the form with what it comes to, the file's text in one box, and what differs when two saved."""

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from starlette.responses import Response

from steadycone.errors import InputError, Overtaken
from steadycone.render.station_form import Field, Form, form_of
from steadycone.render.words import Words, capital
from steadycone.station.form import LINES, fields_in
from steadycone.web.desk import Desk
from steadycone.web.pages.edit_draft import Draft, filed_text
from steadycone.web.pages.edit_live import kept_names, worked
from steadycone.web.pages.edit_merge import Step
from steadycone.web.pages.edit_work import form

if TYPE_CHECKING:
    from steadycone.records.rows import Station

_ATTACHMENTS = ("cutting", "heating", "welding")
_AROUND = 2  # lines shown before and after one that is wrong or differs


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a text.

    how : "" where nothing is to say, wrong, mine, theirs, or gap for lines left out. old : it stood so when the edit began
    """

    how: str
    text: str
    number: int = 0
    old: bool = False


def form_page(
    desk: Desk,
    draft: Draft,
    station: "Station | None",
    *,
    opened: Sequence[str] = (),
    refused: InputError | None = None,
    laid: Sequence[Step] = (),
    status: int = 200,
) -> Response:
    """The form, or the text, beside what it comes to.

    opened : sections that stand open beside those with something to mend. refused : why it was not saved. laid : changes laid over another's
    """
    problem = draft.error or refused
    found = worked(desk, draft.text, draft.values, known=problem)
    kept = kept_names(desk.yard, desk.site)
    shown = found.form or form(draft.values, desk.region, kept, problem)
    words = Words.of(desk.region)
    return desk.page(
        "edit.html.j2",
        f"Edit {station.name}" if station else "A new station",
        status=status,
        draft=draft,
        station=station,
        slug=desk.path.get("station", ""),
        form=shown,
        open=_open(shown, opened, new=station is None),
        kinds=_kinds(words),
        lines=LINES,
        addable=() if "preheat_oxygen" in {section.id for section in shown.sections} else ("preheat_oxygen",),
        lists=_lists(shown),
        policies=kept["policy"],
        worked=found,
        refused=refused,
        place=_place(draft, problem),
        sign_off=_sign_off(desk, station),
        laid=told_steps(laid, shown),
    )


def _open(shown: Form, opened: Sequence[str], *, new: bool) -> frozenset[str]:
    """Sections that stand open: asked for, wrong, or with something left to fill in."""
    wanted = set(opened)
    for section in shown.sections:
        fields = [field for group in section.groups for field in group.fields]
        wrong = section.errors or any(group.errors for group in section.groups) or any(field.error for field in fields)
        if wrong or any(field.required and not field.value for field in fields):
            wanted.add(section.id)
    return frozenset(wanted)


def _kinds(words: Words) -> dict[str, list[tuple[str, str]]]:
    """Kinds of part, and of things found, as a list to pick from."""

    def said(word: str) -> str:
        return {"oil": "Oil or grease"}.get(word) or capital(words.part(word))

    return {
        "part": [(word, capital(words.part(word))) for word in fields_in("part")["kind"].choices],
        "declared": [(word, said(word)) for word in fields_in("declared")["kind"].choices],
    }


def _lists(shown: Form) -> dict[tuple[str, ...], str]:
    """Ids of the lists that stand beside boxes, one for each set of words."""
    found: dict[tuple[str, ...], str] = {}
    for field in _fields(shown):
        if field.suggest:
            found.setdefault(field.suggest, f"edit-list-{len(found)}")
    return found


def _fields(shown: Form) -> list[Field]:
    return [field for section in shown.sections for group in section.groups for field in group.fields]


def _sign_off(desk: Desk, station: "Station | None") -> tuple[str, str] | None:
    """Who signed and until when, where saving would end it."""
    from steadycone.records.telling import local

    if station is None or not desk.site.sign_off(station.name, desk.now).holds:
        return None
    return station.signed_by, local(station.valid_until)


def _place(draft: Draft, problem: InputError | None) -> tuple[Line, ...]:
    """The lines around the one that an error names, where the text itself can't be read."""
    found = re.search(r"\bline (\d+)", problem.where) if problem else None
    if not found:
        return ()
    number, lines = int(found[1]), draft.text.splitlines()
    first = max(0, number - 1 - _AROUND)
    return tuple(Line("wrong" if at == number else "", text, at) for at, text in enumerate(lines[first : number + _AROUND], first + 1))


# --- two who saved -------------------------------------------------------------------


def differs(desk: Desk, draft: Draft, station: "Station", error: Overtaken) -> Response:
    """Who was first, and what differs between theirs and mine."""
    from steadycone.records.telling import local

    theirs = filed_text(desk.site, error.now)
    return desk.page(
        "edit_differs.html.j2", f"Two changed {station.name}", status=409, draft=draft, station=station, slug=desk.path["station"],
        by=error.by, when=local(error.when), lines=difference(filed_text(desk.site, draft.base), theirs, draft.text),
    )  # fmt: skip


def difference(base: str, theirs: str, mine: str) -> tuple[Line, ...]:
    """Both texts line by line: what stands in one alone, with two lines around it, and whether it stood so when I began."""
    before, other, own = base.splitlines(), theirs.splitlines(), mine.splitlines()
    old_other, old_own = _unchanged(before, other), _unchanged(before, own)
    found: list[Line] = []
    for group in difflib.SequenceMatcher(None, other, own, autojunk=False).get_grouped_opcodes(_AROUND):
        found.append(Line("gap", ""))
        for tag, first, last, own_first, own_last in group:
            if tag == "equal":
                found += [Line("", text) for text in other[first:last]]
                continue
            found += [Line("theirs", other[at], old=at in old_other) for at in range(first, last)]
            found += [Line("mine", own[at], old=at in old_own) for at in range(own_first, own_last)]
    return tuple(found[1:])


def _unchanged(before: Sequence[str], after: Sequence[str]) -> frozenset[int]:
    """Lines of the later text that were there before."""
    blocks = difflib.SequenceMatcher(None, before, after, autojunk=False).get_matching_blocks()
    return frozenset(at for block in blocks for at in range(block.b, block.b + block.size))


def told_steps(steps: Sequence[Step], shown: Form) -> list[tuple[str, str, str, str]]:
    """Each change as (how, what, theirs, mine), in the form's words."""
    labels = {
        field.path: f"{group.title}: {field.label}" for section in shown.sections for group in section.groups for field in group.fields
    }
    labels |= {section.id: section.title for section in shown.sections}
    labels |= {f"{section.id}.part": f"{section.title}: its parts" for section in shown.sections}
    return [(step.how, labels.get(step.path, step.path), step.theirs, step.mine) for step in steps]


# --- before there is one -------------------------------------------------------------


def start_page(desk: Desk, filled: Mapping[str, str], error: InputError | None = None) -> Response:
    """What has to be known before there is a form."""
    about = fields_in("station")["fuel"]
    shown = form_of({}, desk.region, "")
    fuels = next(field for field in _fields(shown) if field.path == f"station.{about.name}").options
    return desk.page(
        "edit_start.html.j2", "A new station", status=400 if error else 200, filled=filled, error=error,
        where=error.where.rpartition(", ")[2] if error else "",
        fuels=[option for option in fuels if option.value], attachments=[(word, capital(word)) for word in _ATTACHMENTS],
    )  # fmt: skip
