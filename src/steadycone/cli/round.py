"""`steadycone round`: lead a person through proving a station, or fold an answers file, and report."""

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from steadycone.cli.card import FILE, day, html_option, json_option, on_option, pdf_option
from steadycone.cli.desk import site_option, store_option
from steadycone.cli.errors import BAD_INPUT, STOP, report
from steadycone.cli.round_talk import Begun, Clock, talk_with_person
from steadycone.cli.write import check_target, write_whole
from steadycone.errors import BadFile, InputError

if TYPE_CHECKING:
    from steadycone.card.card import Card
    from steadycone.procedures.rounds import AnswersFile, Folded, Plan, Round
    from steadycone.station.setup import Setup

clock = Clock()  # the one place where a round's time is read
_LIMIT = 2_000_000  # bytes of an answers file
_EPILOG = (
    "Example: steadycone round slip-2.toml. It saves after each answer and goes on where it was left. "
    "Exit code: 0 signed fit, 3 not signed, 2 bad input."
)


@click.command(
    "round", help="Prove a station: inspection, leak test, purge, lighting, sign-off; - reads it from standard input.", epilog=_EPILOG
)
@click.argument("station", type=FILE)
@click.option("--answers", type=FILE, metavar="FILE", help='Without a person: {"station": hash, "answers": [{"step", "value", "at"}]}.')
@click.option("--state", type=FILE, metavar="FILE", help="Where answers are kept; beside the station file if left out.")
@click.option("--new", is_flag=True, help="Begin a new round; the one kept before is put aside, not deleted.")
@click.option("--plan", "as_plan", is_flag=True, help="Write what would be asked, as JSON, and the hash that an answers file needs.")
@click.option("--text", "as_text", is_flag=True, help="Write the text report even of a round that was left half-way.")
@on_option
@json_option
@html_option
@pdf_option
@click.option("--record", is_flag=True, help="Put the finished round, and its sign-off, into the records.")
@store_option
@site_option
def round_command(
    station: Path, answers: Path | None, state: Path | None, new: bool, as_plan: bool, as_text: bool, on: str | None, as_json: bool,
    html: Path | None, pdf: Path | None, record: bool, store: str | None, site: str | None,
) -> int:  # fmt: skip
    for target in (html, pdf, state):
        if target:
            check_target(target)
    if as_text and as_json:
        raise InputError("--text and --json together", where="round", try_="stdout holds one of them; write the page with --html.")
    if str(station) == "-" and not as_plan and (answers is None or str(answers) == "-"):
        raise InputError("the station came from standard input, so nobody can answer there", where="round", try_="Give --answers FILE.")
    setup, files, papers = _read(station)
    if as_plan:
        return _plan(setup, files, day(on))
    kept = state or _beside(station)
    if answers is not None:
        found = _load(answers)
        made = _Made(setup, files, _on(on, found))
        folded = made.fold(found)
        if state:
            _save(state, folded.round, None)
        now = folded.round
    else:
        made, folded, now = _with_person(setup, files, on, kept, new, as_json)
    from steadycone.procedures.rounds import next_step, sign_off

    left = answers is None and next_step(now) is not None
    told = made.write(now, as_json, html, pdf, quiet=as_json or (left and not as_text))
    if folded.problem is not None:
        report(folded.problem)
        return BAD_INPUT
    if folded.left:
        sys.stderr.write(f"A stop stands before step {folded.left[0].step}: {len(folded.left)} answers were not taken.\n")
    if record and not _record(told, now, papers | made.papers(now), store, site):
        return STOP
    return 0 if sign_off(now) else STOP


def _record(told: dict[str, Any], now: "Round", papers: dict[str, bytes], store: str | None, site: str | None) -> bool:
    """The round into the records; what is told of it goes to stderr. False where the records refuse the sign-off."""
    from steadycone.cli.desk import open_site
    from steadycone.cli.person import check_person
    from steadycone.records.round_record import record_happened, record_round
    from steadycone.render.json_card import card_bytes

    with open_site(store, site, writes=True) as found:
        if told["sign_off"] and found.store.accounts.count():
            check_person(found, told["sign_off"]["by"])
        receipts, refused = record_round(told, found, {"report": card_bytes(told), **papers})
        held = record_happened(now, found, told["who"], told["hash"][:40])
    receipts = (*receipts, *held)
    numbers = " and ".join(str(receipt.sequence) for receipt in receipts)
    sys.stderr.write(f"Recorded as event {numbers}. Head {receipts[-1].head.code}\n")
    if refused is not None:
        report(refused.at("the sign-off is not recorded"))
    return refused is None


