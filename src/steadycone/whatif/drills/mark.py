"""Marking: each answer with its points and the reason."""

import re
from collections.abc import Iterator, Mapping

from steadycone.data.reader import toml
from steadycone.errors import InputError
from steadycone.whatif.drills.model import Accepted, Drill, Mark, Question, Text

_LINE = re.compile(r"\s*(\d+)\s*[:.)=\s]\s*(.*?)\s*")
_MOST_LINES = 500


def read_answers(text: str) -> dict[int, str]:
    """Answers by question number from lines such as "2: C A B D"; empty lines and lines that begin with # are passed over.

    Raises
    ------
    InputError : a line that is no answer, or a question answered twice.
    """
    found: dict[int, str] = {}
    lines = text.splitlines()
    if len(lines) > _MOST_LINES:
        raise InputError(f"{len(lines)} lines are no answer sheet", where="answers", try_='One line a question: "1: B".')
    for count, line in enumerate(lines, start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        match = _LINE.fullmatch(line)
        if match is None:
            raise InputError(f'"{line.strip()[:60]}" is no answer', where=f"answers, line {count}", try_='Write for example "1: B".')
        number = int(match[1])
        if number in found:
            raise InputError(f"question {number} is answered twice", where=f"answers, line {count}", try_="Keep one of the two lines.")
        found[number] = match[2]
    return found


def mark(drill: Drill, answers: Mapping[int, str]) -> tuple[Mark, ...]:
    """Every question marked, those without an answer with nothing.

    Raises
    ------
    InputError : an answer to a question that is not there.
    """
    if strange := sorted(set(answers) - set(range(1, len(drill.questions) + 1))):
        raise InputError(f"there is no question {strange[0]}", where="answers", try_=f"This sheet has {len(drill.questions)} questions.")
    return tuple(_marked(number, question, answers.get(number, "")) for number, question in enumerate(drill.questions, start=1))


def given_of(question: Question, text: str) -> tuple[str, ...]:
    """An answer as it is understood: letters one by one, or a number; () for none."""
    if question.kind == "number":
        digits = re.findall(r"\d+", text)
        return (str(int(digits[0])),) if digits else ()
    known = {option.letter for option in question.options}
    return tuple(letter for letter in text.upper() if letter in known)


def _marked(number: int, question: Question, text: str) -> Mark:
    given = given_of(question, text)
    best = question.accepted[0]
    for accepted in question.accepted:
        if given == accepted.answer:
            return Mark(number, given, accepted.credit, accepted.reason, best.answer, accepted.sources)
    return Mark(number, given, 0.0, _why_not(question, given), best.answer, best.sources)


def _why_not(question: Question, given: tuple[str, ...]) -> Text:
    words, best = toml("drills.toml")["mark"], question.accepted[0]
    if not given:
        return Text(words["nothing"])
    if question.kind == "choice":
        return _joined(question.wrong.get(given[0]), best) if len(given) == 1 else Text(words["one"])
    if question.kind == "order":
        if sorted(given) != sorted(best.answer):
            return Text(words["all"])
        nearest = max(question.accepted, key=lambda accepted: _agree(given, accepted.answer))
        at = next(k for k, (own, right) in enumerate(zip(given, nearest.answer, strict=True)) if own != right)
        told = Text(words["place"], {"place": str(at + 1), "letter": nearest.answer[at]})
        why = question.wrong.get(nearest.answer[at])
        return told if why is None else Text(f"{told.template} {why.template}", {**told.blanks, **why.blanks})
    return best.reason


def _agree(given: tuple[str, ...], right: tuple[str, ...]) -> int:
    """Places from the start that agree."""
    return next((k for k, (own, other) in enumerate(zip(given, right, strict=True)) if own != other), len(given))


def _joined(wrong: Text | None, best: Accepted) -> Text:
    if wrong is None:
        return best.reason
    return Text(f"{wrong.template} {best.reason.template}", {**wrong.blanks, **best.reason.blanks})


def total(marks: tuple[Mark, ...]) -> float:
    """Points of all."""
    return sum(one.points for one in marks)


def sources(drill: Drill) -> Iterator[str]:
    """Every source that an accepted answer rests on, once."""
    yield from dict.fromkeys(key for question in drill.questions for accepted in question.accepted for key in accepted.sources)
