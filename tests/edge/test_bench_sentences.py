"""Sentences that an operator reads at the bench: one word for one thing, short, plain enough. Thresholds: docs/decisions/0077."""

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from steadycone.data import reader

DATA = Path(reader.FOLDER)
OPERATOR = [
    path
    for path in sorted(
        [*(DATA / "procedures").glob("*.toml"), DATA / "rounds.toml", DATA / "emergency.toml", DATA / "triage" / "actions.toml"]
    )
    if not path.name.startswith(("bench-", "habits", "rules", "procedures"))
]
EVERYBODY = [*OPERATOR, *sorted((DATA / "whatif").glob("*.toml")), *sorted((DATA / "drills").glob("*.toml")), DATA / "findings.toml"]
LONGEST = 25  # words of one sentence that asks for a movement of the hands
HARDEST = 5.0  # school grade of all that one file asks for together: age ten

# Words of the trade that everybody at the bench has in the mouth: counted as one syllable.
TRADE = {
    "acetylene", "arrestor", "attachment", "blowpipe", "container", "cylinder", "diaphragm", "extinguisher", "fluid", "gauge", "heating",
    "hydrogen", "injector", "inlet", "lever", "lighter", "manifold", "needle", "nitrogen", "nozzle", "outlet", "oxygen", "permit", "pressure",
    "quarantine", "regulator", "spanner", "spindle", "supplier", "technician",
}  # fmt: skip


def strings(value: Any, key: str = "") -> Iterator[tuple[str, str]]:
    """Every text of a table with the key it stands under."""
    if isinstance(value, str):
        yield key, value
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield from strings(inner, name)
    elif isinstance(value, list):
        for inner in value:
            yield from strings(inner, key)


def table(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


def sentences(text: str) -> list[str]:
    return [each for each in re.split(r"(?<=[.!?])\s+", text) if each.strip()]


def words(text: str) -> list[str]:
    return re.findall(r"[a-z][a-z'-]*", re.sub(r"\{(\w+)\}", lambda blank: blank[1].replace("_", " "), text).lower())


def syllables(word: str) -> int:
    if word in TRADE or word.rstrip("s") in TRADE:
        return 1
    return max(1, len(re.findall(r"[aeiouy]+", re.sub(r"(?<=[^aeiouyl])e$|(?<=[^aeiouytd])ed$", "", word))))


def grade(texts: list[str]) -> float:
    """School grade of some texts by the formula of Flesch and Kincaid (1975), from memory."""
    all_words = [word for text in texts for word in words(text)]
    count = sum(len(sentences(text)) for text in texts)
    return 0.39 * len(all_words) / count + 11.8 * sum(map(syllables, all_words)) / len(all_words) - 15.59


LEAKS = re.compile(r"\b(valves?|seat|lever)\b[^.:;,]{0,25}\bpass(es|ing|ed)?\b|\bpass(es|ing)? (when shut|back)\b", re.IGNORECASE)
FLOWS = re.compile(r"What \{count\} of its arrestors and valves pass")  # what they let through: a flow, and no leak


@pytest.mark.parametrize("path", EVERYBODY, ids=lambda path: path.stem)
def test_passes_never_means_that_something_leaks(path: Path) -> None:
    assert [text for _, text in strings(table(path)) if LEAKS.search(FLOWS.sub("", text))] == []


def test_the_word_is_found_where_it_would_mean_a_leak() -> None:
    for text in ("The needle rises: the seat passes.", "a supply valve that passes", "No label, passes when shut, oil.", "gas passes back"):
        assert LEAKS.search(text)
    assert not LEAKS.search("The seat leaks through.")


@pytest.mark.parametrize("path", OPERATOR, ids=lambda path: path.stem)
def test_what_the_hands_are_asked_to_do_is_said_in_short_sentences(path: Path) -> None:
    asked = [text for key, text in strings(table(path)) if key == "do"]
    assert [each for text in asked for each in sentences(text) if len(words(each)) > LONGEST] == []


@pytest.mark.parametrize("path", OPERATOR, ids=lambda path: path.stem)
def test_what_the_hands_are_asked_to_do_reads_at_a_low_grade(path: Path) -> None:
    asked = [text for key, text in strings(table(path)) if key == "do"]
    if asked:
        assert grade(asked) <= HARDEST


def test_the_measure_tells_plain_from_hard() -> None:
    assert grade(["Shut the valve. Leave it."]) < 3
    assert (
        grade(["Subsequent to the completion of the verification, authorised personnel are to commence depressurisation operations."]) > 15
    )
