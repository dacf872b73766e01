"""Shims out and in: the pack that came out, and the one made of it and of the shelf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from fitcheck.job.shim_text import Written
from fitcheck.quantities import plain
from fitcheck.setup.packs import MAX_PACK_MM, Pack, Shim, best_pack
from fitcheck.setup.settings import setting_limit
from fitcheck.verdicts import CHECK, NO_GO

Answer = dict[str, Any]

# Binary dust: far below what any shim or reading means [mm].
DUST_MM = 1e-9
_GRID_DIGITS = 4


@dataclass(frozen=True, slots=True)
class OldPack:
    """The pack that came out: its thickness, its shims where known, and remarks."""

    total_mm: float
    shims: tuple[Shim, ...]
    counted: bool
    doubt: str


@dataclass(frozen=True, slots=True)
class Want:
    """What is wanted of the shims: a window of thickness, and whether it is a whole pack."""

    low_mm: float
    high_mm: float
    whole: bool

    @property
    def middle_mm(self) -> float:
        """The middle of the window."""
        return (self.low_mm + self.high_mm) / 2.0


@dataclass(frozen=True, slots=True)
class Lengths:
    """Lengths in words: in mm, and in inches too where the user works in inches."""

    inches: bool

    def mm(self, value_mm: float) -> str:
        """A length in words."""
        found = f"{plain(round(value_mm, 3))} mm"
        return f"{found} ({plain(round(value_mm / 25.4, 4))} in)" if self.inches else found

    def play(self, value_mm: float) -> str:
        """End play or preload in words."""
        return f"{self.mm(abs(value_mm))} {'end play' if value_mm >= 0 else 'preload'}"

    def shims(self, shims: Sequence[Shim]) -> str:
        """Shims in words, such as ``0.2 mm x 2``."""
        return ", ".join(f"{self.mm(s.thickness_mm)} x {s.count}" for s in shims) or "no shim"


def old_pack(fitted: Written | None, *, measured_mm: float | None) -> OldPack | None:
    """The pack that came out; measured whole, it is held against the sum of its shims.

    Parameters
    ----------
    fitted : Written or None
        Its shims as written, or a lone thickness; None where it was not given.
    measured_mm : float or None
        Its thickness measured as a whole [mm].
    """
    if fitted is None:
        return None
    if not fitted.counted:
        return OldPack(fitted.total_mm, (), False, "")
    total = fitted.total_mm
    doubt = ""
    if measured_mm is not None:
        off = measured_mm - total
        labelled = sum(s.count for s in fitted.shims if not s.measured)
        allowed = setting_limit("pack_off_mm").value
        allowed += labelled * setting_limit("pack_off_per_shim_mm").value
        if abs(off) > allowed + DUST_MM:
            doubt = (
                f"the pack measures {measured_mm:.3f} mm and its {fitted.count} shims add up to "
                f"{total:.3f} mm, {abs(off):.3f} mm {'less' if off > 0 else 'more'}: a shim "
                "miscounted, mislabelled or bent, or dirt between them; measure each one"
            )
        total = measured_mm
    return OldPack(total, fitted.shims, True, doubt)


def pick_shims(
    found: Answer, want: Want, *, old: OldPack | None, shelf: Sequence[Shim], text: Lengths
) -> None:
    """Make the pack of the shims there are: those that came out and those on the shelf."""
    reasons: list[str] = found["reasons"]
    pool = [*(old.shims if old is not None else ()), *shelf]
    what = "pack" if want.whole else "addition to the pack"
    if not pool:
        found["verdict"] = CHECK
        reasons.append(
            f"which shims make the {what} depends on what there is: give --have, like "
            '"0.10x4,0.20x2"'
        )
        return
    pack = best_pack(
        shelf=pool, low_mm=max(0.0, want.low_mm), high_mm=min(want.high_mm, MAX_PACK_MM)
    )
    if not pack.inside:
        found["verdict"] = NO_GO
        found["nearest"] = {"picks": _picks(pack), "total_mm": pack.total_mm, "count": pack.count}
        reasons.append(
            f"no pack from this shelf lies inside {text.mm(max(0.0, want.low_mm))} to "
            f"{text.mm(want.high_mm)}; the nearest is {text.shims(pack.picks)} = "
            f"{text.mm(pack.total_mm)}"
        )
        return
    found["picks"] = _picks(pack)
    found["count"] = pack.count
    found["picked_mm"] = pack.total_mm
    found["order_mm"] = [round(s.thickness_mm, 4) for s in pack.picks for _ in range(s.count)]
    found["counted_in"] = {"count": pack.count, "mm": pack.total_mm}
    left = _left_over(old, pack)
    found["left_over"] = [
        {"thickness_mm": round(s.thickness_mm, 4), "count": s.count} for s in left
    ]
    reasons.append(
        f"{text.shims(pack.picks)} = {text.mm(pack.total_mm)}: the fewest shims inside "
        f"{text.mm(max(0.0, want.low_mm))} to {text.mm(want.high_mm)}, the thickest next to the "
        "flange" + ("" if want.whole else "; they go to the pack that is in")
    )


def _picks(pack: Pack) -> list[Answer]:
    found = []
    for shim in pack.picks:
        pick: Answer = {"thickness_mm": round(shim.thickness_mm, 4), "count": shim.count}
        if shim.label_mm is not None:
            pick["label_mm"] = round(shim.label_mm, 4)
        found.append(pick)
    return found


def _left_over(old: OldPack | None, pack: Pack) -> list[Shim]:
    """What came out and does not go in again."""
    if old is None:
        return []
    used: dict[float, int] = {}
    for shim in pack.picks:
        key = round(shim.thickness_mm, _GRID_DIGITS)
        used[key] = used.get(key, 0) + shim.count
    left = []
    for shim in old.shims:
        key = round(shim.thickness_mm, _GRID_DIGITS)
        again = min(shim.count, used.get(key, 0))
        used[key] = used.get(key, 0) - again
        if shim.count > again:
            left.append(Shim(thickness_mm=shim.thickness_mm, count=shim.count - again))
    return left
