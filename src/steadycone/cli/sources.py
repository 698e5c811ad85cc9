"""`steadycone sources`: where every constant, limit and default comes from."""

import sys

import click


@click.command(
    "sources", help="Where every number comes from; with WORD, those that hold it.", epilog="Example: steadycone sources acetylene"
)
@click.argument("word", default="")
@click.option("--json", "as_json", is_flag=True, help="Write JSON.")
def sources(word: str, as_json: bool) -> None:
    from steadycone.data import reader

    wanted = word.lower()
    found = {key: entry for key, entry in sorted(reader.sources().items()) if wanted in f"{key} {' '.join(entry.values())}".lower()}
    if as_json:
        import json

        sys.stdout.write(json.dumps(found, ensure_ascii=False, indent=2) + "\n")
        return
    from steadycone.render.text import wrapped

    for key, entry in found.items():
        lines = [f"{key}  [{entry['kind']}]", *wrapped(entry["title"], "  ")]
        for part in ("place", "note"):
            if entry.get(part):
                lines += wrapped(entry[part], "  ")
        sys.stdout.write("\n".join(lines) + "\n")
    if not found:
        sys.stdout.write("No source holds this word.\n")
