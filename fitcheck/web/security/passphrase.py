"""The shop's passphrase: hashed in a file that only its user may read, with the session's key."""

from __future__ import annotations

import json
import os
import secrets
from dataclasses import dataclass
from pathlib import Path

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from fitcheck.errors import DataError, InputError
from fitcheck.store.location import data_folder

FILE_NAME = "bench-page.json"
SHORTEST = 10
LONGEST = 200
_MODE = 0o600


@dataclass(frozen=True, slots=True)
class Kept:
    """What the file holds: the hash of the passphrase, and the key that signs sessions."""

    hash: str
    secret: str


def kept_path() -> Path:
    """Where the passphrase's hash is kept: the user's data folder."""
    return data_folder() / FILE_NAME


def read_kept(path: Path) -> Kept | None:
    """What was kept; None where no passphrase was set yet.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    DataError
        It is damaged, or others may read it.
    """
    try:
        text = path.read_text(encoding="utf-8")
        mode = path.stat().st_mode & 0o777
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError) as error:
        raise _damaged(path, "it can't be read") from error
    if os.name == "posix" and mode & 0o077:
        raise DataError(
            value=str(path),
            rule=f"others than its user may read it (mode {mode:o})",
            todo=f"Set a new passphrase with --set-passphrase, after `chmod 600 {path}`",
        )
    try:
        found = json.loads(text)
        kept = Kept(str(found["hash"]), str(found["secret"]))
    except (ValueError, KeyError, TypeError) as error:
        raise _damaged(path, "this is not what was kept") from error
    if not kept.hash.startswith("$argon2") or len(kept.secret) < 32:
        raise _damaged(path, "this is not what was kept")
    return kept


def _damaged(path: Path, rule: str) -> DataError:
    return DataError(value=str(path), rule=rule, todo="Take it away and set the passphrase again")


def keep(path: Path, text: str) -> Kept:
    """Keep a new passphrase; whoever is in must enter again.

    Parameters
    ----------
    path : Path
        The file; it is replaced.
    text : str
        The passphrase.

    Raises
    ------
    InputError
        It is too short or too long.
    DataError
        The file can't be written.
    """
    check_new(text)
    kept = Kept(PasswordHasher().hash(text), secrets.token_urlsafe(32))
    beside = path.with_name(f".{FILE_NAME}-{secrets.token_hex(6)}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        # Born unreadable for others, not made so afterwards.
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _MODE)
        with open(handle, "w", encoding="utf-8") as target:
            json.dump({"hash": kept.hash, "secret": kept.secret}, target)
        os.replace(beside, path)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise DataError(
            value=str(path),
            rule=f"the passphrase can't be kept there ({error.strerror})",
            todo="Ask for the right to write there, or set XDG_DATA_HOME to another folder",
        ) from error
    return kept


def check_new(text: str) -> None:
    """See that a new passphrase is one.

    Parameters
    ----------
    text : str
        The passphrase.

    Raises
    ------
    InputError
        It is too short or too long, or has characters that can't be typed.
    """
    if not SHORTEST <= len(text) <= LONGEST or not text.isprintable():
        raise InputError(
            value="the passphrase",
            rule=f"it takes {SHORTEST} to {LONGEST} characters that can be typed",
            todo="Take a few words that don't belong together",
        )


def is_passphrase(text: str, *, kept_hash: str) -> bool:
    """Whether a text is the passphrase; slow by design.

    Parameters
    ----------
    text : str
        What was entered.
    kept_hash : str
        The hash.
    """
    if len(text) > LONGEST:
        return False
    try:
        return PasswordHasher().verify(kept_hash, text)
    except (VerificationError, InvalidHashError, UnicodeEncodeError):
        return False
