"""`steadycone drill`: questions at random from a seed, a question sheet and an answer sheet, and the marking of answers."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steadycone.cli.answer_sheet import read_sheet
from steadycone.cli.card import FILE, day, json_option, on_option
from steadycone.cli.demo import STATION
from steadycone.cli.drill_class import class_command, mark_command
from steadycone.cli.drill_faults import faults_command
from steadycone.cli.write import check_target, write_whole

if TYPE_CHECKING:
    from steadycone.whatif.drills.model import Drill

_HELP = "Questions to drill: gauges, first-valve, order, situations, cylinders or mixed, on the station of a file, or on the demo's. The same seed, the same sheet. More: drill class and drill mark (a sheet for each of a class), drill faults (planted faults to find)."
_EPILOG = "Example: steadycone drill gauges slip-2.toml --seed 7 --questions 6 --pdf sheet.pdf --answers-pdf answers.pdf"


class _Drills(click.Group):
    """A group whose first word may be a drill's own name: it is then a sheet of that drill."""

    def parse_args(self, context: click.Context, args: list[str]) -> list[str]:
        return super().parse_args(context, args if args and args[0] in self.commands else ["sheet", *args])


@click.group("drill", cls=_Drills)
def drill_command() -> None: ...


for _command in (class_command, faults_command, mark_command):
    drill_command.add_command(_command)


@drill_command.command("sheet", help=_HELP, epilog=_EPILOG)
@click.argument("name", required=False)
@click.argument("station", required=False, type=FILE)
@on_option
@click.option("--seed", type=click.IntRange(0, 2**53), default=1, show_default=True, help="Which sheet: the same seed, the same questions.")
@click.option("--questions", type=click.IntRange(1, 50), default=6, show_default=True, help="How many.")
@click.option("--pdf", type=FILE, metavar="FILE", help="Write the question sheet to this file.")
@click.option("--answers-pdf", type=FILE, metavar="FILE", help="Write the answer sheet to this file.")
@click.option("--answers", "as_answers", is_flag=True, help="Show the answer sheet instead of the questions.")
@click.option(
    "--mark",
    "mark_file",
    type=FILE,
    metavar="FILE",
    help='Mark the answers of this file, one line a question: "2: C A B D"; - for standard input.',
)
@json_option
def sheet_command(
    name: str | None, station: Path | None, on: str | None, seed: int, questions: int, pdf: Path | None, answers_pdf: Path | None,
    as_answers: bool, mark_file: Path | None, as_json: bool,
) -> None:  # fmt: skip
    if name is None:
        _list()
        return
    for target in (pdf, answers_pdf):
        if target:
            check_target(target)
    drill = _made(name, station, on, seed, questions)
    if pdf or answers_pdf:
        from steadycone.render.drill_pdf import pdf_answers, pdf_drill

        results = [(target, make(drill)) for target, make in ((pdf, pdf_drill), (answers_pdf, pdf_answers)) if target]
        for target, data in results:
            write_whole(target, data)
    if mark_file is not None:
        _marked(drill, mark_file, as_json)
    elif as_json:
        from steadycone.render.drill import drill_dict

        _json(drill_dict(drill))
    else:
        from steadycone.render.drill import answers_text, drill_text

        sys.stdout.write(answers_text(drill) if as_answers else drill_text(drill))


def _made(name: str, station: Path | None, on: str | None, seed: int, questions: int) -> "Drill":
    from steadycone.card.make import make_card
    from steadycone.files.read import read_setup
    from steadycone.whatif.drills.make import make_drill

    text = sys.stdin.read() if str(station) == "-" else None
    card = make_card(read_setup(station or STATION, text=text), day(on))
    return make_drill(name, card, seed, questions)


def _marked(drill: "Drill", file: Path, as_json: bool) -> None:
    from steadycone.render.drill import marks_dict, marks_text
    from steadycone.whatif.drills.mark import mark, read_answers

    marks = mark(drill, read_answers(read_sheet(file)))
    if as_json:
        _json(marks_dict(drill, marks))
    else:
        sys.stdout.write(marks_text(drill, marks))


def _json(told: dict[str, object]) -> None:
    import json

    sys.stdout.write(json.dumps(told, ensure_ascii=False, allow_nan=False, indent=1) + "\n")


def _list() -> None:
    from steadycone.data.reader import toml
    from steadycone.whatif.drills.make import names

    for name in names():
        title = toml("drills.toml")["mixed_title"] if name == "mixed" else toml(f"drills/{name}.toml")["title"]
        sys.stdout.write(f"{name:<16}{title}\n")
