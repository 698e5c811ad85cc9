"""`steadycone log`: what happened, in order, and whether it still stands as it was written."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from steadycone.cli import log_export, log_write
from steadycone.cli.card import FILE
from steadycone.cli.desk import open_site, reading, write_json
from steadycone.cli.errors import STOP
from steadycone.cli.write import check_target, write_whole
from steadycone.errors import BadFile, InputError

if TYPE_CHECKING:
    from steadycone.records import SignedHead

_HEAD_LIMIT, _PROOF_LIMIT = 100_000, 5_000_000  # bytes


@click.group("log", help="The log of the records: show it, verify it, prove an event to somebody without it, export a period.")
def log() -> None: ...


for command in (log_write.open_command, log_write.add, log_write.correct, log_write.rebuild, log_write.change_key, log_export.export):
    log.add_command(command)


@log.command("show", help="The last events, or those of one item, station or person; newest first.", epilog="Example: steadycone log show --mark TQ-REG-014")  # fmt: skip
@click.option("--mark", help="Of one item.")
@click.option("--station", help="Of one station.")
@click.option("--person", help="Of one person.")
@click.option("--cylinder", help="Of one cylinder.")
@click.option("--last", default=50, show_default=True, type=click.IntRange(1, 100_000), help="How many.")
@reading
def show(store: str | None, site: str | None, as_json: bool, last: int, **of: str | None) -> None:
    from steadycone.records.telling import event_dict, event_line

    asked: dict[str, Any] = {name: value for name, value in of.items() if value}
    if len(asked) > 1:
        raise InputError(f"{' and '.join(asked)} together", where="log show", try_="Ask for one of them.")
    with open_site(store, site) as found:
        events = list(found.history(limit=last, **asked)) if asked else _newest(found, last)
    if as_json:
        write_json({"format": "steadycone-events/1", "events": [event_dict(event) for event in events]})
    else:
        sys.stdout.write("".join(event_line(event) + "\n" for event in events) or "No event.\n")


def _newest(site: Any, last: int) -> list[Any]:
    size = site.head().size
    return list(site.events(first=max(1, size - last + 1)))[::-1]


@log.command("head", help="The log's signed head: keep it elsewhere, and nothing before it can change unseen.", epilog="Example: steadycone log head >> heads.txt")  # fmt: skip
@reading
def head(store: str | None, site: str | None, as_json: bool) -> None:
    with open_site(store, site) as found:
        now = found.head()
    sys.stdout.write(now.text + "\n")
    if not as_json:
        sys.stderr.write(f"Code {now.code}, {now.size} events.\n")


@log.command(
    "verify", help="Every event, in order, against the tree, its heads and their signatures; names the first that was tampered with.",
    epilog="Example: steadycone log verify --heads heads.txt --code 1234-K7QM-2RZD-0XHF-9WNB. Exit code 3: something does not hold.",
)  # fmt: skip
@click.option("--heads", type=FILE, metavar="FILE", help="Heads kept elsewhere, a line each, as log head wrote them.")
@click.option("--code", "codes", multiple=True, help="The short code on a printed sign-off or audit pack. May be repeated.")
@click.option("--key", help="The public key (hex) that must have signed; that of the log if left out.")
@reading
def verify(store: str | None, site: str | None, as_json: bool, heads: Path | None, codes: tuple[str, ...], key: str | None) -> int:
    kept = read_heads(heads) if heads else ()
    with open_site(store, site) as found:
        result = found.verify(heads=kept, codes=codes, key=key, progress=_progress())
    problems = [{"event": problem.sequence, "says": problem.says} for problem in result.problems]
    if as_json:
        head = {"size": result.head.size, "code": result.head.code} if result.head else None
        write_json({"sound": result.sound, "size": result.size, "head": head, "problems": problems, "notices": list(result.notices)})
    else:
        for problem in problems:
            sys.stdout.write(f"[STOP] {problem['says']}\n")
        for notice in result.notices:
            sys.stdout.write(f"[ ! ] {notice}\n")
        sound = f"[ok] {result.size} events, each as it was written. Head {result.head.code}\n" if result.head else ""
        sys.stdout.write(sound if result.sound else f"The log does not hold: {len(problems)} problem{'s' if len(problems) != 1 else ''}.\n")
    return 0 if result.sound else STOP


def read_heads(file: Path) -> "tuple[SignedHead, ...]":
    from steadycone.files.text import decode, read_bytes
    from steadycone.records import parse_head

    text = decode(read_bytes(file, 50 * _HEAD_LIMIT, "heads"), file.name, "heads")
    return tuple(parse_head(line) for line in text.splitlines() if line.strip())


def _progress() -> Callable[[int, int], None] | None:
    if not sys.stderr.isatty():
        return None

    def told(done: int, of: int) -> None:
        sys.stderr.write(f"\r{done} of {of} events" + ("\n" if done >= of else ""))
        sys.stderr.flush()

    return told


@log.command(
    "prove", help="A proof of one event, by its number or id, for somebody without the records.",
    epilog="Example: steadycone log prove 41 --out proof.json. They check it: steadycone log check-proof proof.json --code CODE",
)  # fmt: skip
@click.argument("event")
@click.option("--out", type=FILE, metavar="FILE", help="Write it to this file; to stdout if left out.")
@click.option("--head", "size", type=click.IntRange(1), metavar="SIZE", help="For the head of so many events; the last one if left out.")
@reading
def prove(store: str | None, site: str | None, as_json: bool, event: str, out: Path | None, size: int | None) -> None:
    import json

    if out:
        check_target(out)
    with open_site(store, site) as found:
        wanted = log_write.which(event)
        proof = found.prove(wanted, at=size) if size else found.prove(wanted)
    text = json.dumps(proof, ensure_ascii=False, indent=1) + "\n"
    if out is None:
        sys.stdout.write(text)
        return
    write_whole(out, text.encode())
    if as_json:
        write_json({"written": out.name, "head": proof["head"]["code"]})
    else:
        sys.stdout.write(f"{out.name}: event {event} under head {proof['head']['code']}\n")


@log.command(
    "check-proof", help="Check a proof with the head, or its code, that came another way; needs no records.",
    epilog="Example: steadycone log check-proof proof.json --code 1234-K7QM-2RZD-0XHF-9WNB. Exit code 3: it does not hold.",
)  # fmt: skip
@click.argument("file", type=FILE)
@click.option("--head", type=FILE, metavar="FILE", help="The head you hold: the line of JSON that log head wrote.")
@click.option("--code", help="The code you hold, from paper.")
@click.option("--key", help="The public key (hex) that must have signed the head.")
@click.option("--json", "as_json", is_flag=True, help="Write JSON to stdout, and nothing else.")
def check_proof(file: Path, head: Path | None, code: str | None, key: str | None, as_json: bool) -> int:
    import json

    from steadycone.files.text import decode, read_bytes
    from steadycone.records import parse_head, verify_proof
    from steadycone.records.telling import event_dict, event_line

    if (head is None) == (code is None):
        raise InputError(
            "a proof is checked with one head", where="check-proof", try_="Give --head FILE or --code CODE, one you hold yourself."
        )
    try:
        proof = json.loads(decode(read_bytes(file, _PROOF_LIMIT, "proof"), file.name, "proof"))
    except (ValueError, RecursionError) as error:  # a number of thousands of digits too
        raise BadFile("not JSON", where=file.name, try_="Give the file that log prove wrote.") from error
    if not isinstance(proof, dict):
        raise BadFile("this is not a proof", where=file.name, try_="Give the file that log prove wrote.")
    held: SignedHead | str = parse_head(decode(read_bytes(head, _HEAD_LIMIT, "head"), head.name, "head").strip()) if head else code or ""
    found = verify_proof(proof, held, key)
    if as_json:
        write_json({"holds": found.holds, "why": found.why or None, "event": event_dict(found.event) if found.event else None})
    elif found.holds and found.event:
        sys.stdout.write(f"[ok] This event stands in the log:\n{event_line(found.event)}\n")
    else:
        sys.stdout.write(f"[STOP] {found.why}\n")
    return 0 if found.holds else STOP
