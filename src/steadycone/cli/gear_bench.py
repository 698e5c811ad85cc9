"""`steadycone gear bench`: a technician's list of readings, judged and put into the register; and an item's certificate."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from steadycone.cli.card import FILE, on_option
from steadycone.cli.desk import MARKS, author, moment, now, open_site, reading, today, write_json, writing
from steadycone.cli.errors import BAD_INPUT, STOP
from steadycone.cli.write import check_target, write_whole

if TYPE_CHECKING:
    from steadycone.records import Site
    from steadycone.records.bench_batch import Bench, BenchBatch, Row

_EPILOG = (
    "Example: steadycone gear bench tuesday.csv --preview; then without --preview, with --by NAME. "
    "Exit code 2: some rows are refused; 3: something failed and is in quarantine."
)


@click.command("bench", help="Readings from the bench (CSV, XLSX, ODS, TOML): judged by their limits, into the register, item by item.", epilog=_EPILOG)  # fmt: skip
@click.argument("file", type=FILE)
@click.option("--certificates", type=FILE, metavar="FOLDER", help="Write a certificate as PDF for each item that went in.")
@click.option("--preview", is_flag=True, help="Write nothing; show what each reading comes to, and every row that is refused.")
@writing
def bench(
    store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, file: Path, certificates: Path | None, preview: bool
) -> int:
    from steadycone.files.bench_list import LIMIT, bench_file
    from steadycone.files.text import read_bytes
    from steadycone.records.bench_batch import BenchBatch

    who, when = by if preview and by else "nobody named" if preview else author(by), moment(at)
    if certificates:
        check_target(certificates / "certificate.pdf")
    data = read_bytes(file, LIMIT, "bench list")
    found = bench_file(file.name, data)
    with open_site(store, site, writes=True) as opened:
        batch = BenchBatch(opened, found, file.name, data, who, when)
        if not preview:
            batch.write()
            if certificates:
                _certificates(opened, batch, certificates)
    _tell(batch, found.not_taken, preview, as_json)
    return BAD_INPUT if batch.refused else STOP if batch.failed else 0


def _certificates(site: "Site", batch: "BenchBatch", folder: Path) -> None:
    from steadycone.records.certificate import certificate
    from steadycone.render.certificate import certificate_pdf

    for bench in batch.items:
        if bench.written and bench.item is not None:
            told = certificate(site, bench.mark, now().date())
            write_whole(folder / f"{_file_name(bench.item.mark)}.pdf", certificate_pdf(told))


def _file_name(mark: str) -> str:
    """A mark as a file's name: nothing in it leads out of the folder, and no two marks share one."""
    return "".join(letter if letter.isalnum() or letter == "-" else f"_{ord(letter):x}_" for letter in mark)


@click.command("certificate", help="An item's last examination: readings, limits, instruments, who and when.", epilog="Example: steadycone gear certificate TQ-REG-014 --pdf reg-014.pdf")  # fmt: skip
@click.argument("mark")
@click.option("--pdf", type=FILE, metavar="FILE", help="Write it as PDF to this file; as text to the screen if left out.")
@on_option
@reading
def certificate_command(store: str | None, site: str | None, as_json: bool, on: str | None, mark: str, pdf: Path | None) -> None:
    from dataclasses import asdict

    from steadycone.records.certificate import certificate
    from steadycone.render.certificate import certificate_pdf, certificate_text

    if pdf:
        check_target(pdf)
    with open_site(store, site) as opened:
        told = certificate(opened, mark, today(on))
    if pdf:
        write_whole(pdf, certificate_pdf(told))
    if as_json:
        write_json({"format": "steadycone-certificate/1", **asdict(told)})
    elif not pdf:
        sys.stdout.write(certificate_text(told))


def _tell(batch: "BenchBatch", not_taken: list[str], preview: bool, as_json: bool) -> None:
    if as_json:
        items = [_item_dict(bench) for bench in batch.items]
        unread = [{"place": place, "says": why} for place, why in batch.unread]
        write_json({"format": "steadycone-bench-told/1", "preview": preview, "items": items, "unread": unread, "not_taken": not_taken})
        return
    from steadycone.render.table import plain

    lines = [f'The column "{heading}" is not taken.' for heading in not_taken]
    lines += [f"{place}  not read: {why}." for place, why in batch.unread]
    for bench in batch.items:
        lines += _item_lines(bench)
    lines.append(_summary(batch, preview))
    sys.stdout.write("".join(plain(line) + "\n" for line in lines))


def _item_lines(bench: "Bench") -> "list[str]":
    what = f"{bench.item.gas} {bench.item.item}".strip() if bench.item else "?"
    head = {"passed": "[ok]", "failed": "[STOP]", "refused": "[ ? ]"}[bench.outcome]
    told = {
        "passed": "examination complete" if bench.complete else f"passed, examination not complete: {bench.open}",
        "failed": "FAILED: quarantine",
        "refused": "refused: nothing of it is written",
    }[bench.outcome]
    return [f"{head} {bench.mark or '?'}  {what}  {told}", *(line for row in bench.rows for line in _row_lines(row))]


def _row_lines(row: "Row") -> "list[str]":
    if row.test is None:
        return [f"  {row.place}  {row.where}: {row.problem}. {row.try_}".replace("..", ".").replace(" : ", " ")]
    limit = f" (limit: {row.test.held})" if row.test.held else ""
    return [f"  {row.place}  {MARKS[row.test.verdict]} {row.test.test} {row.test.value}{limit}. {row.test.says}"]


def _item_dict(bench: "Bench") -> dict[str, Any]:
    rows = [
        {"place": row.place, "where": row.where, "says": row.problem, "try": row.try_}
        if row.test is None
        else {
            "place": row.place,
            "test": row.test.test,
            "value": row.test.value,
            "limit": row.test.held,
            "verdict": row.test.verdict,
            "says": row.test.says,
        }
        for row in bench.rows
    ]
    events = [event.sequence for event in bench.written]
    return {"mark": bench.mark, "outcome": bench.outcome, "complete": bench.complete, "open": bench.open, "events": events, "rows": rows}


def _summary(batch: "BenchBatch", preview: bool) -> str:
    count = {name: sum(bench.outcome == name for bench in batch.items) for name in ("passed", "failed", "refused")}
    told = f"{count['passed']} passed, {count['failed']} failed, {count['refused']} refused"
    return (
        f"{told}. Nothing is written: this is a preview."
        if preview
        else f"{told}. Written{' but for the refused' if batch.refused else ''}."
    )
