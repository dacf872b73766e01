"""Names on a chart by matplotlib: beside the axes or beside their marks, never on a line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from fitcheck.report.chart.clear import Box, clear_place, spread

if TYPE_CHECKING:
    from matplotlib.axes import Axes

# From the end of a line to the left of its name.
_LEADER: Any = {"arrowstyle": "-", "color": "0.35", "linewidth": 0.5, "relpos": (0.0, 0.5)}


def literal(text: str) -> str:
    """A text that matplotlib doesn't take for a formula.

    >>> literal("5 $ and 6 $")
    '5 \\\\$ and 6 \\\\$'
    """
    shown = "".join(c if c.isprintable() else " " for c in text)
    return shown.replace("$", r"\$")


def end_names(axes: Axes, names: Sequence[tuple[float, float, str]]) -> None:
    """Names beside the chart at the height of the ends of their lines, each on a line of its own.

    A hair line leads from the end of a line to a name that had to stand elsewhere.

    Parameters
    ----------
    axes : Axes
        The axes, their limits set.
    names : sequence of (x, y, name)
        Where each line ends, and its name.
    """
    if not names:
        return
    ordered = sorted(names, key=lambda entry: entry[1])
    low, high = axes.get_ylim()
    right = axes.get_xlim()[1]
    places = spread([y for _, y, _ in ordered], apart=0.065 * (high - low), low=low, high=high)
    for (x, y, name), place in zip(ordered, places, strict=True):
        axes.annotate(
            literal(name),
            (x, y),
            xytext=(1.045, (place - low) / (high - low)),
            textcoords="axes fraction",
            va="center",
            annotation_clip=False,
            arrowprops=_LEADER if x < right or place != y else None,
        )


def mark_names(
    axes: Axes,
    marked: Sequence[tuple[str, tuple[float, float]]],
    runs: Sequence[Sequence[tuple[float, float]]],
) -> None:
    """The names of marks, each beside its own where no line and no other mark stands.

    Parameters
    ----------
    axes : Axes
        The axes, their limits set.
    marked : sequence of (name, (x, y))
        The marks.
    runs : sequence of polylines
        The lines, in the axes' own units.
    """
    figure = axes.get_figure(root=True)
    assert figure is not None
    shown = axes.transData.transform
    lines = [[(float(x), float(y)) for x, y in shown(run)] for run in runs]
    spots = [tuple(float(v) for v in shown(place)) for _, place in marked]
    point = figure.dpi / 72.0
    taken = [Box(x, y, x, y).grown(5.0 * point) for x, y in spots]
    frame = axes.get_window_extent()
    inside = Box(frame.x0, frame.y0, frame.x1, frame.y1)
    for (name, _), (x, y) in zip(marked, spots, strict=True):
        text = axes.text(0.0, 0.0, literal(name), transform=axes.transAxes, va="bottom")
        size = text.get_window_extent()
        box = clear_place(
            size=(size.width, size.height),
            at=(x, y),
            lines=lines,
            boxes=taken,
            frame=inside,
            gap=5.0 * point,
        )
        taken.append(box)
        text.set_position(
            ((box.left - inside.left) / frame.width, (box.low - inside.low) / frame.height)
        )
