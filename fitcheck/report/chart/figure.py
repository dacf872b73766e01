"""A matplotlib figure as bytes: the same every time, and fit to stand inside a page."""

from __future__ import annotations

import re
from hashlib import sha256
from io import BytesIO
from typing import TYPE_CHECKING

from fitcheck.errors import InputError
from fitcheck.report.drawing.svg import escaped

if TYPE_CHECKING:
    from matplotlib.figure import Figure

KINDS = ("svg", "png")
_DOTS_PER_INCH = 200


def figure_bytes(figure: Figure, *, title: str, description: str, kind: str) -> bytes:
    """Write a figure.

    Parameters
    ----------
    figure : Figure
        The figure.
    title, description : str
        What a screen reader says of it.
    kind : str
        ``svg`` or ``png``.

    Raises
    ------
    InputError
        There is no such kind of picture.
    """
    if kind not in KINDS:
        raise InputError(
            value=kind,
            rule="a chart is written as SVG or as PNG",
            todo="Give the file a name that ends in .svg or .png",
        )
    out = BytesIO()
    if kind == "png":
        metadata = {"Title": title, "Description": description, "Software": None}
        figure.savefig(
            out, format="png", dpi=_DOTS_PER_INCH, bbox_inches="tight", metadata=metadata
        )
        return out.getvalue()
    figure.savefig(out, format="svg", bbox_inches="tight", metadata={"Date": None})
    return plain_svg(out.getvalue().decode(), title=title, description=description).encode()


def plain_svg(text: str, *, title: str, description: str) -> str:
    """An SVG document without what can't stand inside a page: prolog, metadata, clashing names.

    Parameters
    ----------
    text : str
        The document as matplotlib writes it.
    title, description : str
        What a screen reader says of it.
    """
    body = text[text.index("<svg") :]
    body = re.sub(r"<metadata>.*?</metadata>\s*", "", body, flags=re.DOTALL)
    # Laid out for a wide font, it may be shown in whatever sans-serif there is.
    body = re.sub(r"(font: (?:bold )?[\d.]+px) [^;\"]*", r"\1 sans-serif", body)
    body = re.sub(r"(font-family: )[^;\"]*", r"\1sans-serif", body)
    # Names that nothing refers to go; the others get a beginning of this figure's own.
    used = set(re.findall(r"(?:url\(#|href=\"#)([^)\"]+)", body))
    own = "c" + sha256(body.encode()).hexdigest()[:8] + "-"

    def renamed(found: re.Match[str]) -> str:
        return f' id="{own}{found[1]}"' if found[1] in used else ""

    body = re.sub(r'\sid="([^"]+)"', renamed, body)
    body = re.sub(r"(url\(#|href=\"#)", rf"\g<1>{own}", body)
    head, rest = body.split(">", 1)
    return (
        f'{head} role="img">\n<title>{escaped(title)}</title>\n'
        f"<desc>{escaped(description)}</desc>{rest}"
    )
