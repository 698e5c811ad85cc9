"""The commands, gathered. Each is a file of its own; what it needs is loaded when it runs."""

import sys

import click

from steadycone import __version__
from steadycone.cli import calc, card, chart, demo, refuel, schema, sources, triage
from steadycone.cli.errors import BAD_INPUT, report
from steadycone.cli.round import round_command
from steadycone.errors import SteadyconeError

_HELP = "Set up, prove and explain an oxy-fuel station. Advice only: the maker, the supplier, the law and the competent person overrule it."


@click.group("steadycone", help=_HELP, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="%(version)s")
def app() -> None: ...


for command in (demo.demo, card.card, calc.calc, chart.chart, triage.triage_command, refuel.refuel_command, schema.schema, sources.sources, round_command):
    app.add_command(command)


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
