"""`steadycone backup` and `restore`: the records to a file while in use, and back into an empty place."""

import sys
from pathlib import Path

import click

from steadycone.cli.card import FILE
from steadycone.cli.desk import json_option, open_records, store_option, write_json
from steadycone.cli.errors import STOP
from steadycone.cli.write import check_target

_BACKUP = "The whole records to a file, while they are in use. Ending .jsonl: the log as lines, for any database."
_RESTORE = "The records from a backup into an empty place, then verified. The signing key is not in it: put its file back yourself."


@click.command("backup", help=_BACKUP, epilog="Example: steadycone backup yard-2026-11-25.sqlite")
@click.argument("file", type=FILE)
@store_option
@json_option
def backup(file: Path, store: str | None, as_json: bool) -> int:
    check_target(file)
    with open_records(store, writes=False) as found:
        made = found.backup(file)
    if as_json:
        sites = [
            {"site": each.site, "size": each.size, "sound": each.sound, "head": each.head.code if each.head else None}
            for each in made.sites
        ]
        write_json({"file": file.name, "bytes": made.size, "sound": made.sound, "sites": sites})
    else:
        for each in made.sites:
            sys.stdout.write("".join(f"[STOP] {each.site}: {problem.says}\n" for problem in each.problems))
        events = sum(each.size for each in made.sites)
        sound = "read again and verified" if made.sound else "and what was copied does not hold"
        sys.stdout.write(f"{file.name}: {made.size / 1e6:.1f} MB, {events:,} events, {sound}.\n")
    return 0 if made.sound else STOP


@click.command("restore", help=_RESTORE, epilog="Example: steadycone restore yard-2026-11-25.sqlite --store new-yard.sqlite")
@click.argument("file", type=FILE)
@click.option("--heads", type=FILE, metavar="FILE", help="Heads kept elsewhere, a line each: what they covered must be in the backup.")
@click.option("--key", help="The public key (hex) that must have signed; that of the key in the new place if left out.")
@store_option
@json_option
def restore(file: Path, heads: Path | None, key: str | None, store: str | None, as_json: bool) -> int:
    from steadycone.cli.log import read_heads
    from steadycone.records import restore as put_back

    found = put_back(file, store, read_heads(heads) if heads else (), key)
    sound = all(each.sound for each in found)
    if as_json:
        write_json({"sound": sound, "sites": [{"size": each.size, "sound": each.sound, "problems": [p.says for p in each.problems]} for each in found]})  # fmt: skip
    else:
        for each in found:
            sys.stdout.write("".join(f"[STOP] {problem.says}\n" for problem in each.problems))
        sys.stdout.write(f"{sum(each.size for each in found)} events restored{' and verified' if sound else ', and they do not hold'}.\n")
    return 0 if sound else STOP
