"""`steadycone log export`: a period of the records as CSV, JSON and the audit pack."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steadycone.cli import desk
from steadycone.cli.card import FILE
from steadycone.cli.desk import open_site, site_option, store_option
from steadycone.cli.errors import STOP
from steadycone.cli.write import check_target, write_whole
from steadycone.errors import InputError

if TYPE_CHECKING:
    pass

_EPILOG = "Example: steadycone log export --from 2026-09-01 --to 2026-11-25 --pdf audit.pdf --csv events.csv"


@click.command("export", help="A period of the records: the audit pack as PDF, the events as CSV or JSON.", epilog=_EPILOG)
@click.option("--from", "since", metavar="DATE", help="The first day; that of the first event if left out.")
@click.option("--to", "until", metavar="DATE", help="The last day; today if left out.")
@click.option("--pdf", type=FILE, metavar="FILE", help="The audit pack: what is open, due list, rounds, tests, people, register, log head.")
@click.option("--csv", "csv_file", type=FILE, metavar="FILE", help="The events, one a row.")
@click.option("--json", "json_file", type=FILE, metavar="FILE", help="The events, whole, as JSON; - for stdout.")
@click.option("--paper", type=click.Choice(["A4", "Letter"], case_sensitive=False), help="The region's if left out.")
@store_option
@site_option
def export(
    store: str | None, site: str | None, since: str | None, until: str | None, pdf: Path | None, csv_file: Path | None,
    json_file: Path | None, paper: str | None,
) -> int:  # fmt: skip
    from steadycone.records.log_export import audit_file, events_csv, events_json, period_of

    to_stdout = str(json_file) == "-"
    targets = [target for target in (pdf, csv_file, None if to_stdout else json_file) if target]
    if not targets and not to_stdout:
        raise InputError("nothing to write", where="log export", try_="Give --pdf FILE, --csv FILE or --json FILE, or several.")
    for target in targets:
        check_target(target)
    sound = True
    with open_site(store, site) as found:
        period = period_of(found, since or "", until or "", desk.now().date(), ("--from", "--to"))
        results: list[tuple[Path, bytes]] = []
        if csv_file or json_file:
            events = [event for event in found.events() if period.holds(event)]
            results += [(csv_file, events_csv(events))] if csv_file else []
            results += [(json_file, events_json(found, events, period))] if json_file else []
        if pdf:
            made, sound = audit_file(found, period, desk.now(), paper)
            results.append((pdf, made))
    for path, data in results:
        if str(path) == "-":
            sys.stdout.buffer.write(data)
        else:
            write_whole(path, data)
            sys.stderr.write(f"{path.name}: {len(data):,} bytes\n")
    return 0 if sound else STOP
