"""What can go wrong outside the program: each is one clear message, and nothing is lost."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from fitcheck.errors import DataError, InputError, NotKnownError
from fitcheck.extras import import_needed
from fitcheck.lists.lines import Block, Remark
from fitcheck.store import faults, open_store
from fitcheck.store.check import faults_found
from fitcheck.store.location import location
from fitcheck.store.schema import list_line, list_size, supplier_list
from fitcheck.store.shop import Store

Make = Callable[..., list[tuple[Block, list[Remark]]]]
Seals = Callable[..., list[dict[str, Any]]]
ROOT = Path(__file__).parents[2]
NOBODY = 65534


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A file for a store."""
    return tmp_path / "shop.sqlite"


@pytest.fixture
def filled(path: Path, blocks_of: Make, invented: Seals) -> Store:
    """A store with a list in a file."""
    store = open_store(str(path), create=True)
    store.replace_list("north", blocks_of(invented(3)))
    return store


def test_a_full_disk(filled: Store, blocks_of: Make, invented: Seals) -> None:
    @event.listens_for(filled.database.engine, "connect")
    def limit(raw: sqlite3.Connection, _record: Any) -> None:
        pages = raw.execute("PRAGMA page_count").fetchone()[0]
        raw.execute(f"PRAGMA max_page_count = {pages + 5}")

    with pytest.raises(DataError, match=r"the disk is full. Make room and try again"):
        filled.replace_list("north", blocks_of(invented(5000)))
    assert filled.list_info("north").lines == 3
    with filled.reading() as connection:
        assert faults_found(connection) == []


def test_a_file_that_may_not_grow(filled: Store, path: Path, tmp_path: Path) -> None:
    lines = "".join(f"{n:05d};35x52x7;4,20\n" for n in range(20_000))
    (tmp_path / "list.csv").write_text(f"no;size;price\n{lines}", encoding="utf-8")
    done = subprocess.run(
        [
            "bash",
            "-c",
            f'ulimit -f 300; exec "{sys.executable}" -m fitcheck.cli.main lists add north list.csv',
        ],
        env={**os.environ, "FITCHECK_DATABASE": str(path), "PYTHONPATH": str(ROOT)},
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert "Traceback" not in done.stderr
    assert "the disk" in done.stderr
    assert filled.list_info("north").lines == 3


@pytest.mark.parametrize("junk", [b"this is a letter, not a database. " * 200, b"\0" * 8192])
def test_a_file_that_is_no_database(path: Path, junk: bytes, blocks_of: Make) -> None:
    path.write_bytes(junk)
    store = open_store(str(path), create=True)
    for work in (store.lists, lambda: store.replace_list("a", blocks_of([{"part_number": "1"}]))):
        with pytest.raises(DataError, match=r"this is no store, or it is damaged.*last backup"):
            work()
    assert path.read_bytes() == junk


def test_a_file_that_is_damaged_inside(
    path: Path, filled: Store, blocks_of: Make, invented: Seals
) -> None:
    filled.replace_list("north", blocks_of(invented(5000)))
    data = bytearray(path.read_bytes())
    for start in range(5 * 4096, len(data), 4096):
        data[start : start + 100] = b"\xff" * 100
    path.write_bytes(data)
    with pytest.raises(DataError, match="damaged"):
        list(filled.blocks("north"))


def test_what_is_reported_of_a_damaged_file_may_be_no_text() -> None:
    with pytest.raises(DataError, match=r"damaged.*last backup"), faults.told("shop"):
        b"\xe4(".decode("utf-8")


def test_a_store_that_does_not_add_up_is_found(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    for name in ("a", "b", "c", "d", "e"):
        store.replace_list(name, blocks_of(invented(60)))
    a, b, c, d, e = (info.id for info in store.lists())
    with store.writing() as connection:
        connection.execute(
            list_line.delete().where(list_line.c.list_id == a, list_line.c.line == 2)
        )
        connection.execute(
            supplier_list.update().where(supplier_list.c.id == b).values(accepted=61)
        )
        connection.execute(
            list_size.update()
            .where(list_size.c.list_id == c, list_size.c.size_id == 0)
            .values(lines=9)
        )
        connection.execute(
            list_line.update()
            .where(list_line.c.list_id == d, list_line.c.line == 2)
            .values(size_id=99)
        )
        connection.execute(list_line.update().where(list_line.c.list_id == e).values(list_id=77))
    with store.reading() as connection:
        found = faults_found(connection)
    assert "list a: it should have 60 lines and has others" in found
    assert "list b: its counts do not add up" in found
    assert "list c: its sizes and its lines do not agree" in found
    assert "61 lines have no size" in found
    assert "60 lines have no execution" in found
    assert "lines of a list that is not there (77)" in found


def test_a_foreign_key_that_leads_nowhere_is_found(filled: Store, path: Path) -> None:
    with sqlite3.connect(path) as raw:
        raw.execute("INSERT INTO job_position VALUES (9, 0, 'a', 'a', 'seal', 'go', '')")
    raw.close()
    with filled.reading() as connection:
        assert faults_found(connection) == [
            "a row of job_position belongs to a row of job_card that is not there"
        ]


@pytest.fixture
def as_nobody() -> Iterator[Path]:
    """A folder that can be read and not written, by whoever the test then is."""
    folder = Path(tempfile.mkdtemp(prefix="fitcheck-ro-"))
    was = os.geteuid()
    try:
        yield folder
    finally:
        if was == 0:
            os.seteuid(0)
        folder.chmod(0o755)
        shutil.rmtree(folder)


def closed(folder: Path) -> None:
    """Let a folder and its files be read only; root is somebody else from here on."""
    for inner in folder.iterdir():
        inner.chmod(0o444)
    folder.chmod(0o555)
    if os.geteuid() == 0:
        os.seteuid(NOBODY)


def test_a_folder_that_may_not_be_written(
    as_nobody: Path, blocks_of: Make, invented: Seals
) -> None:
    closed(as_nobody)
    store = open_store(str(as_nobody / "inner" / "shop.sqlite"), create=True)
    with pytest.raises(DataError, match=r"the store can't be opened. See that its folder"):
        store.replace_list("north", blocks_of(invented(1)))
    store = open_store(str(as_nobody / "shop.sqlite"), create=True)
    with pytest.raises(DataError, match="the store can't be opened"):
        store.replace_list("north", blocks_of(invented(1)))


def test_a_store_that_may_not_be_written(as_nobody: Path, blocks_of: Make, invented: Seals) -> None:
    store = open_store(str(as_nobody / "shop.sqlite"), create=True)
    store.replace_list("north", blocks_of(invented(1)))
    closed(as_nobody)
    with pytest.raises(DataError, match="can't be"):
        store.replace_list("north", blocks_of(invented(2)))


def test_a_folder_in_the_place_of_the_file(tmp_path: Path, blocks_of: Make) -> None:
    store = open_store(str(tmp_path), create=True)
    with pytest.raises(DataError, match="the store can't be opened"):
        store.replace_list("north", blocks_of([{"part_number": "1"}]))


# --- PostgreSQL -----------------------------------------------------------------------------------


def test_a_server_that_is_not_there_and_a_password_that_stays_hidden(tmp_path: Path) -> None:
    with pytest.raises(DataError, match="the database server does not answer") as caught:
        open_store(f"postgresql+psycopg://shop:secret@/shop?host={tmp_path}")
    assert "secret" not in str(caught.value)


@pytest.mark.postgres
def test_a_database_that_the_server_does_not_have(postgresql: str) -> None:
    with pytest.raises(DataError, match="there is no such database on the server"):
        open_store(f"postgresql://shop@/nowhere?host={postgresql}")


# A connection that is lost under its transaction can't be rolled back: the pool logs that.
LOST = """
import sys
from psycopg import OperationalError
from fitcheck.errors import FitcheckError
from fitcheck.store.engine import Database
from fitcheck.store.location import location

def rolled_back(connection):
    raise OperationalError("the connection is lost")

database = Database(location(sys.argv[1]))
try:
    with database.connected() as connection:
        database.engine.dialect.do_rollback = rolled_back
        # Past the library's own transaction, as a list is staged.
        connection.connection.dbapi_connection.execute("SELECT 1 / 0")
except FitcheckError as error:
    print(error)
"""


@pytest.mark.postgres
def test_a_lost_connection_is_told_once_and_nothing_is_logged(postgresql: str) -> None:
    place = f"postgresql://shop@/postgres?host={postgresql}"
    words = [sys.executable, "-c", LOST, place]
    done = subprocess.run(words, capture_output=True, text=True, check=True, cwd=ROOT)
    assert "the database reports: division by zero" in done.stdout
    assert done.stderr == ""


@pytest.mark.postgres
def test_a_user_that_the_server_does_not_have(postgresql: str) -> None:
    with pytest.raises(DataError, match="refuses the login"):
        open_store(f"postgresql://stranger@/postgres?host={postgresql}")


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("53100", "the disk is full"),
        ("25006", "can't be written"),
        ("42501", "does not allow that"),
        ("28P01", "refuses the login"),
        ("57P01", "does not answer"),
        ("XX001", "damaged"),
        ("40P01", "another is writing"),
        ("22021", "the database reports: what it says"),
    ],
)
def test_what_a_server_reports(code: str, words: str) -> None:
    from psycopg.errors import Error

    class ReportedError(Error):
        sqlstate = code

    with pytest.raises(DataError, match=words), faults.told("shop"):
        raise ReportedError("what it says\nand more")


