"""Packages that come with an extra, and which extra to ask for when one is missing."""

from __future__ import annotations

from fitcheck.errors import NotKnownError

_EXTRAS = {
    "alembic": "counter",
    "argon2": "web",
    "fastapi": "web",
    "itsdangerous": "web",
    "jinja2": "print",
    "matplotlib": "charts",
    "multipart": "web",
    "numpy": "counter",
    "openpyxl": "counter",
    "psycopg": "postgres",
    "segno": "print",
    "sqlalchemy": "counter",
    "uvicorn": "web",
    "weasyprint": "print",
}


def import_needed(*packages: str, what: str) -> None:
    """See that packages are installed, and say which extra brings one that is not.

    Parameters
    ----------
    *packages : str
        The packages.
    what : str
        What needs them, such as ``a workbook``.

    Raises
    ------
    NotKnownError
        One is not installed.
    """
    from importlib.util import find_spec

    for package in packages:
        if find_spec(package) is None:
            raise NotKnownError(
                value=f"{what} needs the package {package}",
                rule="which is not installed",
                todo=f"pip install 'fitcheck[{_EXTRAS[package]}]'",
            )
