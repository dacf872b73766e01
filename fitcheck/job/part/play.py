"""The play of a universal joint's cross in its caps."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.assess.within import Check
from fitcheck.parts.family import Size
from fitcheck.readings import Reading
from fitcheck.tables import Row, table
from fitcheck.verdicts import CHECK, GO, NO_GO

_COLUMNS = {"play": ("radial_max_mm", "across a cap"), "end-play": ("axial_max_mm", "along a pair")}


def play_checks(
    size: Size, readings: Mapping[str, Reading], _choices: Mapping[str, str]
) -> list[Check]:
    """Whether the old cross may stay, by its play.

    Parameters
    ----------
    size : Size
        The cross.
    readings : mapping of str to Reading
        ``play`` and ``end-play`` where they were read.
    """
    rows = {row.text("state"): row for row in table("ujoint/play").rows}
    return [
        _judged(name, readings[name], rows, *_COLUMNS[name])
        for name in _COLUMNS
        if name in readings
    ]


def _judged(name: str, reading: Reading, rows: Mapping[str, Row], column: str, words: str) -> Check:
    go, check = rows[GO].number(column), rows[CHECK].number(column)
    said = f"{reading.mean_mm:.3f} mm play {words}"
    if reading.mean_mm <= go:
        return Check(name, GO, f"{said}, hardly to be felt: the joint may stay", rows[GO].cite())
    if reading.mean_mm <= check:
        reason = f"{said}, over {go:g} mm: feel the trunnions for marks of the needles"
        return Check(name, CHECK, reason, rows[CHECK].cite())
    return Check(name, NO_GO, f"{said}, over {check:g} mm: renew the cross", rows[CHECK].cite())
