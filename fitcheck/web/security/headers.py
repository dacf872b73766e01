"""The headers that every answer carries."""

from __future__ import annotations

from collections.abc import Iterable

# Nothing from outside and nothing written into a page runs; no other page may frame this one.
POLICY = "; ".join(
    (
        "default-src 'self'",
        "img-src 'self' data:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)

STRICT: tuple[tuple[bytes, bytes], ...] = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    # With "no-referrer" a browser sends the forms of our own pages without their origin.
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (
        b"permissions-policy",
        b"camera=(), microphone=(), geolocation=(), payment=(), usb=(), interest-cohort=()",
    ),
)
_FIXED = frozenset(name for name, _ in STRICT)

Headers = list[tuple[bytes, bytes]]


def strict(
    given: Iterable[tuple[bytes, bytes]], *, kept: bool = False, cookies: Iterable[str] = ()
) -> Headers:
    """The headers of an answer with those that every answer has.

    Parameters
    ----------
    given : iterable of tuple of bytes
        The answer's own.
    kept : bool
        Whether a browser may keep the answer, after asking whether it is still the same.
    cookies : iterable of str
        Cookies to set.
    """
    found = [(name, value) for name, value in given if name.lower() not in _FIXED]
    if not any(name.lower() == b"cache-control" for name, _ in found):
        found.append((b"cache-control", b"no-cache" if kept else b"no-store"))
    found += STRICT
    found += [(b"set-cookie", cookie.encode("latin-1")) for cookie in cookies]
    return found
