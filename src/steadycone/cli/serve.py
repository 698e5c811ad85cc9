"""`steadycone serve`: the yard in a browser, on this machine unless told otherwise."""

import os
import signal
import sys
from typing import TYPE_CHECKING

import click

from steadycone.cli.desk import clock, now, site_option, store_option
from steadycone.errors import InputError

if TYPE_CHECKING:
    from pathlib import Path

    from steadycone.web.settings import Settings
    from steadycone.web.yard import Yard

_EPILOG = "Example: steadycone serve. Then open http://127.0.0.1:8717 in a browser on this machine."


@click.command(
    "serve", help="Show the yard in a browser: stations, rounds, gear, log. On this machine alone unless told otherwise.", epilog=_EPILOG
)
@store_option
@site_option
@click.option(
    "--host", default="127.0.0.1", show_default=True, help="Where to listen. Any other than this machine needs --origin and an account."
)
@click.option("--port", default=8717, show_default=True, type=click.IntRange(1, 65535))
@click.option(
    "--origin", default="", metavar="URL", help="The https address that people use, where a proxy with a certificate stands in front."
)
@click.option("--demo", is_flag=True, help="An invented yard, made anew in a folder of its own and thrown away at the end.")
def serve(store: str | None, site: str | None, host: str, port: int, origin: str, demo: bool) -> int:
    from steadycone.web.settings import Settings, checked_origin

    settings = Settings(host=host, port=port, origin=checked_origin(origin) if origin else "", proxied=bool(origin))
    if demo:
        return _demo(settings)
    from steadycone.records import open_store

    with open_store(store, clock=clock) as found:
        from steadycone.web.yard import Yard

        yard = Yard(found, settings, now, site or "")
        yard.site  # noqa: B018 - several sites and none named: told now, not on the first page
        _check_reach(settings, found.accounts.count())
        if not found.accounts.count():
            sys.stdout.write(
                f"No account yet. Open {settings.base}/first and give this code, once:\n\n    {found.accounts.make_first_code(now())}\n\n"
            )
        return _run(yard)


def _check_reach(settings: "Settings", accounts: int) -> None:
    """Other addresses than this machine's need accounts, and TLS in front.

    Raises  InputError.
    """
    if settings.local and not settings.origin:
        return
    if not settings.origin:
        raise InputError(
            f"{settings.host} can be reached by others, and passwords would go over the wire as they are",
            where="--host",
            try_="Put a proxy with a certificate in front and name its address: --origin https://yard.example (docs/serving.md).",
        )
    if not accounts:
        raise InputError(
            "there is no account yet", where="--origin", try_="Start it once on this machine alone, make the first account, then again."
        )


def _run(yard: "Yard") -> int:
    from steadycone.web.pages import edit_pool
    from steadycone.web.serve import server

    sys.stdout.write(f"{yard.settings.base}  Stop with Ctrl-C.\n")
    sys.stdout.flush()
    before = signal.signal(signal.SIGTERM, _leave)  # the server passes it on once it has stopped; then all below is put away in order
    try:
        edit_pool.begin(yard, 1)
        server(yard).run()
    finally:
        edit_pool.end(yard)
        signal.signal(signal.SIGTERM, before)
    return 0


def _demo(settings: "Settings") -> int:
    """The invented yard, in a folder that goes when the server stops.

    Raises  InputError: with an address that others reach, or with records of one's own.
    """
    from pathlib import Path
    from tempfile import TemporaryDirectory

    _check_demo(settings)
    sys.stdout.write("Building the invented yard: some seconds.\n")
    sys.stdout.flush()
    os.environ.pop("STEADYCONE_KEY", None)  # an invented log is never signed with a real key; the folder gets one of its own
    before = signal.signal(signal.SIGTERM, _leave)  # its usual end would leave the folder behind
    try:
        with TemporaryDirectory(prefix="steadycone-demo-") as folder:
            return _demo_in(Path(folder), settings)
    finally:
        signal.signal(signal.SIGTERM, before)


def _demo_in(folder: "Path", settings: "Settings") -> int:
    from dataclasses import replace

    from steadycone.records import open_store
    from steadycone.web.demo import build_demo
    from steadycone.web.yard import Yard

    with open_store(folder / "yard.db", clock=clock) as store:
        notice = build_demo(store, now())
        sys.stdout.write("\n".join((*notice, "")))
        return _run(Yard(store, replace(settings, notice=notice), now))


def _check_demo(settings: "Settings") -> None:
    """Raises  InputError."""
    if not settings.local or settings.origin:
        raise InputError(
            "the invented yard tells its password on its first page, so it is shown on this machine alone",
            where="--demo",
            try_="Leave out --host and --origin.",
        )
    context = click.get_current_context()
    for name in ("store", "site"):
        if context.get_parameter_source(name) is click.core.ParameterSource.COMMANDLINE:
            raise InputError(
                "the invented yard has records of its own", where=f"--{name}", try_=f"Leave out --{name}, or leave out --demo to see yours."
            )


def _leave(signal_number: int, frame: object) -> None:
    sys.exit(128 + signal_number)
