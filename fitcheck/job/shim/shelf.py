"""Shims out and in: the pack that came out, and the one made of it and of the shelf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from fitcheck.assess.cross_checks import pack_against_gap
from fitcheck.job.shim.text import Written
from fitcheck.quantities import plain
from fitcheck.records import dataclass
from fitcheck.setup.packs import MAX_PACK_MM, Pack, Shim, best_pack, shims_to_buy
from fitcheck.setup.settings import Position, setting_limit, shim_sizes_mm
from fitcheck.units import MM_PER_INCH
from fitcheck.verdicts import CHECK, GO

Answer = dict[str, Any]

# Binary dust: far below what any shim or reading means [mm].
DUST_MM = 1e-9
_GRID_DIGITS = 4
# Finer than any setting is read or reckoned, but not than what tells it from a limit.
_MOST_DIGITS = 6


@dataclass(frozen=True, slots=True)
class OldPack:
    """The pack that came out: its thickness, its shims where known, and remarks.

    ``first`` is what is to be done first where there is a doubt.
    """

    total_mm: float
    shims: tuple[Shim, ...]
    counted: bool
    doubt: str
    first: str = ""


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

    def mm(self, value_mm: float, *, digits: int = 3) -> str:
        """A length in words."""
        found = f"{plain(round(value_mm, digits))} mm"
        if not self.inches:
            return found
        return f"{found} ({plain(round(value_mm / MM_PER_INCH, digits + 1))} in)"

    def play(self, value_mm: float, *ends_mm: float) -> str:
        """End play or preload in words, with the digits that tell it from the ends of a range."""
        digits = 3
        while digits < _MOST_DIGITS and any(
            round(value_mm, digits) == round(end, digits) and abs(value_mm - end) > DUST_MM
            for end in ends_mm
        ):
            digits += 1
        kind = "end play" if value_mm >= 0 else "preload"
        return f"{self.mm(abs(value_mm), digits=digits)} {kind}"

    def span(self, low_mm: float, high_mm: float) -> str:
        """A range of lengths in words, such as ``0.02 to 0.08 mm``."""
        found = f"{plain(round(low_mm, 3))} to {plain(round(high_mm, 3))} mm"
        if not self.inches:
            return found
        ends = (plain(round(end / MM_PER_INCH, 4)) for end in (low_mm, high_mm))
        return f"{found} ({' to '.join(ends)} in)"

    def play_span(self, low_mm: float, high_mm: float) -> str:
        """A range of end play or preload in words."""
        if low_mm < 0 < high_mm:
            return f"{self.play(low_mm)} to {self.play(high_mm)}"
        if low_mm < 0:
            return f"{self.span(-high_mm, -low_mm)} preload"
        return f"{self.span(low_mm, high_mm)} end play"

    def shims(self, shims: Sequence[Shim]) -> str:
        """Shims in words, such as ``2 x 0.2 mm``."""
        return ", ".join(f"{s.count} x {self.mm(s.thickness_mm)}" for s in shims) or "no shim"


def blank_answer(*, method: str, position: Position | None) -> Answer:
    """An answer with every key and nothing found yet.

    Parameters
    ----------
    method : str
        The method.
    position : Position or None
        Where the shims sit.
    """
    return {
        "verdict": GO,
        "method": method,
        "position": position.name if position else None,
        "measured_mm": None,
        "fitted_mm": None,
        "target": None,
        "pack_mm": None,
        "change_mm": None,
        "direction": "none",
        "picks": [],
        "count": 0,
        "picked_mm": None,
        "expected_mm": None,
        "allowed_mm": None,
        "order_mm": [],
        "counted_out": None,
        "counted_in": None,
        "left_over": [],
        "reused": [],
        "nearest": None,
        "buy": [],
        "with_bought": None,
        "sure": True,
        "only_after": "",
        "next_reading": None,
        "unit": "mm",
        "measure_again": "",
        "nut_procedure": [],
        "reasons": [],
        "assumptions": [],
        "cautions": [],
        "sources": [],
    }


def ask_again(found: Answer, *, reading: str, instrument: str, reason: str) -> None:
    """Ask for a reading to be taken again, unless another is asked for already.

    Parameters
    ----------
    found : dict
        The answer, added to.
    reading : str
        What is read.
    instrument : str
        What it is read with; empty where that does not matter.
    reason : str
        Why.
    """
    if found["next_reading"] is None:
        found["next_reading"] = {"reading": reading, "instrument": instrument, "reason": reason}


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
    first = "each shim of the pack is measured" if doubt else ""
    return OldPack(total, fitted.shims, True, doubt, first)


def against_gap(old: OldPack | None, *, gap_mm: float) -> OldPack | None:
    """The pack that came out, doubted where it can't have filled the gap that was measured.

    Parameters
    ----------
    old : OldPack or None
        The pack; None where it was not given.
    gap_mm : float
        The gap without shims, or the crushed thickness [mm].
    """
    if old is None or old.doubt:
        return old
    said = pack_against_gap(
        pack_mm=old.total_mm,
        gap_mm=gap_mm,
        play_most_mm=setting_limit("end_play_most_mm").value,
        preload_most_mm=setting_limit("preload_most_mm").value,
    )
    again = "count and measure the pack again, and the gap with --measured"
    first = "the pack is counted and measured again, and the gap"
    return replace(old, doubt=f"{said}: {again}", first=first) if said else old


def pool_of(old: OldPack | None, shelf: Sequence[Shim]) -> list[Shim]:
    """The shims there are: those that came out and those on the shelf."""
    return [*(old.shims if old is not None else ()), *shelf]


def pick_shims(
    found: Answer, want: Want, *, old: OldPack | None, shelf: Sequence[Shim], text: Lengths
) -> None:
    """Make the pack of the shims there are: those that came out and those on the shelf."""
    reasons: list[str] = found["reasons"]
    pool = pool_of(old, shelf)
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
        found["verdict"] = CHECK
        found["nearest"] = {"picks": _picks(pack), "total_mm": pack.total_mm, "count": pack.count}
        reasons.append(
            "no pack from this shelf lies inside "
            f"{text.span(max(0.0, want.low_mm), want.high_mm)}; the nearest is "
            f"{text.shims(pack.picks)} = {text.mm(pack.total_mm)}"
        )
        _buy(found, want, old=old, pool=pool, text=text)
        return
    found["picks"] = _picks(pack)
    found["count"] = pack.count
    found["picked_mm"] = pack.total_mm
    found["order_mm"] = [round(s.thickness_mm, 4) for s in pack.picks for _ in range(s.count)]
    found["counted_in"] = {"count": pack.count, "mm": pack.total_mm}
    _count_old(found, old, pack)
    if not pack.picks:
        reasons.append(
            f"no shim at all lies inside {text.span(max(0.0, want.low_mm), want.high_mm)}: leave "
            "them all out"
        )
        return
    reasons.append(
        f"{text.shims(pack.picks)} = {text.mm(pack.total_mm)}: the fewest shims inside "
        f"{text.span(max(0.0, want.low_mm), want.high_mm)}, the thickest next to the "
        "flange" + ("" if want.whole else "; they go to the pack that is in")
    )


def _buy(
    found: Answer, want: Want, *, old: OldPack | None, pool: Sequence[Shim], text: Lengths
) -> None:
    """The fewest shims to buy so that a pack lies inside, and that pack."""
    own, source = shim_sizes_mm(inches=text.inches)
    other, _ = shim_sizes_mm(inches=not text.inches)
    for sizes in (own, (*own, *other)):
        bought, total_mm = shims_to_buy(
            shelf=pool,
            sizes_mm=sizes,
            low_mm=max(0.0, want.low_mm),
            high_mm=min(want.high_mm, MAX_PACK_MM),
            most=round(setting_limit("most_bought").value),
        )
        if bought:
            break
    found["sources"].append(f"shims that can be bought: {source}")
    if not bought:
        found["reasons"].append(
            "nor does one with shims of the usual sizes bought to it: have one ground to size, "
            f"{text.mm(max(0.0, want.middle_mm))} for the whole "
            f"{'pack' if want.whole else 'addition'}"
        )
        return
    pack = best_pack(shelf=[*pool, *bought], low_mm=total_mm, high_mm=total_mm)
    found["buy"] = _picks(Pack(picks=bought, total_mm=0.0, inside=True))
    _count_old(found, old, pack)
    found["with_bought"] = {
        "picks": _picks(pack),
        "total_mm": pack.total_mm,
        "count": pack.count,
    }
    shims = ", ".join(f"{shim.count} x {text.mm(shim.thickness_mm)}" for shim in bought)
    found["reasons"].append(
        f"buy {shims}: then {text.shims(pack.picks)} = {text.mm(pack.total_mm)} lies inside"
    )


def _picks(pack: Pack) -> list[Answer]:
    found = []
    for shim in pack.picks:
        pick: Answer = {"thickness_mm": round(shim.thickness_mm, 4), "count": shim.count}
        if shim.label_mm is not None:
            pick["label_mm"] = round(shim.label_mm, 4)
        found.append(pick)
    return found


def _count_old(found: Answer, old: OldPack | None, pack: Pack) -> None:
    """What came out goes in again as far as the pack takes it; the rest is left over."""
    if old is None:
        return
    used: dict[float, int] = {}
    for shim in pack.picks:
        key = round(shim.thickness_mm, _GRID_DIGITS)
        used[key] = used.get(key, 0) + shim.count
    for shim in old.shims:
        key = round(shim.thickness_mm, _GRID_DIGITS)
        again = min(shim.count, used.get(key, 0))
        used[key] = used.get(key, 0) - again
        for name, count in (("reused", again), ("left_over", shim.count - again)):
            if count:
                found[name].append({"thickness_mm": key, "count": count})
