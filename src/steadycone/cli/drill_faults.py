"""`steadycone drill faults`: faults that an instructor sets on a station, the sheets for it, and the marks of who went round it."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steadycone.cli.card import FILE, day, json_option, on_option
from steadycone.cli.demo import STATION
from steadycone.cli.desk import by_option, site_option, store_option
from steadycone.cli.write import check_target, write_whole
from steadycone.errors import InputError

if TYPE_CHECKING:
    from steadycone.procedures.rounds import AnswersFile, Plan
    from steadycone.whatif.drills.faults import FaultDrill, FaultMarks

_LONGEST = 200  # characters of what the records keep of a sheet
_HELP = "Planted faults: the instructor sets them, the trainee goes round, and what was missed is told with why it mattered."
_EPILOG = "Example: steadycone drill faults slip-2.toml --seed 4 --count 5 --pdf trainee.pdf --secret-pdf instructor.pdf"


@click.command("faults", help=_HELP, epilog=_EPILOG)
@click.argument("station", required=False, type=FILE)
@on_option
@click.option("--list", "as_list", is_flag=True, help="The faults that can be set on this station, and where.")
@click.option(
    "--plant", "names", multiple=True, metavar="FAULT[@PLACE]", help="Set this one; give it again for more. Left out: some at random."
)
@click.option("--seed", type=click.IntRange(0, 2**53), default=1, show_default=True, help="Which of them, and where.")
@click.option("--count", type=click.IntRange(1, 12), default=5, show_default=True, help="How many, at random.")
@click.option("--secret", is_flag=True, help="Show the instructor's sheet instead of the trainee's.")
@click.option("--pdf", type=FILE, metavar="FILE", help="Write the trainee's sheet to this file.")
@click.option("--secret-pdf", type=FILE, metavar="FILE", help="Write the instructor's sheet to this file.")
@click.option("--found", type=FILE, metavar="FILE", help='Mark what a trainee wrote, one line a place: "7: no date"; - for standard input.')
@click.option("--answers", type=FILE, metavar="FILE", help="Mark the answers file of a round that the trainee went.")
@click.option("--marks-pdf", type=FILE, metavar="FILE", help="Write the marks to this file.")
@click.option("--name", default="", metavar="NAME", help="The trainee's, for the marks.")
@click.option("--record", is_flag=True, help="Put the result into the records, as training.")
@store_option
@site_option
@by_option
@json_option
def faults_command(
    station: Path | None, on: str | None, as_list: bool, names: tuple[str, ...], seed: int, count: int, secret: bool, pdf: Path | None,
    secret_pdf: Path | None, found: Path | None, answers: Path | None, marks_pdf: Path | None, name: str, record: bool, store: str | None,
    site: str | None, by: str | None, as_json: bool,
) -> None:  # fmt: skip
    from steadycone.whatif.drills.faults import plant

    for target in (pdf, secret_pdf, marks_pdf):
        if target:
            check_target(target)
    if found and answers:
        raise InputError("--found and --answers together", where="drill faults", try_="Give one of them.")
    if marks_pdf and not (found or answers):
        raise InputError("--marks-pdf without anything to mark", where="drill faults", try_="Give --found FILE or --answers FILE.")
    if record and not (name.strip() and (found or answers)):
        raise InputError(
            "--record without a name, or without anything to mark", where="drill faults", try_="Give --name NAME and --found FILE."
        )
    given = None
    if answers:
        from steadycone.cli.round import plan_with

        plan, given = plan_with(station or STATION, on, answers)
    else:
        plan = _plan(station or STATION, on)
    if as_list:
        _list(plan, as_json)
        return
    drill = plant(plan, names, seed, count)
    _papers(drill, pdf, secret_pdf)
    if found or given:
        marks = _from_list(drill, found) if found else _from_round(drill, given)
        _marked(marks, marks_pdf, name, as_json)
        if record:
            _record(marks, name, store, site, by)
    else:
        _shown(drill, secret, as_json)


def _plan(station: Path, on: str | None) -> "Plan":
    from steadycone.card.make import make_card
    from steadycone.files.read import read_setup
    from steadycone.procedures.rounds import make_plan

    text = sys.stdin.read() if str(station) == "-" else None
    return make_plan(make_card(read_setup(station, text=text), day(on)), "")


def _papers(drill: "FaultDrill", pdf: Path | None, secret_pdf: Path | None) -> None:
    if not (pdf or secret_pdf):
        return
    from steadycone.render.drill_faults import secret_sheet, trainee_sheet
    from steadycone.render.teaching import sheet_pdf

    for target, make in ((pdf, trainee_sheet), (secret_pdf, secret_sheet)):
        if target:
            write_whole(target, sheet_pdf(make(drill)))


def _shown(drill: "FaultDrill", secret: bool, as_json: bool) -> None:
    from steadycone.render.drill_faults import faults_dict, secret_sheet, trainee_sheet
    from steadycone.render.teaching import sheet_text

    if as_json:
        _json(faults_dict(drill, secret))
    else:
        sys.stdout.write(sheet_text(secret_sheet(drill) if secret else trainee_sheet(drill)))


def _marked(marks: "FaultMarks", pdf: Path | None, name: str, as_json: bool) -> None:
    from steadycone.render.drill_faults import fault_marks_dict, marks_sheet
    from steadycone.render.teaching import sheet_pdf, sheet_text

    if pdf:
        write_whole(pdf, sheet_pdf(marks_sheet(marks, name)))
    if as_json:
        _json(fault_marks_dict(marks))
    else:
        sys.stdout.write(sheet_text(marks_sheet(marks, name)))


def _record(marks: "FaultMarks", name: str, store: str | None, site: str | None, by: str | None) -> None:
    """Raises  InputError: the round reached no fault, so there is nothing to record."""
    from steadycone.cli.training import record_training
    from steadycone.records.events import Trained
    from steadycone.whatif.drills.faults import share

    if not marks.of:
        raise InputError("no fault was reached, so there is no result", where="--record", try_="Let the trainee go on with the round.")
    drill = marks.drill
    figures = drill.plan.judged.figures
    told = ", ".join(f"{each.fault} at {each.spot.step.id}" for each in drill.planted)
    sheet = f"{Path(figures.setup.file).name[:60]}, {figures.on.isoformat()}, {told}"
    body = Trained(
        person=name, drill="planted faults", points=f"{marks.points:g}", of=marks.of, pass_mark=f"{100 * share('pass_share'):.0f} %",
        passed=marks.passed, sheet=sheet if len(sheet) <= _LONGEST else sheet[: _LONGEST - 1] + "…",
    )  # fmt: skip
    record_training([body], store, site, by)


def _from_list(drill: "FaultDrill", found: Path) -> "FaultMarks":
    from steadycone.cli.answer_sheet import read_sheet
    from steadycone.whatif.drills.faults import mark_found
    from steadycone.whatif.drills.mark import read_answers

    return mark_found(drill, read_answers(read_sheet(found)))


def _from_round(drill: "FaultDrill", given: "AnswersFile | None") -> "FaultMarks":
    """Raises  InputError: an answer that can't be, or of another station."""
    from steadycone.procedures.rounds import fold_file
    from steadycone.whatif.drills.faults import mark_round

    assert given is not None
    folded = fold_file(drill.plan, given)
    if folded.problem is not None:
        raise folded.problem
    return mark_round(drill, folded.round)


def _list(plan: "Plan", as_json: bool) -> None:
    from steadycone.data.reader import toml
    from steadycone.render.round_words import RoundWords
    from steadycone.whatif.drills.faults import TABLE, catalogue

    words, table = RoundWords(plan), toml(TABLE)["fault"]
    if as_json:
        _json({name: [step.id for step in steps] for name, steps in catalogue(plan).items()})
        return
    for name, steps in catalogue(plan).items():
        says = words.fill(table[name]["says"], {})
        sys.stdout.write(f"{name:<22}{says[0].upper()}{says[1:]}\n{'':<22}{', '.join(step.id for step in steps)}\n")


def _json(told: dict[str, object]) -> None:
    import json

    sys.stdout.write(json.dumps(told, ensure_ascii=False, allow_nan=False, indent=1) + "\n")