def test_other_errors_go_their_way() -> None:
    with pytest.raises(ZeroDivisionError), faults.told("shop"):
        raise ZeroDivisionError


# --- where it is ----------------------------------------------------------------------------------


def test_the_file_is_in_the_users_data_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.delenv("FITCHECK_DATABASE", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert location().path == tmp_path / "fitcheck" / "fitcheck.sqlite"
    monkeypatch.setenv("XDG_DATA_HOME", "not/absolute")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert location().path == tmp_path / ".local" / "share" / "fitcheck" / "fitcheck.sqlite"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("/srv/shop.sqlite", "/srv/shop.sqlite"),
        ("sqlite:////srv/shop.sqlite", "/srv/shop.sqlite"),
        ("postgresql://db/shop", "postgresql+psycopg://db/shop"),
        ("postgresql+psycopg://a:b@db:5432/shop", "postgresql+psycopg://a:***@db:5432/shop"),
        ("postgresql://a@/s?host=/run&password=b", "postgresql+psycopg://a@/s?host=/run"),
    ],
)
def test_places_as_messages_name_them(text: str, shown: str) -> None:
    assert location(text).shown == shown


@pytest.mark.parametrize(
    "text", ["mysql://db/shop", "sqlite://", "redis://db", "/", "postgresql+x://"]
)
def test_other_places_are_refused(text: str) -> None:
    with pytest.raises(InputError):
        location(text)


def test_a_url_that_can_not_be_read_is_refused() -> None:
    with pytest.raises(InputError, match="this is no URL of a database"):
        open_store("postgresql://shop@db:port/shop")


def test_a_missing_package_names_its_extra(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    with pytest.raises(NotKnownError, match=r"pip install 'fitcheck\[counter\]'"):
        import_needed("sqlalchemy", what="the shop's store")
