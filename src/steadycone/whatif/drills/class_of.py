"""A class: a sheet of its own for each trainee, and who passed."""

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass

from steadycone.card.card import Card
from steadycone.errors import InputError, OutOfRange
from steadycone.whatif.drills.make import make_drill
from steadycone.whatif.drills.mark import mark, total
from steadycone.whatif.drills.model import Drill, Mark

MOST, LONGEST = 100, 80  # trainees; characters of a name
FORMAT = "steadycone-class/1"
PASS_MARK = 80  # per cent; Source class-pass-judged


@dataclass(frozen=True, slots=True)
class Trainee:
    """seed : of the sheet. sheet : what was asked, as a hash, so that it is not marked by other questions."""

    name: str
    seed: int
    sheet: str = ""


@dataclass(frozen=True, slots=True)
class ClassOf:
    """on : the day of the cards, in ISO. pass_mark : per cent of the points. sitting : 1, then 2 for those who sit again."""

    format: str
    drill: str
    station: str
    on: str
    questions: int
    seed: int
    pass_mark: int
    sitting: int
    trainees: tuple[Trainee, ...]


@dataclass(frozen=True, slots=True)
class Result:
    """marks : None where no answers came in."""

    trainee: Trainee
    marks: tuple[Mark, ...] | None
    of: int
    pass_mark: int

    @property
    def points(self) -> float:
        return total(self.marks) if self.marks else 0.0

    @property
    def passed(self) -> bool:
        return self.marks is not None and 100.0 * self.points >= self.pass_mark * self.of - 1e-9


def seed_of(seed: int, name: str, sitting: int) -> int:
    """A trainee's own seed, six digits: the same for the same class seed, name and sitting, whoever else is in the class."""
    told = f"{seed}:{' '.join(name.casefold().split())}:{sitting}"
    return 100_000 + int(hashlib.sha256(told.encode()).hexdigest(), 16) % 900_000


def read_names(text: str) -> tuple[str, ...]:
    """One name a line; empty lines, lines that begin with # and a first line "name" are passed over.

    Raises  InputError: nobody, too many, a name twice, or one that is none.
    """
    lines = [" ".join(line.split()) for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    names = [line.strip('"') for line in (lines[1:] if lines and lines[0].casefold() == "name" else lines)]
    if not 1 <= len(names) <= MOST:
        raise OutOfRange(f"{len(names)} names", where="names", try_=f"Write 1 to {MOST}, one a line.")
    seen: set[str] = set()
    for name in names:
        if len(name) > LONGEST or sum(letter.isalpha() for letter in name) < 2 or "," in name:
            raise InputError(f'"{name[:60]}" is no name', where="names", try_="One name a line, two letters or more, without a comma.")
        if name.casefold() in seen:
            raise InputError(f"{name} stands there twice", where="names", try_="Write something that tells the two apart.")
        seen.add(name.casefold())
    return tuple(names)


def make_class(
    names: tuple[str, ...], drill: str, card: Card, station: str, seed: int, questions: int, pass_mark: int, sitting: int
) -> tuple[ClassOf, tuple[Drill, ...]]:
    """A class and its sheets, trainee by trainee.

    Raises  UnknownName: no such drill. InputError: two trainees would get the same sheet.
    """
    seeds = [seed_of(seed, name, sitting) for name in names]
    if len(set(seeds)) < len(seeds):
        raise InputError("two trainees would get the same sheet", where="--seed", try_="Take another seed.")
    drills = tuple(make_drill(drill, card, each, questions) for each in seeds)
    trainees = tuple(Trainee(name, made.seed, sheet_hash(made)) for name, made in zip(names, drills, strict=True))
    on = card.figures.on.isoformat()
    return ClassOf(FORMAT, drills[0].name, station, on, questions, seed, pass_mark, sitting, trainees), drills


def sheet_hash(drill: Drill) -> str:
    """Of what a sheet asks and accepts."""
    told = [
        [question.asks.template, {name: str(value) for name, value in sorted(question.asks.blanks.items())},
         [(option.letter, option.says.template) for option in question.options], [accepted.answer for accepted in question.accepted]]
        for question in drill.questions
    ]  # fmt: skip
    return hashlib.sha256(json.dumps(told, ensure_ascii=False).encode()).hexdigest()


def mark_class(found: ClassOf, card: Card, answers: Mapping[str, Mapping[int, str]]) -> tuple[Result, ...]:
    """Everybody's result, in the class's order. answers : by name.

    Raises  InputError: answers of somebody who is not in the class, or a sheet that can't be made again as it was handed out.
    """
    by_name = {name.casefold(): given for name, given in answers.items()}
    known = {trainee.name.casefold() for trainee in found.trainees}
    if strange := sorted(set(by_name) - known):
        raise InputError(f'"{strange[0][:60]}" is not in this class', where="answers", try_="Write the name as it stands on the sheet.")
    return tuple(_result(found, trainee, card, by_name.get(trainee.name.casefold())) for trainee in found.trainees)


def _result(found: ClassOf, trainee: Trainee, card: Card, given: Mapping[int, str] | None) -> Result:
    if given is None:
        return Result(trainee, None, found.questions, found.pass_mark)
    drill = make_drill(found.drill, card, trainee.seed, found.questions)
    if sheet_hash(drill) != trainee.sheet:
        raise InputError(
            f"the sheet of {trainee.name} can't be made again as it was handed out", where="class",
            try_="The station's file, its policy or the program has changed since. Mark it by the printed answer sheet.",
        )  # fmt: skip
    return Result(trainee, mark(drill, given), found.questions, found.pass_mark)


def again(found: ClassOf, results: tuple[Result, ...]) -> tuple[str, ...]:
    """Those who sit again: not passed, or without answers."""
    return tuple(result.trainee.name for result in results if not result.passed)


def file_name(place: int, trainee: Trainee) -> str:
    """Such as "03-ana-ruiz": for the sheets' file names."""
    plain = re.sub(r"[^a-z0-9]+", "-", trainee.name.casefold()).strip("-")[:40]
    return f"{place:02d}-{plain}".rstrip("-")


__all__ = ["FORMAT", "PASS_MARK", "ClassOf", "Result", "Trainee", "again", "file_name", "make_class", "mark_class", "read_names"]
