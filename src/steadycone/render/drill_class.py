"""The results of a class as a sheet, a table and JSON."""

import csv
import io
from typing import Any

from steadycone.render.numbers import Numbers
from steadycone.render.teaching import Row, Sheet
from steadycone.render.words import Words
from steadycone.whatif.drills.class_of import ClassOf, Result

FORMAT = "steadycone-class-results/1"
_PASSED = {True: "PASSED", False: "NOT PASSED"}


def results_sheet(found: ClassOf, results: tuple[Result, ...], region: str, station: str) -> Sheet:
    """One row a trainee: points, what was lost, passed or not."""
    numbers = Words.of(region).numbers
    passed = sum(result.passed for result in results)
    return Sheet(
        region, f"Drill: {found.drill}", f"RESULTS, SITTING {found.sitting}", station,
        f"{found.questions} questions each, {found.on}. Passed with {found.pass_mark}\u00a0% of the points.",
        tuple(_row(place, result, numbers) for place, result in enumerate(results, 1)), fields=("Instructor", "Date", "Signed"),
        result=f"{passed} of {len(results)} passed.", sources=("class-pass-judged",),
    )  # fmt: skip


def _row(place: int, result: Result, numbers: Numbers) -> Row:
    if result.marks is None:
        return Row(str(place), result.trainee.name, "NO ANSWERS", (("", f"Sheet {result.trainee.seed}."),))
    lost = [str(mark.number) for mark in result.marks if mark.points < 1.0]
    told = f"{_points(result.points, numbers)} of {result.of} points. Sheet {result.trainee.seed}."
    if lost:
        told += f" Look again at question{'s' if len(lost) > 1 else ''} {', '.join(lost)}."
    return Row(str(place), result.trainee.name, _PASSED[result.passed], (("", told),))


def _points(points: float, numbers: Numbers) -> str:
    return numbers.text(points, 0 if points == int(points) else 1)


def results_csv(results: tuple[Result, ...]) -> str:
    """A table for a spreadsheet; empty where no answers came in."""
    told = io.StringIO()
    writer = csv.writer(told, lineterminator="\n")
    writer.writerow(("name", "points", "of", "passed", "sheet"))
    for result in results:
        marked = result.marks is not None
        name = result.trainee.name
        # a spreadsheet must not take a name for a sum
        safe = f"'{name}" if name[0] in "=+-@" else name
        writer.writerow(
            (
                safe,
                f"{result.points:g}" if marked else "",
                result.of,
                ("yes" if result.passed else "no") if marked else "",
                result.trainee.seed,
            )
        )
    return told.getvalue()


def results_dict(found: ClassOf, results: tuple[Result, ...]) -> dict[str, Any]:
    """The results as JSON."""
    return {
        "format": FORMAT,
        "drill": found.drill,
        "on": found.on,
        "sitting": found.sitting,
        "pass_mark": found.pass_mark,
        "results": [
            {
                "name": result.trainee.name,
                "seed": result.trainee.seed,
                "points": result.points if result.marks is not None else None,
                "of": result.of,
                "passed": result.passed,
                "lost": [mark.number for mark in result.marks or () if mark.points < 1.0],
            }
            for result in results
        ],
    }
