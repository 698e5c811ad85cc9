"""One step of a procedure."""

from dataclasses import dataclass

from steadycone.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Step:
    """One step chosen from data/procedures, its numbers filled. `do`, `why` and `stop` are templates: words and units are the renderer's."""

    id: str
    phase: str
    do: str
    why: str
    evidence: str  # tick, reading or timed
    numbers: dict[str, Quantity]
    variant: str | None  # such as "lighting=fuel-first"
    source: tuple[str, ...]
    stop: str = ""  # when not to go on; empty = nothing of its own
