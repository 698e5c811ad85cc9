"""`steadycone drill class` and `drill mark`: a sheet each for a class, the marking of all of them, and the results in the records."""

import csv
import io
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steadycone.cli.answer_sheet import read_sheet
from steadycone.cli.card import FILE, day, json_option, on_option
from steadycone.cli.demo import STATION
from steadycone.cli.desk import by_option, site_option, store_option
from steadycone.cli.write import check_target, write_whole
from steadycone.errors import BadFile, InputError

if TYPE_CHECKING:
    from steadycone.card.card import Card
    from steadycone.whatif.drills.class_of import ClassOf, Result

CLASS, ANSWERS = "class.json", "answers.csv"
FOLDER = click.Path(path_type=Path, file_okay=False)


@click.command("class", help="A sheet of its own for each trainee: question and answer sheets, a list for the answers, all in one folder.", epilog="Example: steadycone drill class names.txt mixed slip-2.toml --seed 7 --questions 10 --to monday")  # fmt: skip
@click.argument("names", type=FILE)
@click.argument("drill")
@click.argument("station", required=False, type=FILE)
@on_option
@click.option("--to", "folder", required=True, type=FOLDER, metavar="FOLDER", help="Where all is written; a new folder.")
@click.option(
    "--seed", type=click.IntRange(0, 2**53), default=1, show_default=True, help="Of the class; each trainee gets one made from it."
)
@click.option("--questions", type=click.IntRange(1, 50), default=10, show_default=True, help="How many each.")
@click.option("--pass-mark", type=click.IntRange(1, 100), default=80, show_default=True, help="Per cent of the points.")
@click.option(
    "--sitting", type=click.IntRange(1, 20), default=1, show_default=True, help="2 for a resit: other questions for the same names."
)
def class_command(
    names: Path, drill: str, station: Path | None, on: str | None, folder: Path, seed: int, questions: int, pass_mark: int, sitting: int
) -> None:
    from steadycone.whatif.drills.class_of import make_class, read_names

    _check_folder(folder)
    file = station or STATION
    found, drills = make_class(
        read_names(read_sheet(names)), drill, _card(file, day(on)), str(file.resolve()), seed, questions, pass_mark, sitting
    )
    _write(folder, found, drills)
    sys.stdout.write(f"{len(drills)} sheets in {folder}. Write the answers into {folder / ANSWERS}, then: steadycone drill mark {folder}\n")


@click.command("mark", help="Mark a class: the answers of its folder, who passed, a resit for the others, and all of it into the records.", epilog="Example: steadycone drill mark monday --pdf results.pdf --resit tuesday --record --by NAME")  # fmt: skip
@click.argument("folder", type=FOLDER)
@click.option("--answers", type=FILE, metavar="FILE", help=f"A CSV of name and answers; {ANSWERS} of the folder if left out.")
@click.option("--station", type=FILE, metavar="FILE", help="The station's file, where it has moved.")
@click.option("--pdf", type=FILE, metavar="FILE", help="Write the results to this file.")
@click.option("--csv", "csv_file", type=FILE, metavar="FILE", help="Write them as a table.")
@click.option("--resit", type=FOLDER, metavar="FOLDER", help="Write other sheets for those who have not passed; a new folder.")
@click.option("--record", is_flag=True, help="Put the results into the records, as training.")
@store_option
@site_option
@by_option
@json_option
def mark_command(
    folder: Path, answers: Path | None, station: Path | None, pdf: Path | None, csv_file: Path | None, resit: Path | None, record: bool,
    store: str | None, site: str | None, by: str | None, as_json: bool,
) -> None:  # fmt: skip
    from steadycone.render.drill_class import results_csv, results_dict, results_sheet
    from steadycone.render.teaching import sheet_pdf, sheet_text
    from steadycone.whatif.drills.class_of import mark_class

    for target in (pdf, csv_file):
        if target:
            check_target(target)
    if resit:
        _check_folder(resit)
    found = _read_class(folder / CLASS)
    card = _card(station or Path(found.station), date.fromisoformat(found.on))
    results = mark_class(found, card, read_answers_table(read_sheet(answers or folder / ANSWERS), found.questions))
    about = card.figures.setup.station.station
    sheet = results_sheet(found, results, about.region, about.name)
    if pdf:
        write_whole(pdf, sheet_pdf(sheet))
    if csv_file:
        write_whole(csv_file, results_csv(results).encode())
    if resit:
        _sit_again(resit, found, results, card, station)
    if record:
        _record(found, results, store, site, by)
    if as_json:
        _json(results_dict(found, results))
    else:
        sys.stdout.write(sheet_text(sheet))


def _card(station: Path, on: date) -> "Card":
    from steadycone.card.make import make_card
    from steadycone.files.read import read_setup

    return make_card(read_setup(station), on)


