"""`steadycone gear label`: labels and tags with what the register says of each item."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from steadycone.cli.card import FILE, on_option
from steadycone.cli.desk import open_site, reading, today, write_json
from steadycone.cli.write import check_target, write_whole

if TYPE_CHECKING:
    from steadycone.records import Site
    from steadycone.records.rows import Item

_EPILOG = "Example: steadycone gear label TQ-REG-014 TQ-HOS-207 --pdf labels.pdf --paper Letter"


@click.command("label", help="Labels as PDF: in service until a date, or quarantined with its reason. All items where none is named.", epilog=_EPILOG)  # fmt: skip
@click.argument("marks", nargs=-1, metavar="[MARK]...")
@click.option("--pdf", type=FILE, required=True, metavar="FILE", help="Write the labels to this file.")
@click.option("--paper", type=click.Choice(["A4", "Letter", "62 mm"], case_sensitive=False), help="A sheet of 21, or one label a page; the region's sheet if left out.")  # fmt: skip
@click.option("--station", help="What is fitted at a station.")
@on_option
@reading
def label(
    store: str | None, site: str | None, as_json: bool, on: str | None, marks: tuple[str, ...], pdf: Path, paper: str | None,
    station: str | None,
) -> None:  # fmt: skip
    from steadycone.records.gear_label import label_of
    from steadycone.render.labels import pdf_labels

    check_target(pdf)
    when = today(on)
    with open_site(store, site) as found:
        items = _items(found, marks, station)
        region = found.policy.region
    paper = paper or ("Letter" if region in ("us", "ca") else "A4")
    labels = [label_of(item, when) for item in items]
    write_whole(pdf, pdf_labels(labels, region, paper))
    if as_json:
        write_json({"labels": [{"mark": each.mark, "state": each.state, "until": each.until or None} for each in labels]})
    else:
        sys.stdout.write(f"{len(labels)} label{'s' if len(labels) != 1 else ''}.\n")


def _items(site: "Site", marks: tuple[str, ...], station: str | None) -> "list[Item]":
    found = [site.item(mark) for mark in marks] if marks else list(site.items(station=station))
    return [item for item in found if marks or item.state != "retired"]
