"""What a person sees when something is wrong: one line of what and where, one of what to do. Never a traceback."""

import sys

from steadycone.errors import SteadyconeError

STOP, BAD_INPUT = 3, 2


def report(error: SteadyconeError) -> int:
    """Write the two lines to stderr; gives the exit code."""
    where = f"{error.where}: " if error.where else ""
    lines = [f"{where}{error.says}", error.try_ or "See steadycone -h."]
    # one line each, whatever a file's text brought along
    sys.stderr.write("".join(" ".join(line.split())[:600] + "\n" for line in lines))
    return error.exit_code
