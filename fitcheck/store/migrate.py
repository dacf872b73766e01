"""Bringing a store to a migration, within the caller's transaction."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, inspect, text

from fitcheck.errors import DataError
from fitcheck.store.schema import HEAD, VERSION_TABLE, metadata

if TYPE_CHECKING:
    from alembic.script import ScriptDirectory

FOLDER = Path(__file__).parent / "migrations"


def revision_of(connection: Connection) -> str | None:
    """The migration a database is at; None where it has no tables of ours.

    Parameters
    ----------
    connection : Connection
        The database.
    """
    if not inspect(connection).has_table(VERSION_TABLE):
        return None
    found = connection.execute(text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar()
    return None if found is None else str(found)


def foreign_tables(connection: Connection) -> list[str]:
    """Tables in a database that has none of ours: it belongs to another program.

    Parameters
    ----------
    connection : Connection
        The database.
    """
    return sorted(inspect(connection).get_table_names())


def known_revisions() -> list[str]:
    """Every migration, the first one first."""
    return [step.revision for step in reversed(list(_scripts().walk_revisions()))]


def migrate(connection: Connection, *, to: str = HEAD) -> None:
    """Bring a database to a migration; nothing is done where it is there already.

    Parameters
    ----------
    connection : Connection
        The database, in a transaction that the caller commits: all migrations or none.
    to : str
        The migration.
    """
    from alembic.migration import MigrationContext
    from alembic.operations import Operations

    now = revision_of(connection)
    if now == to:
        return
    scripts = _scripts()
    steps = reversed(list(scripts.iterate_revisions(to, now or "base")))
    context = MigrationContext.configure(connection, opts={"version_table": VERSION_TABLE})
    with Operations.context(context):
        for step in steps:
            step.module.upgrade()
    context.stamp(scripts, to)


def drop_all(connection: Connection) -> None:
    """Take every table of ours out of a database.

    Parameters
    ----------
    connection : Connection
        The database, in a transaction that the caller commits.
    """
    metadata.drop_all(connection)
    connection.execute(text(f"DROP TABLE IF EXISTS {VERSION_TABLE}"))


def refuse_other(shown: str, revision: str) -> None:
    """Refuse a store that is not at the newest migration.

    Parameters
    ----------
    shown : str
        What messages call the store.
    revision : str
        The migration it is at.

    Raises
    ------
    DataError
        It is older or newer than this program.
    """
    if revision == HEAD:
        return
    if revision in known_revisions():
        raise DataError(
            value=shown,
            rule=f"its tables are of an older version ({revision}; this program's are {HEAD})",
            todo="Bring them up to date with `fitcheck store upgrade`; nothing in them is lost",
        )
    raise DataError(
        value=shown,
        rule=f"its tables are of a newer version ({revision}; this program's are {HEAD})",
        todo="Update fitcheck",
    )


def _scripts() -> ScriptDirectory:
    from alembic.script import ScriptDirectory

    return ScriptDirectory(FOLDER, version_locations=[FOLDER / "versions"])
