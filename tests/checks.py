"""One call an outside check: it asserts, and it leaves a row for docs/validation.md.

`make validation` runs the outside checks with STEADYCONE_CHECKS set and writes the page from the rows.
Each row says what it can show, by its kind; a row that calls no product code is no check and has no place here.
"""

import json
import os

import pytest

PRINTED = "printed and worked"  # a figure in print that the product works out by its own road
ANOTHER = "another method"  # another formula, solver or library that our tables do not come from
COPIED = "transcription"  # a constant copied back, or our own sum done once more
FITTED = "fit of a table"  # our table against the library or data that it was made from
KINDS = (PRINTED, ANOTHER, COPIED, FITTED)

_seen: set[str] = set()


def check(
    name: str,
    *,
    kind: str,
    got: float,
    expected: float,
    unit: str,
    source: str,
    why: str,
    rel: float | None = None,
    abs: float | None = None,
) -> None:
    """Assert got is expected within rel or abs, and record the row under its kind."""
    assert (rel is None) != (abs is None), "state one tolerance, rel or abs"
    assert kind in KINDS, f"no such kind of check: {kind}"
    assert name not in _seen, f"check name used twice: {name}"
    _seen.add(name)
    if target := os.environ.get("STEADYCONE_CHECKS"):
        row = {
            "name": name,
            "kind": kind,
            "got": float(got),
            "expected": float(expected),
            "unit": unit,
            "source": source,
            "why": why,
            "rel": rel,
            "abs": abs,
        }
        with open(target, "a", encoding="utf-8") as file:
            file.write(json.dumps(row) + "\n")
    tolerance = {"rel": rel, "abs": 0.0} if rel is not None else {"rel": 0.0, "abs": abs}
    assert got == pytest.approx(expected, **tolerance), f"{name}: got {got}, expected {expected} {unit} ({source})"