class _Made:
    """A station's card of one day and the plan made from it."""

    def __init__(self, setup: "Setup", files: str, on: date) -> None:
        from steadycone.card.anew import anew, least_supply
        from steadycone.card.make import make_card
        from steadycone.procedures.rounds import make_plan
        from steadycone.render.json_card import card_dict

        self.card: Card = make_card(setup, on)
        self.told: dict[str, Any] = card_dict(self.card)
        self.plan: Plan = make_plan(self.card, files, also=(self.told["hash"],), anew=anew(setup), least=least_supply(self.card))

    def fold(self, found: "AnswersFile") -> "Folded":
        from steadycone.procedures.rounds import fold_file

        return fold_file(self.plan, found)

    def papers(self, now: "Round") -> dict[str, bytes]:
        """What is kept with the record of a round: the card it stands on, and the answers."""
        import json

        from steadycone.render.json_card import card_bytes

        answers = {"station": now.plan.station, "plan": now.plan.hash, "answers": [answer.out() for answer in now.log]}
        return {"card": card_bytes(self.told), "answers": json.dumps(answers, ensure_ascii=False).encode("utf-8", "replace")}

    def write(self, now: "Round", as_json: bool, html: Path | None, pdf: Path | None, *, quiet: bool) -> dict[str, Any]:
        """The report: files before anything is shown. Gives what was written as JSON."""
        from steadycone.render.json_card import card_bytes
        from steadycone.render.round_json import round_dict

        told = round_dict(now, self.card, self.told)
        if html or pdf or not quiet:
            self._pages(now, told, html, pdf, quiet)
        if as_json:
            sys.stdout.buffer.write(card_bytes(told))
        return told

    def _pages(self, now: "Round", told: dict[str, Any], html: Path | None, pdf: Path | None, quiet: bool) -> None:
        from steadycone.render.round_view import round_view

        view = round_view(now, self.card, self.told, told)
        results = []
        if html:
            from steadycone.render.round_html import html_round

            results.append((html, html_round(view).encode()))
        if pdf:
            from steadycone.render.round_pdf import pdf_round

            results.append((pdf, pdf_round(view)))
        for target, data in results:
            write_whole(target, data)
        if not quiet:
            from steadycone.render.round_text import text_round

            sys.stdout.write(text_round(view))


def _read(station: Path) -> tuple["Setup", str, dict[str, bytes]]:
    """The setup; the hash of the files it came from; and those: station, policy and chart as they stand."""
    from steadycone.files.gather import gather
    from steadycone.files.paths import beside
    from steadycone.files.text import TOML_LIMIT, decode, read_bytes, refuse_size

    if str(station) == "-":
        text = sys.stdin.read()
        refuse_size(len(text.encode("utf-8", "surrogatepass")), TOML_LIMIT, station.name, "station")
    else:
        text = decode(read_bytes(station, TOML_LIMIT, "station"), station.name, "station")

    def fetch(name: str, limit: int, what: str) -> bytes:
        return read_bytes(beside(station.parent, name, what), limit, what)

    found = gather(text, station.name, fetch)
    return found.setup, found.digest, found.papers


def _plan(setup: "Setup", files: str, on: date) -> int:
    import json

    from steadycone.procedures.rounds import begin
    from steadycone.render.round_json import plan_dict

    told = plan_dict(begin(_Made(setup, files, on).plan))
    sys.stdout.write(json.dumps(told, ensure_ascii=False, indent=1) + "\n")
    return 0


def _on(on: str | None, found: "AnswersFile") -> date:
    """The day the card is made for: the one asked for, else that of the last answer, else today."""
    if on is None and found.answers:
        return found.answers[-1].at.date()
    return day(on) if on is not None else clock.now().date()


# --- the person and the kept answers ---------------------------------------------------


def _with_person(setup: "Setup", files: str, on: str | None, kept: Path, new: bool, quiet: bool) -> tuple[_Made, "Folded", "Round"]:
    from steadycone.procedures.rounds import Folded, begin, stops, upcoming

    made = _Made(setup, files, day(on) if on else clock.now().date())
    check_target(kept)
    if new and kept.exists():
        _put_aside(kept)
    folded, begun = Folded(begin(made.plan)), None
    if kept.exists():
        found = _load(kept)
        folded = made.fold(found)
        begun = Begun(*found.waiting) if found.waiting else None
        if folded.problem or folded.left:
            _put_aside(kept, copy=True)  # what can't be taken is kept beside
    now = folded.round
    if upcoming(now) is None and not stops(now):
        sys.stderr.write("This round is finished. --new begins another and keeps this one.\n")
        return made, folded, now
    if folded.problem:
        report(folded.problem)
    now = talk_with_person(now, begun, clock, lambda later, waiting: _save(kept, later, waiting), quiet=quiet)
    return made, Folded(now), now


def _beside(station: Path) -> Path:
    if str(station) == "-":
        return Path("station.round.json")
    return station.with_name(station.stem + ".round.json")


def _put_aside(kept: Path, *, copy: bool = False) -> None:
    """Under a name of its own beside it."""
    number = 1
    while (aside := kept.with_name(f"{kept.stem}.{number}{kept.suffix}")).exists():
        number += 1
    if copy:
        write_whole(aside, kept.read_bytes())
    else:
        kept.rename(aside)
    sys.stderr.write(f"The answers kept before are in {aside.name}.\n")


def _load(path: Path) -> "AnswersFile":
    """Raises  BadFile: can't be read, or not JSON."""
    import json

    from steadycone.files.text import read_bytes
    from steadycone.procedures.rounds import read_answers

    data = sys.stdin.buffer.read() if str(path) == "-" else read_bytes(path, _LIMIT, "answers")
    try:
        return read_answers(json.loads(data))
    except (ValueError, RecursionError) as error:
        if isinstance(error, InputError):
            raise
        raise BadFile("not JSON", where=path.name, try_='Write {"station": hash, "answers": [{"step", "value", "at"}]}.') from error


def plan_with(station: Path, on: str | None, answers: Path) -> "tuple[Plan, AnswersFile]":
    """An answers file and the plan of the day it is of. Raises BadFile, InputError."""
    setup, files, _ = _read(station)
    found = _load(answers)
    return _Made(setup, files, _on(on, found)).plan, found


def _save(path: Path, now: "Round", begun: Begun | None) -> None:
    import json

    told: dict[str, Any] = {"station": now.plan.station, "plan": now.plan.hash, "answers": [answer.out() for answer in now.log]}
    if begun:
        told["waiting"] = {"step": begun.step, "since": begun.since.isoformat()}
    write_whole(path, (json.dumps(told, ensure_ascii=False, indent=1) + "\n").encode())
