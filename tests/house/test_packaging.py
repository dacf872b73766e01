"""What is installed is whole: the tables reach the wheel, and a bare install stays small."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from email.parser import HeaderParser
from pathlib import Path

import pytest

import fitcheck
from fitcheck import tables

ROOT = Path(__file__).parents[2]
LIST_TABLES = """
import sys
sys.path.insert(0, sys.argv[1])
from fitcheck import tables
print(tables.data_folder())
print(*tables.table_names(), sep="\\n")
print(sum(len(tables.table(name).rows) for name in tables.table_names()))
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from the source archive as an installer would."""
    out = tmp_path_factory.mktemp("dist")
    subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(out), str(ROOT)],
        check=True,
        capture_output=True,
    )
    (found,) = out.glob("*.whl")
    return found


def metadata(wheel: Path, name: str) -> str:
    """A file of the wheel's own description."""
    with zipfile.ZipFile(wheel) as archive:
        (found,) = (n for n in archive.namelist() if n.endswith(f".dist-info/{name}"))
        return archive.read(found).decode("utf-8")


def test_every_data_file_and_module_is_in_the_wheel(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        packed = {name: archive.read(name) for name in archive.namelist()}
    for path in (ROOT / "data").rglob("*"):
        if path.is_file():
            name = f"fitcheck/data/{path.relative_to(ROOT / 'data').as_posix()}"
            assert packed[name] == path.read_bytes()
    for path in (ROOT / "fitcheck").rglob("*.py"):
        assert path.relative_to(ROOT).as_posix() in packed
    outside = [n for n in packed if not n.startswith(("fitcheck/", "fitcheck-"))]
    assert outside == []


def test_the_wheel_finds_its_tables(wheel: Path, tmp_path: Path) -> None:
    site = tmp_path / "site"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(site)
    done = subprocess.run(
        [sys.executable, "-I", "-c", LIST_TABLES, str(site)],
        check=True,
        capture_output=True,
        text=True,
        cwd=tmp_path,
    )
    folder, *names, rows = done.stdout.splitlines()
    assert folder == str(site / "fitcheck" / "data")
    assert names == tables.table_names()
    assert int(rows) == sum(len(tables.table(name).rows) for name in names)


def test_a_checkout_finds_its_tables() -> None:
    assert tables.data_folder() == str(ROOT / "data")


def test_a_bare_install_stays_small(wheel: Path) -> None:
    described = HeaderParser().parsestr(metadata(wheel, "METADATA"))
    needed = [line for line in described.get_all("Requires-Dist", []) if "extra ==" not in line]
    assert needed == ["click>=8.1", "msgspec>=0.18", "pint>=0.23"]
    assert set(described.get_all("Provides-Extra", [])) == {
        "bench",
        "charts",
        "counter",
        "postgres",
        "print",
        "proof",
        "test",
        "web",
    }
    assert described["Version"] == fitcheck.__version__


def test_the_wheel_installs_the_command(wheel: Path) -> None:
    assert "fitcheck = fitcheck.cli.main:main" in metadata(wheel, "entry_points.txt")
