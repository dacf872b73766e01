"""The command `fitcheck`: finds its sub-commands by name and loads only the one that is run."""

from __future__ import annotations

import gc
import os
import sys

import click

import fitcheck
from fitcheck.cli.common import Group

# Name -> where it lives, and what it does. The short help stands here so that the list of
# commands is printed without importing any of them.
COMMANDS: dict[str, tuple[str, str]] = {
    "hub": ("fitcheck.cli.hub:hub", "Turn a bench sheet into a job card."),
    "seal": ("fitcheck.cli.seal:seal", "Find the lip seal from the seat or the old seal."),
    "bearing": ("fitcheck.cli.bearing:bearing", "Find the tapered bearing and judge its seats."),
    "part": ("fitcheck.cli.part:part", "Find an O-ring, bushing, ball bearing, circlip ..."),
    "sleeve": ("fitcheck.cli.sleeve:sleeve", "Say what can be done about a worn counterface."),
    "fit": ("fitcheck.cli.fit:fit", "Give the limits of an ISO 286 class or fit."),
    "press": ("fitcheck.cli.press:press", "Work out a press or shrink fit and how to fit it."),
    "shim": ("fitcheck.cli.shim:shim", "Find the shims that bring a bearing to its setting."),
    "oil": ("fitcheck.cli.oil:oil", "Say how much oil goes in and whether the lip holds it."),
    "batch": ("fitcheck.cli.batch:batch", "Answer a table of readings, row by row."),
    "draw": ("fitcheck.cli.draw:draw", "Draw seals, bearings, shims and a sheet to scale."),
    "chart": ("fitcheck.cli.chart:chart", "Chart an answer: a fit, candidates, oil or shims."),
    "lists": ("fitcheck.cli.lists:lists", "Keep suppliers' price lists."),
    "cross": ("fitcheck.cli.cross:cross", "Find what supplier lists have for wanted lines."),
    "stock": ("fitcheck.cli.stock:stock", "Say what to keep on the shelf."),
    "jobs": ("fitcheck.cli.jobs:jobs", "Keep finished job cards and find them again."),
    "store": ("fitcheck.cli.store:store", "Back up, restore and check the shop's own data."),
    "serve": ("fitcheck.cli.serve:serve", "Serve the bench page to browsers and programs."),
    "labels": ("fitcheck.cli.labels:labels", "Print labels for the bins of a stocking list."),
    "tables": ("fitcheck.cli.tables:tables", "List the tables, their sources and their rows."),
}

EXAMPLES = """\b
Examples:
  fitcheck hub data/demo/winch.toml
  fitcheck seal --shaft 34.92 --bore 52
  fitcheck fit 30 H7/g6
  fitcheck tables

`fitcheck COMMAND --help` says what a command takes. Exit status: 0 answered,
1 could not answer, 2 wrong usage.
"""

INTERRUPTED = 130


class LazyGroup(Group):
    """Sub-commands that are imported when they are asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names, in the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import one command; None where there is none of that name."""
        if cmd_name not in COMMANDS:
            return None
        from importlib import import_module

        module, _, name = COMMANDS[cmd_name][0].partition(":")
        found: click.Command = getattr(import_module(module), name)
        return found

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; a part family is one too: `fitcheck oring` is `fitcheck part oring`."""
        if args[0] not in COMMANDS and args[0].isidentifier():
            from fitcheck.parts.kind import kind_names

            if args[0] in kind_names():
                args = ["part", *args]
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands from the short help kept here."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, short) for name, (_, short) in COMMANDS.items()])


@click.group(cls=LazyGroup, epilog=EXAMPLES)
@click.version_option(fitcheck.__version__, prog_name="fitcheck", message="%(prog)s %(version)s")
def cli() -> None:
    """Find which seal, bearing and sleeve fit a worn hub, from what can be measured."""


def run(args: list[str]) -> int:
    """Run one command line and give its exit status; whatever goes wrong is one clear message.

    Parameters
    ----------
    args : list of str
        The words after the program's name.

    Returns
    -------
    int
        0 answered, 1 could not answer, 2 wrong usage, 130 interrupted.
    """
    try:
        status = cli.main(args=args, prog_name="fitcheck", standalone_mode=False)
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except (click.Abort, KeyboardInterrupt):
        return INTERRUPTED
    except Exception as error:  # The last resort: a fault of ours, never a known bad input.
        if os.environ.get("FITCHECK_DEBUG"):
            raise
        click.echo(
            f"fitcheck: this is a fault in the program ({type(error).__name__}: {error}); please "
            "report it with the command you typed. FITCHECK_DEBUG=1 before the command shows where "
            "it happened.",
            file=sys.stderr,
        )
        return 1
    # click hands back the exit status where a command or --help ended early, else nothing.
    return status if isinstance(status, int) else 0


def main() -> None:
    """Start the program: what the console script calls."""
    # Tables and modules stay until the end, so looking through them for garbage finds nothing. At
    # the usual threshold of 700 objects a look-up does that sixty times; at this one hardly ever,
    # and a long run still gives back what it drops.
    gc.set_threshold(50_000, 20, 20)
    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
