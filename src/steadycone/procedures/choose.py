"""The steps of one setup: those whose conditions hold and whose variant the policy chose, with their numbers."""

from collections.abc import Iterator
from typing import Any

from steadycone.assembly.figures import Figures
from steadycone.data.reader import toml
from steadycone.errors import UnknownName, nearest
from steadycone.procedures.conditions import hold
from steadycone.procedures.numbers import number as number  # read by others from here
from steadycone.procedures.step import Step
from steadycone.procedures.variants import chosen

_INDEX = "procedures/procedures.toml"
_EXCERPTS = ("card", "back")  # lists for the set-up card that are no procedure of their own


def procedures() -> tuple[str, ...]:
    """Names of the procedures, in their order."""
    return tuple(name for name in toml(_INDEX) if name not in _EXCERPTS)


def title(procedure: str) -> str:
    """What a procedure is called. Raises UnknownName."""
    return str(_entry(procedure)["title"])


def steps(figures: Figures, procedure: str = "setup") -> tuple[Step, ...]:
    """Steps in order, still as templates. `procedure`: a name of `procedures()`, "card" for the card's short list, or "back" for its back side.

    Raises  UnknownName.
    """
    return tuple(step for part in _entry(procedure)["order"] for step in _of(figures, part))


def _entry(procedure: str) -> dict[str, Any]:
    index = toml(_INDEX)
    if procedure not in index:
        raise UnknownName(f'"{procedure[:60]}" is not a procedure', where="procedure", try_=nearest(procedure, procedures()))
    entry: dict[str, Any] = index[procedure]
    return entry


def _of(figures: Figures, part: str | dict[str, Any]) -> Iterator[Step]:
    """The steps of one entry of an order: a file, or some steps of it."""
    entry: dict[str, Any] = {"steps": part} if isinstance(part, str) else part
    if not (_is_chosen(figures, entry.get("variant")) and hold(entry.get("when", []), figures)):
        return
    file, _, names = entry["steps"].partition("#")
    for step in toml(f"procedures/{file}.toml")["step"]:
        wanted = not names or step["id"] in names.split(",")
        if wanted and hold(step.get("when", []), figures) and _is_chosen(figures, step.get("variant")):
            yield _step(figures, step, entry)


def led(figures: Figures, step: dict[str, Any]) -> str:
    """What a step of a table asks, with what has to be said before it here, such as where to stand."""
    return " ".join([*(lead["says"] for lead in step.get("before", []) if hold(lead["when"], figures)), step["do"]])


def _is_chosen(figures: Figures, variant: str | None) -> bool:
    kind, _, choice = (variant or "").partition("=")
    return not kind or chosen(figures.setup.policy, kind).name == choice


def _step(figures: Figures, step: dict[str, Any], entry: dict[str, Any]) -> Step:
    notes = [note for note in step.get("note", []) if hold(note["when"], figures)]
    paths = dict(step.get("numbers", {}))
    source = list(step["source"])
    for note in notes:
        paths |= note.get("numbers", {})
        source += [key for key in note["source"] if key not in source]
    variant = step.get("variant") or entry.get("variant")
    do = led(figures, step)
    for blank, kind in step.get("texts", {}).items():
        choice = chosen(figures.setup.policy, kind)
        do, variant = do.replace(f"{{{blank}}}", choice.short), f"{kind}={choice.name}"
        source += [key for key in choice.source if key not in source]
    return Step(
        id=step["id"] + entry.get("suffix", ""),
        phase=step["phase"],
        do=do,
        why=" ".join([step["why"], *(note["says"] for note in notes)]),
        evidence=step["evidence"],
        numbers={name: number(figures, path) for name, path in paths.items()},
        variant=variant,
        source=tuple(source),
        stop=step.get("stop", ""),
    )
