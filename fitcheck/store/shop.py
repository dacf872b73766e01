"""The store: lists, job cards, stock and demand, in one database.

Reading never makes a database and never changes its tables; the first thing that is written makes
them, or brings them up to date.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from fitcheck.errors import DataError, NotKnownError
from fitcheck.lists.items import SizeKey
from fitcheck.lists.lines import FIELD_NAMES
from fitcheck.store.engine import Database
from fitcheck.store.lists_read import Moment, NamedBlock
from fitcheck.store.lists_write import Marked, remove_list, replace_list
from fitcheck.store.location import WAIT_S, Location
from fitcheck.store.migrate import foreign_tables, migrate, refuse_other, revision_of
from fitcheck.store.records import Counts, ListInfo
from fitcheck.store.schema import HEAD

if TYPE_CHECKING:
    from sqlalchemy import Connection


class Store:
    """One store.

    Parameters
    ----------
    place : Location
        Where it is.
    wait_s : float
        How long a writer waits for another [s].
    """

    def __init__(self, place: Location, *, wait_s: float = WAIT_S) -> None:
        self.place = place
        self.database = Database(place, wait_s=wait_s)

    # --- being there --------------------------------------------------------------------------

    def revision(self) -> str | None:
        """The migration the tables are at; None where there is no store yet."""
        if self.place.path is not None and not self.place.path.exists():
            return None
        with self.database.reading() as connection:
            return self._revision(connection)

    def upgrade(self) -> str | None:
        """Make the tables, or bring them up to date.

        Returns
        -------
        str or None
            The migration they were at.
        """
        self.database.make_file()
        with self.database.writing() as connection:
            self.database.lock_schema(connection)
            before = self._revision(connection)
            if before is not None and before != HEAD:
                self._refuse_newer(before)
            migrate(connection)
        return before

    def _revision(self, connection: Connection) -> str | None:
        """The migration the tables are at; a file of another program is refused."""
        found = revision_of(connection)
        tables = foreign_tables(connection) if found is None and self.database.is_sqlite else ()
        if tables:
            raise DataError(
                value=self.place.shown,
                rule=f"this database belongs to another program (it has {tables[0]})",
                todo="Name a file of its own in FITCHECK_DATABASE",
            )
        return found

    def _refuse_newer(self, revision: str) -> None:
        from fitcheck.store.migrate import known_revisions

        if revision not in known_revisions():
            refuse_other(self.place.shown, revision)

    def ready(self) -> None:
        """See that everything can be written: the tables are made or brought up to date."""
        if self.revision() != HEAD:
            self.upgrade()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that reads one moment of the store.

        Raises
        ------
        NotKnownError
            There is no store yet.
        DataError
            Its tables are older or newer than this program.
        """
        if self.place.path is not None and not self.place.path.exists():
            raise no_store(self.place)
        with self.database.reading() as connection:
            revision = self._revision(connection)
            if revision is None:
                raise no_store(self.place)
            refuse_other(self.place.shown, revision)
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A connection in a writer's transaction."""
        self.ready()
        with self.database.writing() as connection:
            yield connection

    # --- lists --------------------------------------------------------------------------------

    @contextmanager
    def moment(self) -> Iterator[Moment]:
        """The lists as they are now, to be read in several steps that belong together."""
        with self.reading() as connection:
            yield Moment(connection)

    def replace_list(
        self,
        name: str,
        blocks: Iterable[Marked],
        *,
        source: str = "",
        unit: str = "",
        plan: Mapping[str, Any] | None = None,
        remember: Mapping[str, Any] | None = None,
        counts: Callable[[], Counts] | None = None,
    ) -> ListInfo:
        """Store a list in the place of the one of this name, whole or not at all.

        Parameters are those of :func:`fitcheck.store.lists_write.replace_list`.
        """
        self.ready()
        return replace_list(
            self.database,
            name,
            blocks,
            source=source,
            unit=unit,
            plan=plan,
            remember=remember,
            counts=counts,
        )

    def remove_list(self, name: str) -> None:
        """Take a list out of the store.

        Parameters
        ----------
        name : str
            Its name.
        """
        with self.moment() as moment:
            moment.list_info(name)
        self.ready()
        remove_list(self.database, name)

    def lists(self) -> list[ListInfo]:
        """Every list, by name."""
        with self.moment() as moment:
            return moment.lists()

    def list_info(self, name: str) -> ListInfo:
        """One list; see :meth:`Moment.list_info`."""
        with self.moment() as moment:
            return moment.list_info(name)

    def sizes(self, name: str | None = None) -> dict[SizeKey, int]:
        """The distinct sizes of one list or all, each with its number of lines."""
        with self.moment() as moment:
            return moment.sizes(name)

    def blocks(
        self, name: str | None = None, *, columns: Sequence[str] = FIELD_NAMES
    ) -> Iterator[NamedBlock]:
        """The lines of one list or all, in the order of their files; see :meth:`Moment.blocks`."""
        with self.moment() as moment:
            yield from moment.blocks(name, columns=columns)

    def column_plan(self, supplier: str) -> Mapping[str, Any] | None:
        """The columns remembered for a supplier; None where nothing is, or no store."""
        if self.revision() is None:
            return None
        with self.moment() as moment:
            return moment.column_plan(supplier)


def no_store(place: Location) -> NotKnownError:
    """The error for a store that isn't there yet.

    Parameters
    ----------
    place : Location
        Where it was looked for.
    """
    return NotKnownError(
        value=place.shown,
        rule="there is no store there yet",
        todo="It is made when a list is added (`fitcheck lists add`) or a job card kept "
        "(`fitcheck jobs keep`); FITCHECK_DATABASE names another place",
    )
