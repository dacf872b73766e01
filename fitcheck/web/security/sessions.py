"""Sessions in a signed cookie, and the token that a page of the same session carries."""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass
from hashlib import sha256

from itsdangerous import BadData, URLSafeTimedSerializer

COOKIE = "fitcheck_session"
_ID_BYTES = 16


@dataclass(frozen=True, slots=True)
class Session:
    """One browser: a number drawn at random, and whether it gave the passphrase."""

    id: str
    entered: bool = False


class Sessions:
    """Writes and reads the cookie; whoever lacks the secret can do neither.

    Parameters
    ----------
    secret : str
        The key.
    seconds : int
        How long a session lasts [s].
    secure : bool
        Whether the cookie is only sent by TLS.
    """

    def __init__(self, secret: str, *, seconds: int, secure: bool = False) -> None:
        self._signer = URLSafeTimedSerializer(
            secret, salt="fitcheck session", signer_kwargs={"digest_method": sha256}
        )
        self._key = sha256(b"fitcheck token" + secret.encode()).digest()
        self._seconds = seconds
        self._secure = secure

    def new(self, *, entered: bool = False) -> Session:
        """A session nobody had before.

        Parameters
        ----------
        entered : bool
            Whether the passphrase was given.
        """
        return Session(secrets.token_urlsafe(_ID_BYTES), entered)

    def read(self, cookie: str) -> Session | None:
        """The session of a cookie; None where it is forged, damaged or too old.

        Parameters
        ----------
        cookie : str
            The cookie's value.
        """
        try:
            found = self._signer.loads(cookie, max_age=self._seconds)
        except BadData:
            return None
        match found:
            case [str(number), bool(entered)]:
                return Session(number, entered)
        return None

    def header(self, session: Session) -> str:
        """The header that sets the cookie.

        Parameters
        ----------
        session : Session
            The session.
        """
        value = self._signer.dumps([session.id, session.entered])
        return self._cookie(str(value), self._seconds)

    def goodbye(self) -> str:
        """The header that takes the cookie away."""
        return self._cookie("", 0)

    def _cookie(self, value: str, seconds: int) -> str:
        end = "; Secure" if self._secure else ""
        return f"{COOKIE}={value}; Max-Age={seconds}; Path=/; HttpOnly; SameSite=Strict{end}"

    def token(self, session: Session) -> str:
        """What a page of the session sends along with whatever changes something.

        Parameters
        ----------
        session : Session
            The session.
        """
        return hmac.new(self._key, session.id.encode(), sha256).hexdigest()

    def is_token(self, session: Session, given: str) -> bool:
        """Whether a token is that of the session; takes as long whichever it is.

        Parameters
        ----------
        session : Session
            The session.
        given : str
            The token.
        """
        return hmac.compare_digest(self.token(session).encode(), given.encode())


def cookie_value(header: str) -> str:
    """The session's cookie in a ``Cookie`` header; empty where there is none.

    Parameters
    ----------
    header : str
        The header.

    Examples
    --------
    >>> cookie_value("a=b; fitcheck_session=x.y.z")
    'x.y.z'
    """
    for part in header.split(";"):
        name, _, value = part.strip().partition("=")
        if name == COOKIE:
            return value
    return ""
