"""`fitcheck serve`: what it asks for before it starts, and that it starts."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from fitcheck.cli.main import cli
from fitcheck.errors import InputError
from fitcheck.web.run import listening
from tests.conftest import Run


def kept(tmp_path: Path) -> Path:
    """Where the passphrase's hash is kept."""
    return tmp_path / "share" / "fitcheck" / "bench-page.json"


def test_this_machine_alone_is_asked_nothing(run: Run, tmp_path: Path) -> None:
    status, out, err = run("serve", "--check", "--port", "0")
    assert (status, err) == (0, "")
    assert re.fullmatch(
        r"The bench page is at http:[/]{2}127\.0\.0\.1:\d+/, for this machine alone; .*\n", out
    )
    assert not kept(tmp_path).exists()


def test_the_network_needs_a_passphrase_that_somebody_sets(run: Run, tmp_path: Path) -> None:
    words = ("serve", "--check", "--port", "0", "--host", "0.0.0.0")
    status, _, err = run(*words)
    assert status == 1
    assert "no passphrase is set" in err
    file = tmp_path / "passphrase"
    file.write_text("three wet ropes\n")
    status, out, _ = run(*words, "--passphrase-file", str(file))
    assert status == 0
    assert "with the shop's passphrase" in out
    text = kept(tmp_path).read_text()
    assert "three wet" not in text
    assert "$argon2id$" in text
    assert kept(tmp_path).stat().st_mode & 0o777 == 0o600
    # From then on nobody is asked.
    assert run(*words)[0] == 0
    assert kept(tmp_path).read_text() == text


def test_a_short_passphrase_is_none(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "passphrase"
    file.write_text("short\n")
    words = ("serve", "--check", "--port", "0", "--host", "0.0.0.0", "--passphrase-file", str(file))
    status, _, err = run(*words)
    assert status == 2
    assert "10 to 200 characters" in err
    assert "short" not in err
    assert run(*words[:-1], str(tmp_path / "none"))[0] == 2
    assert not kept(tmp_path).exists()


def test_at_a_terminal_it_is_typed_twice(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
    monkeypatch.setattr("fitcheck.cli.serve._at_terminal", lambda: True)
    typed = "three wet ropes\nthree wet ropes\n"
    words = ["serve", "--check", "--port", "0", "--host", "0.0.0.0"]
    done = CliRunner().invoke(cli, words, input=typed, catch_exceptions=False)
    assert done.exit_code == 0
    assert "three wet" not in done.output
    before = kept(tmp_path).read_text()
    done = CliRunner().invoke(cli, [*words, "--set-passphrase"], input=typed)
    assert done.exit_code == 0
    # A new key too: whoever was in must enter again.
    assert kept(tmp_path).read_text() != before


@pytest.mark.parametrize("damage", ["mode", "text", "hash"])
def test_a_damaged_passphrase_lets_nobody_in(run: Run, tmp_path: Path, damage: str) -> None:
    path = kept(tmp_path)
    path.parent.mkdir(parents=True)
    path.write_text({"text": "{", "hash": '{"hash": "", "secret": ""}'}.get(damage, "{}"))
    path.chmod(0o644 if damage == "mode" else 0o600)
    status, _, err = run("serve", "--check", "--port", "0", "--host", "0.0.0.0")
    assert status == 1
    assert str(path) in err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--host", "127.255.255.255", "--port", "x"), "--port"),
        (("--certificate", "x.pem"), "one goes with the other"),
        (("--certificate", "x.pem", "--key", "x.key"), "there is no such file"),
        (("--port", "70000"), "--port"),
        (("--max-upload", "0"), "--max-upload"),
    ],
)
def test_what_can_not_be_is_refused(run: Run, words: tuple[str, ...], said: str) -> None:
    status, _, err = run("serve", "--check", *words)
    assert status in (1, 2)
    assert said in err


def test_a_port_that_is_taken_is_told(run: Run) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        status, _, err = run("serve", "--check", "--port", str(port))
    assert status == 2
    assert f"127.0.0.1 port {port}" in err


def test_a_missing_package_is_named(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda _: None)
    status, _, err = run("serve", "--check")
    assert status == 1
    assert "pip install 'fitcheck[web]'" in err


def test_it_serves_until_it_is_ended(tmp_path: Path) -> None:
    words = [sys.executable, "-u", "-m", "fitcheck.cli.main", "serve", "--port", "0"]
    environment = {**os.environ, "XDG_DATA_HOME": str(tmp_path)}
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True, env=environment) as server:
        assert server.stdout is not None
        address = server.stdout.readline().split()[5].rstrip(",")
        try:
            with urllib.request.urlopen(f"{address}api/alive", timeout=20) as answer:
                assert answer.read() == b'{"alive":true}'
                assert "server" not in {name.lower() for name in answer.headers}
        finally:
            server.send_signal(signal.SIGINT)
        assert server.wait(20) in (0, 130, -signal.SIGINT)


def test_the_command_knows_its_own_words() -> None:
    command = cli.get_command(click.Context(cli), "serve")
    assert command is not None
    assert {param.name for param in command.params} >= {"host", "port", "names", "check"}


def test_an_address_that_is_not_this_machines_is_told() -> None:
    # An address that is kept for documents, so no machine has it.
    with pytest.raises(InputError, match="nothing can listen there"):
        listening("203.0.113.9", 0)
