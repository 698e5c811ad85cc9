"""`steadycone gear`: the register of gear. What it holds, what is due, and one item with its history."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steadycone.cli import gear_bench, gear_import, gear_label, gear_write
from steadycone.cli.card import FILE, on_option
from steadycone.cli.desk import MARKS, open_site, reading, today, write_json
from steadycone.cli.errors import STOP
from steadycone.cli.write import check_target, write_whole

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from steadycone.records.rows import Item


@click.group("gear", help="The register of gear: what there is, where it is fitted, when it is due, what is in quarantine.")
def gear() -> None: ...


for command in (
    gear_write.add, gear_write.date_command, gear_write.test, gear_write.fit, gear_write.remove, gear_write.quarantine, gear_write.repair, gear_write.release,
    gear_write.retire, gear_import.import_command, gear_label.label, gear_bench.bench, gear_bench.certificate_command,
):  # fmt: skip
    gear.add_command(command)


@gear.command("list", help="The register, or the part asked for.", epilog="Example: steadycone gear list --state quarantined")
@click.option("--kind", help="regulator, arrestor, check valve, hose, torch, ...")
@click.option("--station", help="What is fitted at a station.")
@click.option("--state", type=click.Choice(["in service", "quarantined", "retired"]), help="Only these; all but retired if left out.")
@click.option("--search", metavar="WORD", help="Part of a mark or a maker's type.")
@click.option("--csv", "csv_file", type=FILE, metavar="FILE", help="Write the table to this file as CSV; gear import reads it again.")
@on_option
@reading
def list_command(
    store: str | None, site: str | None, as_json: bool, on: str | None, kind: str | None, station: str | None, state: str | None,
    search: str | None, csv_file: Path | None,
) -> None:  # fmt: skip
    from steadycone.records.gear_names import read_kind

    if csv_file:
        check_target(csv_file)
    item = read_kind(kind)[0] if kind else None
    with open_site(store, site) as found:
        items = [each for each in found.items(state=state, item=item, station=station, search=search) if state or each.state != "retired"]
    _tell(items, today(on), csv_file, as_json)


def _tell(items: "Sequence[Item]", on: "date", csv_file: Path | None, as_json: bool, none: str = "No gear.") -> None:
    from steadycone.records.fitness import fitness
    from steadycone.records.gear_told import HEADINGS, counts_from_paper, item_dict, item_row
    from steadycone.render.table import text_table

    if csv_file:
        from steadycone.render.sheets import csv_bytes

        write_whole(csv_file, csv_bytes(HEADINGS, [item_row(item, on) for item in items]))
    if as_json:
        write_json({"format": "steadycone-gear/1", "on": on.isoformat(), "items": [item_dict(item, on) for item in items]})
    elif not items:
        sys.stdout.write(f"{none}\n")
    else:
        states = [fitness(item, on) for item in items]
        rows = [
            (
                MARKS[now.verdict],
                item.mark,
                f"{item.gas} {item.item}".strip(),
                now.until or "-",
                now.says + ("; examined by its paper alone" if counts_from_paper(item) else ""),
                item.station,
            )
            for item, now in zip(items, states, strict=True)
        ]
        sys.stdout.write(text_table(("", "mark", "what", "until", "state", "fitted at"), rows))


@gear.command(
    "due", help="What is out of date, and what will be soon; worst first.",
    epilog="Example: steadycone gear due --days 60. Exit code 3: something is out of date and not in quarantine.",
)  # fmt: skip
@click.option("--days", default=30, show_default=True, type=click.IntRange(0, 36500), help="How far to look ahead.")
@on_option
@reading
def due(store: str | None, site: str | None, as_json: bool, on: str | None, days: int) -> int:
    when = today(on)
    with open_site(store, site) as found:
        items = [entry.item for entry in found.due(when, days=days)]
    _tell(items, when, None, as_json, f"Nothing is out of date, or due within {days} days.")
    return STOP if any(item.overdue(when) and item.state == "in service" for item in items) else 0


@gear.command("show", help="One item and everything that happened to it.", epilog="Example: steadycone gear show TQ-REG-014")
@click.argument("mark")
@click.option("--last", default=200, show_default=True, type=click.IntRange(1, 100_000), help="How many events, newest first.")
@on_option
@reading
def show(store: str | None, site: str | None, as_json: bool, on: str | None, mark: str, last: int) -> None:
    from steadycone.records.gear_told import item_dict
    from steadycone.records.telling import event_dict, event_line
    from steadycone.render.table import plain

    with open_site(store, site) as found:
        item, history = found.item(mark), list(found.history(mark=mark, limit=last))
    told = item_dict(item, today(on))
    if as_json:
        write_json({"format": "steadycone-item/1", **told, "history": [event_dict(event) for event in history]})
        return
    where = f"{told['station']}, {told['place']}" if told["station"] else "not fitted"
    lines = [" ".join(part for part in (MARKS[told["verdict"]], item.mark, item.gas, item.item, item.type) if part)]
    lines.append(told["says"] + (f", until {told['until']}" if told["until"] else "") + f"; {where}")
    for name, dated in told["dates"].items():
        paper = "by its paper, not tested here" if name == "tested" and told["by_paper"] else ""
        basis = "; ".join(part for part in (dated["basis"], paper) if part)
        lines.append(f"  {name.replace('_', ' '):<11} {dated['date']}" + (f"  ({basis})" if basis else ""))
    sys.stdout.write("".join(plain(line) + "\n" for line in lines))
    for event in history:
        sys.stdout.write(event_line(event) + "\n")
