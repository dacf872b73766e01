"""Two tapered bearings as they are to be drawn: which they are, and where the shims sit."""

from __future__ import annotations

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.report.drawing.bearing_shape import BearingDrawing, checked_bearing

POSITIONS = ("cap", "retainer", "behind-cup", "spacer")


@dataclass(frozen=True, slots=True)
class PairDrawing:
    """Two bearings as they are to be drawn: the outer one stands at the shaft end.

    ``position`` is where the shims sit, empty where there are none; ``pack_mm`` how thick they
    are together.
    """

    outer: BearingDrawing
    inner: BearingDrawing
    title: str = ""
    position: str = ""
    pack_mm: float | None = None
    remarks: tuple[str, ...] = ()

    @property
    def unit(self) -> str:
        """The unit of the figures: inches where both bearings are drawn in them."""
        return "in" if self.outer.unit == self.inner.unit == "in" else "mm"

    @property
    def face_to_face(self) -> bool:
        """Whether a cap or retainer holds the cups, their backs outward."""
        return self.position in ("cap", "retainer")


def check_pair(drawing: PairDrawing) -> None:
    """Refuse what can't be drawn.

    Raises
    ------
    InputError
        The dimensions can't be those of bearings, or there is no such position of shims.
    """
    for bearing in (drawing.outer, drawing.inner):
        checked_bearing(bearing)
    if drawing.position and drawing.position not in POSITIONS:
        raise InputError(
            value=drawing.position,
            rule="shims sit in one of four places",
            todo=f"Use one of {', '.join(POSITIONS)}",
        )


def arrangement(drawing: PairDrawing) -> str:
    """How the bearings stand and what sets them, in words."""
    where = {
        "cap": "shims under the cap that holds the outer cup",
        "retainer": "shims under the retainer that holds the outer cup",
        "behind-cup": "shims behind the outer cup",
        "spacer": "shims beside the spacer between the cones",
    }.get(drawing.position, "set by the nut on the shaft end")
    return ("face to face, " if drawing.face_to_face else "back to back, ") + where
