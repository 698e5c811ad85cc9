"""key=value words of a command line as a table."""

from collections.abc import Sequence

from steadycone.errors import InputError


def read_pairs(pairs: Sequence[str], *, command: str, what: str, example: str) -> dict[str, str]:
    """`what` is how the command calls a key ("key", "setting"); `example` a sentence on what to write.

    Raises  InputError: no equals sign, or a key twice.
    """
    found: dict[str, str] = {}
    for pair in pairs:
        key, equals, value = pair.partition("=")
        key = key.strip().replace("-", "_")
        if not equals or not key:
            raise InputError(f'"{pair[:60]}" is not {what}=value', where=command, try_=example)
        if key in found:
            raise InputError(f'"{key[:60]}" is there twice', where=command, try_=f"Give each {what} once.")
        found[key] = value
    return found
