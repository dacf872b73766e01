"""`fitcheck serve`: the bench page and the JSON interface, for browsers and programs."""

from __future__ import annotations

import sys

import click

from fitcheck.cli.common import Command
from fitcheck.errors import InputError

EXAMPLES = """\b
Without --host it is for this machine alone and asks nobody. On any other
address it asks for the shop's passphrase, which the first start sets; it is
kept as a hash in a file of yours. Whoever knows it may do all that the
commands do with the shop's store, except backup, restore and upgrade.

\b
For this machine:        fitcheck serve
For the shop's network:  fitcheck serve --host 0.0.0.0 --name bench.local

\b
Examples:
  fitcheck serve --check --port 0
"""

_HIGHEST_PORT = 65535


def _ask() -> str:
    """A new passphrase, typed twice."""
    text: str = click.prompt(
        "A new passphrase for the bench page", hide_input=True, confirmation_prompt="Once more"
    )
    return text


def _at_terminal() -> bool:
    """Whether somebody can be asked."""
    return sys.stdin is not None and sys.stdin.isatty()


@click.command(name="serve", cls=Command, epilog=EXAMPLES)
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    metavar="ADDRESS",
    help="Address to listen on; 0.0.0.0 is every one of this machine.",
)
@click.option(
    "--port",
    default=8137,
    show_default=True,
    type=click.IntRange(0, _HIGHEST_PORT),
    help="Port to listen on; 0 takes a free one.",
)
@click.option(
    "--name",
    "names",
    multiple=True,
    metavar="NAME",
    help="A name browsers may call it by, besides the address; repeatable.",
)
@click.option("--set-passphrase", is_flag=True, help="Set a new passphrase; all must enter again.")
@click.option(
    "--passphrase-file",
    default="",
    metavar="FILE",
    help="Set it from the first line of a file, where nobody can type it.",
)
@click.option("--certificate", default="", metavar="FILE", help="Certificate, to serve by TLS.")
@click.option("--key", default="", metavar="FILE", help="Its key.")
@click.option(
    "--max-upload",
    default=32,
    show_default=True,
    type=click.IntRange(1, 1024),
    metavar="MIB",
    help="Largest file that is taken.",
)
@click.option("--check", is_flag=True, help="See that it can start, say where, and end.")
def serve(
    *,
    host: str,
    port: int,
    names: tuple[str, ...],
    set_passphrase: bool,
    passphrase_file: str,
    certificate: str,
    key: str,
    max_upload: int,
    check: bool,
) -> None:
    """Serve the bench page and the JSON interface to browsers and programs."""
    from importlib import import_module

    from fitcheck.extras import import_needed

    if bool(certificate) != bool(key):
        raise InputError(
            value="--certificate and --key",
            rule="one goes with the other",
            todo="Give both, or none",
        )
    needed = ("fastapi", "uvicorn", "jinja2", "multipart", "itsdangerous", "argon2")
    import_needed(*needed, what="the bench page")
    # Imports run one way, and the page comes after the commands.
    run = import_module("fitcheck.web.run")
    wishes = run.Wishes(
        host=host,
        port=port,
        names=names,
        set_passphrase=set_passphrase,
        passphrase_file=passphrase_file,
        certificate=certificate,
        key=key,
        upload_mib=max_upload,
        check=check,
    )
    run.start(
        wishes,
        ask=_ask if _at_terminal() else None,
        tell=click.echo,
    )
