"""`fitcheck store`: the shop's own data as a whole: where it is, saved, brought back."""

from __future__ import annotations

import os
from typing import Any

import click

from fitcheck.cli.common import Group, json_option, print_json, terminal_width, wrap
from fitcheck.errors import InputError
from fitcheck.store.records import counted

EXAMPLES = """\b
The store is a SQLite file in the user's data folder. FITCHECK_DATABASE names
another file, or a PostgreSQL that branches share:
postgresql+psycopg://USER@HOST/DATABASE. Share a database, not the file: on a
network drive a SQLite file can be damaged.

\b
Examples:
  fitcheck store info
  fitcheck jobs keep data/demo/winch.toml
  fitcheck store backup shop.backup
  fitcheck store restore shop.backup --replace
"""

INFO_EXAMPLES = """\b
Examples:
  fitcheck store info
  fitcheck store info --check --json
"""

BACKUP_EXAMPLES = """\b
Examples:
  fitcheck jobs keep data/demo/winch.toml
  fitcheck store backup shop.backup
"""

RESTORE_EXAMPLES = """\b
Examples:
  fitcheck jobs keep data/demo/winch.toml
  fitcheck store backup shop.backup
  fitcheck store restore shop.backup --replace
"""

UPGRADE_EXAMPLES = """\b
Examples:
  fitcheck store upgrade
"""


@click.group(name="store", cls=Group, epilog=EXAMPLES)
def store() -> None:
    """Look after the shop's own data."""


@store.command(epilog=INFO_EXAMPLES)
@click.option("--check", is_flag=True, help="Go through everything and see that it is sound.")
@json_option
def info(*, check: bool, as_json: bool) -> None:
    """Say where the store is and what it holds."""
    answer = store_facts(check=check)
    if as_json:
        print_json(answer)
        return
    lines = [f"store: {answer['store']}"]
    if not answer["there"]:
        lines.append("there is none yet; it is made when a list is added or a job card kept")
    else:
        lines.append(
            "holds: " + ", ".join(counted(n, what[:-1]) for what, n in answer["holds"].items())
        )
    if "faults" in answer:
        lines += [f"fault: {fault}" for fault in answer["faults"]] or ["everything in it is sound"]
    for line in lines:
        click.echo(wrap(line, width=terminal_width(), hanging="  "))


def store_facts(*, check: bool) -> dict[str, Any]:
    """Where the store is and what it holds.

    Parameters
    ----------
    check : bool
        Whether everything is gone through, to see that it is sound.
    """
    from fitcheck.store import open_store, store_is_there
    from fitcheck.store.location import location

    answer: dict[str, Any] = {"store": location().shown, "there": store_is_there()}
    if answer["there"]:
        from fitcheck.store.backup import held
        from fitcheck.store.check import faults_found
        from fitcheck.store.schema import HEAD

        with open_store().reading() as connection:
            holds = {f"{what}s": count for what, count in held(connection).items()}
            answer |= {"tables": HEAD, "holds": holds}
            if check:
                answer["faults"] = faults_found(connection)
    return answer


@store.command(epilog=BACKUP_EXAMPLES)
@click.argument("file")
@json_option
def backup(*, file: str, as_json: bool) -> None:
    """Save the whole store to FILE; it can be brought back into either database.

    The file appears under its name when it is complete. An earlier backup of
    that name is replaced, another file is not.
    """
    from fitcheck.cli.saving import complete
    from fitcheck.store import open_store
    from fitcheck.store.backup import is_backup, write_backup

    if os.path.isfile(file) and not is_backup(file):
        raise InputError(
            value=file,
            rule="this file is no backup, and it would be replaced",
            todo="Name another file",
        )
    opened = open_store()
    with complete(file) as path, open(path, "wb") as target:
        contents = write_backup(opened, target)
    _report(contents.rows, file, "saved to", as_json=as_json)


@store.command(epilog=RESTORE_EXAMPLES)
@click.argument("file")
@click.option("--replace", is_flag=True, help="Replace what the store holds.")
@json_option
def restore(*, file: str, replace: bool, as_json: bool) -> None:
    """Fill the store from the backup FILE, whole or not at all."""
    from fitcheck.store import open_store
    from fitcheck.store.backup import read_backup

    contents = read_backup(open_store(create=True), file, replace=replace)
    _report(contents.rows, file, "brought back from", as_json=as_json)


def _report(rows: Any, file: str, words: str, *, as_json: bool) -> None:
    if as_json:
        print_json({"file": file, "rows": dict(rows)})
        return
    click.echo(
        wrap(
            f"{counted(rows['supplier_list'], 'list')} with {counted(rows['list_line'], 'line')} "
            f"and {counted(rows['job_card'], 'job card')} {words} {file}",
            width=terminal_width(),
        )
    )


@store.command(epilog=UPGRADE_EXAMPLES)
@json_option
def upgrade(*, as_json: bool) -> None:
    """Bring the store's tables up to date, or make them."""
    from fitcheck.store import open_store
    from fitcheck.store.schema import HEAD

    before = open_store(create=True).upgrade()
    if as_json:
        print_json({"before": before, "now": HEAD})
    elif before == HEAD:
        click.echo(f"The tables are up to date ({HEAD}).")
    else:
        click.echo(f"The tables were at {before or 'nothing'} and are at {HEAD} now.")
