"""`fitcheck part KIND`: which O-ring, bushing, ball bearing, retaining ring ... it is.

Each family that its tables describe is a command of its own: its options are the places of its
table, what else it asks, and what all of them share.
"""

from __future__ import annotations

from collections.abc import MutableMapping
from functools import cache
from typing import Any

import click

from fitcheck.cli.common import (
    Command,
    Group,
    json_option,
    print_json,
    reading_option,
    unit_option,
)
from fitcheck.cli.offers import no_offers_option
from fitcheck.parts.kind import kind, kind_names

GROUP_EXAMPLES = """\b
Examples:
  fitcheck part oring --id 45.3 --section 2.95
  fitcheck part circlip --shaft 34.95
  fitcheck ball --bore 25 --od 52 --width 15

The word `part` may be left out. `fitcheck part KIND --help` says where a
part is measured. Where suppliers' lists are stored (see fitcheck lists), each
size shows what they offer for it; with --list only that list's parts of the
kind are looked at.
"""


class Kinds(Group):
    """The commands of all families, each made when it is asked for."""

    @property
    def commands(self) -> MutableMapping[str, click.Command]:
        """All of them at once, for whoever looks through the whole program."""
        return {name: part_command(name) for name in kind_names()}

    @commands.setter
    def commands(self, _given: MutableMapping[str, click.Command]) -> None:
        """Nothing is kept: the tables say what there is."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names of the families."""
        return list(kind_names())

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of one family; None where there is none of that name."""
        return part_command(cmd_name) if cmd_name in kind_names() else None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the families with what they are."""
        with formatter.section("Kinds"):
            formatter.write_dl([(name, f"{kind(name).title}.") for name in kind_names()])


@cache
def part_command(name: str) -> click.Command:
    """The command of one family, from its tables.

    Parameters
    ----------
    name : str
        The family's name.
    """
    from fitcheck.identify import CERTAINTY
    from fitcheck.job.answers import DEFAULT_TOP
    from fitcheck.parts.asked import options
    from fitcheck.tables import table

    found = kind(name)

    def run(**given: Any) -> None:
        _answer(name, **given)

    command: Any = run
    for wrap in (json_option, unit_option, no_offers_option):
        command = wrap(command)
    command = click.option(
        "--certainty", default=CERTAINTY, show_default=True, help="Share one needs to be sure."
    )(command)
    command = click.option(
        "--top", default=DEFAULT_TOP, show_default=True, help="Sizes to list at most."
    )(command)
    command = click.option(
        "--list", "from_list", default="", metavar="NAME", help="Choose from a stored list's sizes."
    )(command)
    command = click.option(
        "--mark",
        multiple=True,
        metavar="TEXT",
        help="What can be read on it; ? for a lost character.",
    )(command)
    for option in reversed(options(name)):
        flag, key = f"--{option.name}", option.name.replace("-", "_")
        command = (
            reading_option(flag, key, help=option.words)
            if option.is_reading
            else click.option(flag, key, type=click.Choice(option.choices), help=option.words)
        )(command)
    for row in reversed(table(f"{name}/places").rows):
        place, words = row.text("place"), row.text("words")
        command = reading_option(
            f"--{place}", place.replace("-", "_"), help=f"{words[:1].upper()}{words[1:]}."
        )(command)
    run.__doc__ = f"Find the {found.title} from its dimensions, its seats or its mark."
    epilog = (
        f"\b\nExamples:\n  fitcheck part {name} {_folded(found.example)}\n\n"
        "A reading may name its instrument, as in 34.95mm@micrometer."
    )
    made: click.Command = click.command(name=name, cls=Command, epilog=epilog)(command)
    return made


_LINE = 58


def _folded(example: str) -> str:
    """A line of options, continued on the next where it is long."""
    lines = [""]
    for word in example.split():
        if word.startswith("--") and len(lines[-1]) + 2 * len(word) > _LINE:
            lines.append("")
        lines[-1] += f"{word} "
    return " \\\n      ".join(line.rstrip() for line in lines)


def asked_of(
    name: str, *, from_list: str = "", no_offers: bool = False, **given: Any
) -> dict[str, Any]:
    """The answer for one family from its options, as typed.

    Parameters
    ----------
    name : str
        The family's name.
    from_list : str
        A stored list to choose from; the family's tables when left out.
    no_offers : bool
        Whether the shop's lists are left alone.
    **given
        The options, with ``_`` for ``-``.
    """
    from fitcheck.cli.offers import bearing_offers, beyond, list_family, matched_against
    from fitcheck.job.part.answer import PartRequest, answer
    from fitcheck.parts.asked import options
    from fitcheck.tables import table

    read = [row.text("place") for row in table(f"{name}/places").rows]
    read += [option.name for option in options(name) if option.is_reading]
    chosen = [option.name for option in options(name) if not option.is_reading]
    request = PartRequest(
        kind=name,
        readings={place: given.pop(place.replace("-", "_")) for place in read},
        choices={option: given.pop(option.replace("-", "_")) or "" for option in chosen},
        **given,
    )
    listed = None
    if from_list:
        from fitcheck.lists.part_family import part_list

        listed = list_family(from_list, lambda sizes, of: part_list(sizes, family=name, name=of))
    with beyond(listed):
        found = answer(request, family=listed.family if listed else None)
    if listed:
        found = matched_against(found, listed)
    if not no_offers:
        # As for a bearing, the size is all that a list is asked for.
        bearing_offers(found)
    return found


def _answer(name: str, *, as_json: bool, unit: str, **given: Any) -> None:
    from fitcheck.report.part_text import part_text

    found = asked_of(name, unit=unit, **given)
    if as_json:
        print_json(found)
        return
    if unit == "in":
        from fitcheck.report.inch_text import in_inches

        found = in_inches(found)
    click.echo(part_text(found))


@click.group(name="part", cls=Kinds, epilog=GROUP_EXAMPLES)
def part() -> None:
    """Find other parts of the wheel end: O-rings, bushings, bearings, rings."""
