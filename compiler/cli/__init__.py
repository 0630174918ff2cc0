"""The command line: options in, words and exit status out. It decides nothing."""

from __future__ import annotations

import importlib
import io
import platform
import sys
import traceback
from difflib import get_close_matches

import click

from compiler import __version__
from compiler.findings import UnreadableSourceError
from compiler.products.bare_fontconfig import EngineMissingError

COMMANDS = {
    "start": "write a small protocol set to begin from",
    "validate": "find what does not hold together, in every branch",
    "compile": "validate, then write wall posters in every language",
    "translate": "bring the translations up to date with the text",
    "compare": "what changed between two versions, in the words of the trade",
    "report": "one page for the reviewer: findings, what is dirty when, languages",
    "sign": "put a reviewer's name to just this text",
    "publish": "make the signed text the next edition, whole or not at all",
    "trace": "which edition a sheet on a wall is from, and whether it may stay",
    "follow": "what is dirty after each step, why a step is there, what stays clean",
    "explain": "what a rule finds, why, with a faulty and a sound example",
}


class Commands(click.Group):
    """Loads a command when it is called, so that validating never waits for the printing."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """In the order of use."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """One command by its name."""
        if cmd_name not in COMMANDS:
            close = get_close_matches(cmd_name, COMMANDS, n=1)
            hint = f'; did you mean "{close[0]}"?' if close else ""
            raise click.UsageError(f'no command is called "{cmd_name}"{hint}', ctx)
        module = importlib.import_module(f"compiler.cli.{cmd_name}")
        command: click.Command = module.command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """One line a command, without loading any."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


HELP = """Compile a clinic's own PPE protocols into wall posters, after proving them.

\b
A first day:
  wallward start our-clinic        a small set to begin from
  wallward validate our-clinic     what does not hold together
  wallward compile our-clinic      posters into the folder build
  wallward explain gown-left-on    why a finding matters
"""


@click.group(
    cls=Commands,
    help=HELP,
    epilog="Follow your facility's policy. Training, fit testing and a trained observer come "
    "first.",
    context_settings={"help_option_names": ["--help"], "max_content_width": 78},
)
@click.version_option(__version__, message="wallward %(version)s")
@click.option("--debug", is_flag=True, help="Show the inner trace of a fault in the compiler.")
def wallward(debug: bool) -> None:
    """Runs the command."""


def main() -> None:
    """Runs the command; a fault in the machine or the program becomes one line.

    Exit status: 0 nothing to fix, 1 something must be fixed, 2 wrong use or unreadable input.
    """
    _write_any_sign()
    try:
        status = wallward.main(prog_name="wallward", standalone_mode=False)
        sys.exit(status if isinstance(status, int) else 0)
    except click.exceptions.Exit as left:
        sys.exit(left.exit_code)
    except click.Abort:
        click.echo("wallward: stopped; nothing was left half-written", err=True)
        sys.exit(2)
    except click.exceptions.NoArgsIsHelpError as bare:
        click.echo(bare.format_message())
        sys.exit(2)
    except click.ClickException as wrong:
        click.echo(f"wallward: {wrong.format_message()}", err=True)
        if context := getattr(wrong, "ctx", None):
            click.echo(f'see "{context.command_path} --help"', err=True)
        sys.exit(2)
    except (UnreadableSourceError, EngineMissingError) as unusable:
        click.echo(f"wallward: {unusable}", err=True)
        sys.exit(2)
    except OSError as fault:
        where = f"{fault.filename}: " if fault.filename else ""
        click.echo(f"wallward: {where}{fault.strerror or fault}", err=True)
        sys.exit(2)
    except Exception as fault:
        if "--debug" in sys.argv:
            traceback.print_exc()
        click.echo(
            "wallward: this is a fault in the compiler, not in your protocol: "
            f"{type(fault).__name__}: {fault}\n"
            f"wallward {__version__}, Python {platform.python_version()}, {platform.system()}; "
            'run "wallward --debug ..." to see where, and report it',
            err=True,
        )
        sys.exit(2)


def _write_any_sign() -> None:
    """A sign that the terminal does not have is written as its number, never a crash."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