def _check_folder(folder: Path) -> None:
    """Raises  BadFile: something is there already."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise BadFile("there is something in it already", where=str(folder), try_="Name a new folder: no class is written over another.")


def _write(folder: Path, found: "ClassOf", drills: tuple["object", ...]) -> None:
    """Everything of a class, the class's own file last, so that a folder that has it is whole."""
    import msgspec

    from steadycone.render.drill_pdf import pdf_answers, pdf_drill
    from steadycone.whatif.drills.class_of import file_name
    from steadycone.whatif.drills.model import Drill

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadFile(f"can't be made: {error.strerror or error}", where=str(folder), try_="Check the name and your rights.") from error
    for place, (trainee, drill) in enumerate(zip(found.trainees, drills, strict=True), 1):
        assert isinstance(drill, Drill)
        name = file_name(place, trainee)
        write_whole(folder / f"sheet-{name}.pdf", pdf_drill(drill, trainee.name))
        write_whole(folder / f"answers-{name}.pdf", pdf_answers(drill, trainee.name))
    write_whole(folder / ANSWERS, _empty_table(found).encode())
    write_whole(folder / CLASS, msgspec.json.format(msgspec.json.encode(found), indent=1) + b"\n")


def _empty_table(found: "ClassOf") -> str:
    told = io.StringIO()
    writer = csv.writer(told, lineterminator="\n")
    writer.writerow(("name", *range(1, found.questions + 1)))
    writer.writerows((trainee.name, *[""] * found.questions) for trainee in found.trainees)
    return told.getvalue()


def read_answers_table(text: str, questions: int) -> dict[str, dict[int, str]]:
    """Answers by name from a CSV whose first row is name, 1, 2, 3 …; a row without any answer is nobody's.

    Raises  BadFile: no such table, or a name twice.
    """
    delimiter = ";" if text.partition("\n")[0].count(";") > text.partition("\n")[0].count(",") else ","
    rows = [
        [cell.strip() for cell in row] for row in csv.reader(io.StringIO(text), delimiter=delimiter) if any(cell.strip() for cell in row)
    ]
    wanted = ["name", *(str(number) for number in range(1, questions + 1))]
    if not rows or [cell.lower() for cell in rows[0]] != wanted:
        raise BadFile("the first row is not name, 1, 2, 3 …", where="answers", try_=f"Take the {ANSWERS} that was written with the class.")
    found: dict[str, dict[int, str]] = {}
    for place, row in enumerate(rows[1:], 2):
        if len(row) > len(wanted) or row[0].casefold() in {name.casefold() for name in found}:
            raise BadFile("more cells than questions, or a name twice", where=f"answers, row {place}", try_="One row a trainee.")
        given = {number: cell for number, cell in enumerate(row[1:], 1) if cell}
        if given:
            found[row[0]] = given
    return found


def _read_class(path: Path) -> "ClassOf":
    """Raises  BadFile."""
    import msgspec

    from steadycone.files.text import read_bytes
    from steadycone.whatif.drills.class_of import FORMAT, ClassOf

    try:
        found = msgspec.json.decode(read_bytes(path, 200_000, "class"), type=ClassOf)
        date.fromisoformat(found.on)
    except (msgspec.MsgspecError, ValueError) as error:
        if isinstance(error, InputError):
            raise
        raise BadFile("this is no class", where=str(path), try_="Name the folder that drill class wrote.") from error
    if found.format != FORMAT or not (1 <= found.questions <= 50 and 1 <= found.pass_mark <= 100):
        raise BadFile("this is no class of this program", where=str(path), try_="Name the folder that drill class wrote.")
    return found


def _sit_again(folder: Path, found: "ClassOf", results: tuple["Result", ...], card: "Card", station: Path | None) -> None:
    from steadycone.whatif.drills.class_of import again, make_class

    names = again(found, results)
    if not names:
        sys.stderr.write("Everybody passed: no resit was written.\n")
        return
    file = str(station.resolve()) if station else found.station
    _write(folder, *make_class(names, found.drill, card, file, found.seed, found.questions, found.pass_mark, found.sitting + 1))


def _record(found: "ClassOf", results: tuple["Result", ...], store: str | None, site: str | None, by: str | None) -> None:
    """All results in one go, those without answers left out; what is told of it goes to stderr."""
    from steadycone.cli.training import record_training
    from steadycone.records import events as e

    bodies = [
        e.Trained(
            person=result.trainee.name, drill=found.drill, points=f"{result.points:g}", of=result.of, pass_mark=f"{found.pass_mark} %",
            passed=result.passed, sitting=found.sitting,
            sheet=f"{Path(found.station).name[:100]}, {found.on}, seed {result.trainee.seed}",
        )
        for result in results
        if result.marks is not None
    ]  # fmt: skip
    if not bodies:
        raise InputError("no answers came in, so there is nothing to record", where="--record", try_=f"Fill in {ANSWERS} first.")
    record_training(bodies, store, site, by)


def _json(told: dict[str, object]) -> None:
    import json

    sys.stdout.write(json.dumps(told, ensure_ascii=False, allow_nan=False, indent=1) + "\n")
