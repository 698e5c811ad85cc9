"""The commands, gathered. Each is a file of its own; what it needs is loaded when it runs."""

import sys
from importlib import import_module

import click

from steadycone import __version__
from steadycone.cli.errors import BAD_INPUT, report
from steadycone.errors import SteadyconeError

_HELP = "Set up, prove and explain an oxy-fuel station. Advice only: the maker, the supplier, the law and the competent person overrule it."


# Name to the file and the command in it. Loaded when it runs: a cold card pays for no other.
_COMMANDS = {
    "backup": "backup:backup", "calc": "calc:calc", "card": "card:card", "chart": "chart:chart", "demo": "demo:demo", "drill": "drill:drill_command",
    "gate": "gate:gate", "gear": "gear:gear",
    "log": "log:log", "people": "people:people", "refuel": "refuel:refuel_command", "restore": "backup:restore", "round": "round:round_command",
    "schema": "schema:schema", "serve": "serve:serve", "sources": "sources:sources", "triage": "triage:triage_command", "whatif": "whatif:whatif_command",
}  # fmt: skip


class _Commands(click.Group):
    def list_commands(self, context: click.Context) -> list[str]:
        return sorted([*_COMMANDS, *super().list_commands(context)])

    def get_command(self, context: click.Context, name: str) -> click.Command | None:
        if name not in _COMMANDS:
            return super().get_command(context, name)
        module, _, attribute = _COMMANDS[name].partition(":")
        found: click.Command = getattr(import_module(f"steadycone.cli.{module}"), attribute)
        return found


@click.group("steadycone", cls=_Commands, help=_HELP, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="%(version)s")
def app() -> None: ...


@app.command("emergency", help="The emergency list, at once.", epilog="Example: steadycone emergency --region us")
@click.option("--region", default="uk", show_default=True, help="uk, eu, us, ca, au or nz.")
def emergency(region: str) -> None:
    # entry.py answers before this is ever loaded; here it is only for the help page
    from steadycone.render.emergency import text

    click.echo(text(region), nl=False)


def call(arguments: list[str]) -> int:
    """Run one command line; gives the exit code. Mistakes on the line itself are told in the same two lines as all others."""
    try:
        code = app.main(args=arguments, prog_name="steadycone", standalone_mode=False)
    except SteadyconeError as error:
        return report(error)
    except click.exceptions.NoArgsIsHelpError as error:
        sys.stdout.write(error.format_message() + "\n")
        return 0
    except click.Abort:
        return 130
    except click.ClickException as error:
        told = error.format_message().splitlines() or ["not understood"]
        sys.stderr.write(f"{told[0]}\nSee steadycone -h, or -h after a command.\n")
        return BAD_INPUT
    return code if isinstance(code, int) else 0
