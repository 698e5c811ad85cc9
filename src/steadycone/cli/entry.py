"""The way in. `emergency` is answered first, before anything that takes time is loaded."""

import gc
import os
import sys

INTERRUPTED = 130
_SHORT = (
    "card",
    "demo",
)  # one run, over in a moment: nothing is gained by looking for rings of memory, and loading sets it off a hundred times


def main() -> None:
    """The console command."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: list[str]) -> int:
    """One command line; gives the exit code."""
    if arguments[:1] and arguments[0] in _SHORT:
        gc.disable()
    try:
        code = _emergency(arguments[1:]) if arguments[:1] == ["emergency"] else _command(arguments)
        sys.stdout.flush()
        return code
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # the reader went away; stdout is pointed at nothing so that closing it is quiet too
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0


def _emergency(arguments: list[str]) -> int:
    from steadycone.errors import SteadyconeError
    from steadycone.render.emergency import HELP, after_text, text

    if "-h" in arguments or "--help" in arguments:
        sys.stdout.write(HELP)
        return 0
    words = [word for argument in arguments for word in argument.split("=")]
    region = words[words.index("--region") + 1] if "--region" in words[:-1] else "uk"
    told = after_text if "--after" in arguments else text
    try:
        sys.stdout.write(told(region))
    except SteadyconeError:
        # the list is given whatever was typed: a wrong region costs a word, not the answer
        sys.stdout.write(told("uk"))
    return 0


def _command(arguments: list[str]) -> int:
    from steadycone.cli.app import call

    return call(arguments)
