"""The command itself: help, exit statuses, messages, and what every command shares."""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from io import StringIO
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

import fitcheck
from fitcheck.cli import common, main
from fitcheck.errors import AmbiguousError, InputError, NotKnownError

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def trial(monkeypatch: pytest.MonkeyPatch) -> Callable[[BaseException | None], None]:
    """Put a command `trial` into the program that fails as told."""

    def prepare(error: BaseException | None) -> None:
        @click.command(cls=common.Command)
        def command() -> None:
            if error is not None:
                raise error
            click.echo("done")

        entry = ("fitcheck.cli.main:_trial", "Fail as told.")
        monkeypatch.setitem(main.COMMANDS, "trial", entry)
        monkeypatch.setattr(main, "_trial", command, raising=False)

    return prepare


# --- finding commands ---------------------------------------------------------------------------


@pytest.mark.parametrize("name", main.COMMANDS)
def test_every_command_loads_by_the_name_in_the_list_and_fails_like_the_others(name: str) -> None:
    module, _, attribute = main.COMMANDS[name][0].partition(":")
    command = getattr(import_module(module), attribute)
    assert isinstance(command, common.Command | common.Group)
    assert command.name == name


def test_help_lists_every_command(run: Run) -> None:
    status, out, err = run("--help")
    assert (status, err) == (0, "")
    for name, (_, short) in main.COMMANDS.items():
        assert f"  {name}" in out
        assert short in out


def test_help_fits_eighty_columns(run: Run) -> None:
    assert max(len(line) for line in run("--help")[1].splitlines()) <= 80


def test_version(run: Run) -> None:
    assert run("--version") == (0, f"fitcheck {fitcheck.__version__}\n", "")


def test_no_command_is_wrong_usage_and_shows_help(run: Run) -> None:
    status, out, err = run()
    assert status in (0, 2)  # click 8.2 began to call this wrong usage
    assert "Commands:" in out + err


def test_a_mistyped_command_is_answered_with_the_nearest(run: Run) -> None:
    status, out, err = run("bearin", "--bore", "30")
    assert (status, out) == (2, "")
    assert "No such command 'bearin'. Did you mean 'bearing'?" in err


def test_a_word_like_no_command_is_answered_with_all_of_them(run: Run) -> None:
    status, _, err = run("xyzzy")
    assert status == 2
    assert "There are: hub, seal, bearing" in err


def test_an_option_that_is_not_there_is_wrong_usage(run: Run) -> None:
    status, out, err = run("--frobnicate")
    assert (status, out) == (2, "")
    assert "No such option" in err


# --- failing ------------------------------------------------------------------------------------

FAILURES = [
    (NotKnownError(value="Q9", rule="there is no such thing", todo="Look again"), 1),
    (InputError(value="1 1 1", rule="this is no length", todo="Write it as 34.92"), 2),
    (AmbiguousError(value="1,250", readings=("1.250", "1250")), 2),
]


@pytest.mark.parametrize(("error", "status"), FAILURES)
def test_a_failure_is_one_line_on_stderr_with_its_status(
    trial: Callable[..., None], run: Run, error: Exception, status: int
) -> None:
    trial(error)
    assert run("trial") == (status, "", f"fitcheck: {error}\n")


@pytest.mark.parametrize(("error", "status"), FAILURES)
def test_a_command_run_by_itself_fails_the_same_way(error: Exception, status: int) -> None:
    @click.command(cls=common.Command)
    def command() -> None:
        raise error

    result = CliRunner().invoke(command, [])
    assert (result.exit_code, result.stderr) == (status, f"fitcheck: {error}\n")


@pytest.mark.parametrize(("error", "status"), FAILURES)
def test_the_console_script_gives_the_same_status(
    trial: Callable[..., None],
    capsys: pytest.CaptureFixture[str],
    error: Exception,
    status: int,
) -> None:
    trial(error)
    assert main.run(["trial"]) == status
    assert capsys.readouterr().err == f"fitcheck: {error}\n"


def test_an_option_that_refuses_its_value_is_wrong_usage() -> None:
    def refuse(ctx: click.Context, param: click.Parameter, value: str) -> str:
        raise InputError(value=value, rule="this is no length", todo="Write it as 34.92")

    @click.command(cls=common.Command)
    @click.option("--shaft", callback=refuse)
    def command(shaft: str) -> None: ...

    result = CliRunner().invoke(command, ["--shaft", "1.2.3"])
    assert result.exit_code == 2
    assert result.stderr == "fitcheck: 1.2.3: this is no length. Write it as 34.92\n"


def test_success_is_zero(
    trial: Callable[..., None], capsys: pytest.CaptureFixture[str], run: Run
) -> None:
    trial(None)
    assert main.run(["trial"]) == 0
    assert capsys.readouterr().out == "done\n"
    assert main.run(["--help"]) == 0


def test_wrong_usage_is_two(capsys: pytest.CaptureFixture[str]) -> None:
    assert main.run(["xyzzy"]) == 2
    assert "No such command 'xyzzy'" in capsys.readouterr().err


def test_an_interrupt_is_130(trial: Callable[..., None]) -> None:
    trial(KeyboardInterrupt())
    assert main.run(["trial"]) == 130


def test_a_fault_of_ours_is_one_sentence(
    trial: Callable[..., None],
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("FITCHECK_DEBUG", raising=False)
    trial(ZeroDivisionError("division by zero"))
    assert main.run(["trial"]) == 1
    err = capsys.readouterr().err
    assert "this is a fault in the program (ZeroDivisionError: division by zero)" in err
    assert "FITCHECK_DEBUG=1" in err
    assert len(err.splitlines()) == 1


def test_a_fault_of_ours_shows_where_when_asked(
    trial: Callable[..., None], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FITCHECK_DEBUG", "1")
    trial(ZeroDivisionError("division by zero"))
    with pytest.raises(ZeroDivisionError):
        main.run(["trial"])


def test_a_fault_of_ours_is_not_hidden_from_tests(trial: Callable[..., None], run: Run) -> None:
    trial(ZeroDivisionError("division by zero"))
    with pytest.raises(ZeroDivisionError):
        run("trial")


def test_a_reader_that_leaves_early_is_no_news() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "w") as closed:
        done = subprocess.run(
            [sys.executable, "-m", "fitcheck.cli.main", "tables", "--json"],
            stdout=closed,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
            cwd=Path(__file__).parents[2],
        )
    assert done.stderr == ""


# --- what commands share ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Part:
    """A record such as commands print."""

    size: str
    bore_mm: float
    layers: tuple[int, ...]


def test_records_become_objects() -> None:
    assert common.tidy(Part(size="35 x 52 x 7", bore_mm=51.9999999999, layers=(1, 2))) == {
        "size": "35 x 52 x 7",
        "bore_mm": 52.0,
        "layers": [1, 2],
    }


def test_whole_numbers_stay_whole_and_truth_stays_truth() -> None:
    assert json.dumps(common.tidy([21, 21.0, True, None, -0.0000001])) == (
        "[21, 21.0, true, null, 0.0]"
    )


def test_what_has_no_json_form_is_refused() -> None:
    with pytest.raises(TypeError, match="of type set has no JSON form"):
        common.tidy({"sizes": {1, 2}})


def test_no_number_that_json_lacks_is_printed() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        common.print_json({"bore_mm": float("nan")})


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e6, max_value=1e6))
def test_rounding_loses_less_than_a_nanometre(value: float) -> None:
    assert common.tidy(value) == pytest.approx(value, abs=1e-6)


@given(st.text(alphabet="abc -x\n", max_size=200), st.integers(min_value=20, max_value=80))
def test_wrapping_keeps_every_word(text: str, width: int) -> None:
    wrapped = common.wrap(text, width=width)
    assert wrapped.split() == text.split()
    assert all(len(line) <= width or " " not in line for line in wrapped.split("\n"))


def test_columns_stack_their_headings_before_they_wrap_text() -> None:
    header = ["cup_width_mm", "note"]
    rows = [["7", "a word or two"]]
    assert common.aligned(header, rows, right={0}, width=24) == "\n".join(
        [
            "  cup",
            "width",
            "   mm  note",
            "    7  a word or two",
        ]
    )


def test_columns_stay_aligned_where_a_word_is_too_long_to_fit() -> None:
    rows = [["x" * 50, "1"], ["y", "2"]]
    lines = common.aligned(["name", "n"], rows, right={1}, width=40).split("\n")
    assert {len(line) for line in lines} == {53}


@given(
    st.lists(st.text(alphabet="abc ", max_size=60).map(str.strip), min_size=1, max_size=5),
    st.integers(min_value=40, max_value=100),
)
def test_wrapped_columns_keep_every_word(cells: list[str], width: int) -> None:
    header = [f"c{i}" for i in range(len(cells))]
    lines = common.aligned(header, [cells], width=width).split("\n")[1:]
    assert sorted(" ".join(lines).split()) == sorted(" ".join(cells).split())


def test_a_file_is_read_without_its_byte_order_mark(tmp_path: Path) -> None:
    path = tmp_path / "sheet.toml"
    path.write_bytes('\ufeff[job]\r\nname = "é"\r\n'.encode())
    with common.open_text(str(path)) as handle:
        assert handle.read() == '[job]\nname = "é"\n'


def test_a_dash_is_stdin() -> None:
    @click.command(cls=common.Command)
    @click.argument("path")
    def command(path: str) -> None:
        with common.open_text(path) as handle:
            click.echo(handle.read().upper())

    assert CliRunner().invoke(command, ["-"], input="a\r\nb\n").stdout == "A\nB\n\n"


@pytest.mark.parametrize(
    ("prepare", "message"),
    [
        (lambda path: None, "there is no such file"),
        (lambda path: path.mkdir(), "this can't be read as a file"),
        (lambda path: path.write_bytes(b"caf\xe9"), r"this is not UTF-8 text \(byte 3\)"),
    ],
)
def test_a_file_that_cannot_be_read_is_wrong_usage(
    tmp_path: Path, prepare: Callable[[Path], object], message: str
) -> None:
    path = tmp_path / "sheet.toml"
    prepare(path)
    with pytest.raises(InputError, match=message), common.open_text(str(path)) as handle:
        handle.read()


def test_an_error_of_the_reader_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "sheet.toml"
    path.write_text("x", encoding="utf-8")
    missing = FileNotFoundError(errno.ENOENT, "No such file", "other")
    with pytest.raises(FileNotFoundError), common.open_text(str(path)):
        raise missing


def test_progress_is_silent_where_nobody_looks(capsys: pytest.CaptureFixture[str]) -> None:
    assert list(common.progress([1, 2, 3], label="Reading")) == [1, 2, 3]
    assert capsys.readouterr() == ("", "")


def test_progress_shows_on_a_terminal_and_never_on_stdout(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    class Terminal(StringIO):
        def isatty(self) -> bool:
            return True

    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    assert list(common.progress([1, 2, 3], label="Reading")) == [1, 2, 3]
    assert "Reading" in terminal.getvalue()
    assert capsys.readouterr().out == ""
