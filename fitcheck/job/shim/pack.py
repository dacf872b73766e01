"""Packs by end play, free gap, lead and solder: the window, the shims for it, what to expect."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from fitcheck.job.shim.shelf import (
    DUST_MM,
    Lengths,
    OldPack,
    Want,
    against_gap,
    ask_again,
    blank_answer,
    old_pack,
    pick_shims,
    pool_of,
)
from fitcheck.job.shim.sure import Range, again_text, other_tool, settle, surer_pack
from fitcheck.job.shim.text import Target, Written, an, setting_text
from fitcheck.quantities import plain
from fitcheck.readings import Reading
from fitcheck.records import dataclass
from fitcheck.setup.packs import Shim
from fitcheck.setup.settings import Method, Position, Setting, setting_limit, turns_text
from fitcheck.setup.shims import (
    end_play_after_mm,
    end_play_change_mm,
    free_gap_pack_mm,
    lead_pack_mm,
    pack_change_mm,
    solder_pack_mm,
)
from fitcheck.verdicts import CHECK, GO, NO_GO, worst

Answer = dict[str, Any]


@dataclass(frozen=True, slots=True)
class PlayWay:
    """End play: the pack changes by the measured play less the one wanted."""

    reading: Reading
    method: Method
    position: Position
    target: Target | None
    setting: Setting | None

    @property
    def low_mm(self) -> float:
        """The least end play allowed."""
        return _ends(self.target, self.setting)[0]

    @property
    def high_mm(self) -> float:
        """The most end play allowed."""
        return _ends(self.target, self.setting)[1]


@dataclass(frozen=True, slots=True)
class GapWay:
    """Free gap, lead or solder: the pack follows from one thickness."""

    reading: Reading
    method: Method
    position: Position | None
    target: Target | None
    setting: Setting | None
    tolerance_mm: float | None


def _ends(target: Target | None, setting: Setting | None) -> tuple[float, float]:
    found = target or setting
    return (found.low, found.high) if found else (0.0, 0.0)


def pack_answer(
    way: PlayWay | GapWay,
    *,
    fitted: Written | None,
    shelf: Written,
    pack_measured_mm: float | None,
    inches: bool,
) -> Answer:
    """The answer of a method that measures a length.

    Parameters
    ----------
    way : PlayWay or GapWay
        The method with what was measured.
    fitted : Written or None
        The pack that came out, where it was given.
    shelf : Written
        The shims there are besides it.
    pack_measured_mm : float or None
        The old pack measured as a whole [mm].
    inches : bool
        Whether thicknesses are shown in inches too.
    """
    old = old_pack(fitted, measured_mm=pack_measured_mm)
    if isinstance(way, GapWay):
        old = against_gap(old, gap_mm=way.reading.mean_mm)
    reasons, doubtful = reading_notes(way.reading)
    reasons += [*(fitted.notes if fitted else ()), *shelf.notes]
    found = blank_answer(method=way.method.name, position=way.position)
    found |= {
        "measured_mm": round(way.reading.mean_mm, 4),
        "fitted_mm": None if old is None else round(old.total_mm, 4),
        "target": _target_answer(way.target, way.setting),
        "change_mm": 0.0,
        "unit": "in" if inches else "mm",
        "reasons": reasons,
    }
    text = Lengths(inches)
    if isinstance(way, PlayWay):
        _by_play(found, way, old=old, shelf=shelf.shims, text=text)
    else:
        _by_gap(found, way, old=old, shelf=shelf.shims, text=text)
    other_tool(found, reading=way.reading, method=way.method)
    if old is not None and old.counted:
        found["counted_out"] = {"count": sum(s.count for s in old.shims), "mm": found["fitted_mm"]}
    if old is not None and old.doubt:
        reasons.insert(0, old.doubt)
    if doubtful or (old is not None and old.doubt):
        found["sure"] = False
        found["verdict"] = worst(found["verdict"], CHECK)
    if doubtful:
        found["only_after"] = f"the {way.reading.place} is measured again"
        found["next_reading"] = None
        why = next(line for line in reasons if "measure again" in line)
        tool = way.reading.instrument
        ask_again(found, reading=way.reading.place, instrument=tool, reason=why)
    elif old is not None and old.doubt:
        found["only_after"] = old.first
        ask_again(found, reading="pack", instrument="micrometer", reason=old.doubt)
    return found


def _target_answer(target: Target | None, setting: Setting | None) -> Answer | None:
    if target is not None:
        unit = "mm" if target.dimension == "length" else "nm"
        text = target.text
    elif setting is not None:
        unit = "mm" if setting.method == "end-play" else "nm"
        text = setting.as_written
    else:
        return None
    low, high = _ends(target, setting)
    return {f"low_{unit}": round(low, 4), f"high_{unit}": round(high, 4), "text": text}


def reading_notes(reading: Reading) -> tuple[list[str], bool]:
    """What a person should know about the readings, and whether they have to be taken again.

    Parameters
    ----------
    reading : Reading
        End play, gap or crushed piece, as measured.
    """
    notes = []
    if reading.strays_mm:
        strays = ", ".join(plain(round(v, 4)) for v in reading.strays_mm)
        notes.append(f"{reading.place} {strays} mm stands apart from the others and is left out")
    allowed = setting_limit("gap_spread_mm").value + DUST_MM
    if reading.place != "end play" and reading.spread_mm > allowed:
        notes.append(
            f"the places differ by {reading.spread_mm:.3f} mm: the cap or flange went down "
            "crooked; tighten evenly, turn, and measure again"
        )
        return notes, True
    if reading.place == "end play" and reading.out_of_round:
        notes.append(
            f"the readings differ by {reading.spread_mm:.3f} mm, more than "
            f"{an(reading.instrument)} explains: turn while pushing and pulling, and measure again"
        )
        return notes, True
    if len(reading.values_mm) > 1:
        notes.append(
            f"{len(reading.values_mm)} readings, {plain(round(reading.mean_mm, 4))} mm on average; "
            f"they differ by {reading.spread_mm:.3f} mm"
        )
    return notes, False


def _by_play(
    found: Answer, way: PlayWay, *, old: OldPack | None, shelf: Sequence[Shim], text: Lengths
) -> None:
    low, high, play = way.low_mm, way.high_mm, way.reading.mean_mm
    wanted, read = text.play_span(low, high), text.play(play, low, high)
    reasons: list[str] = found["reasons"]
    found["allowed_mm"] = {"low": round(low, 4), "high": round(high, 4)}
    found["measure_again"] = again_text(method=way.method, low_mm=low, high_mm=high, wanted=wanted)
    if low - DUST_MM <= play <= high + DUST_MM:
        found["pack_mm"] = found["fitted_mm"]
        found["expected_mm"] = found["measured_mm"]
        reasons.append(f"{read} lies inside {wanted}: the pack stays as it is")
        held = Range(play, low, high)
        settle(found, held, reading=way.reading, method=way.method, text=text)
        if old is not None and old.counted:
            found["counted_in"] = {
                "count": sum(s.count for s in old.shims),
                "mm": found["fitted_mm"],
            }
        return
    now = Range(play, low, high).judged(way.reading.standard_error_mm)
    if now.fine and now.verdict != NO_GO:
        reasons.append(
            f"{read} is so near {wanted} that it may lie inside: measure again before "
            "the pack is changed"
        )
    side = way.position.adding_gives
    out = end_play_change_mm(measured_mm=play, target_mm=(low + high) / 2.0)
    added = pack_change_mm(end_play_out_mm=out, adding_gives=side)
    found["change_mm"] = round(abs(added), 4)
    found["direction"] = "add" if added > 0 else "remove"
    reasons.append(
        f"{read} measured, {wanted} wanted: shims sit {way.position.words}, where "
        f"adding one gives more {side.replace('-', ' ')}, so {found['direction']} "
        f"{text.mm(abs(added))} to reach the middle"
    )
    ends = [
        pack_change_mm(
            end_play_out_mm=end_play_change_mm(measured_mm=play, target_mm=end),
            adding_gives=side,
        )
        for end in (low, high)
    ]
    base = old.total_mm if old is not None else 0.0
    if old is None and added < 0:
        found["verdict"] = CHECK
        reasons.append("the pack that is fitted was not given: count it out with --fitted")
        return
    want = Want(base + min(ends), base + max(ends), whole=old is not None)

    def after(pack_mm: float) -> float:
        return end_play_after_mm(measured_mm=play, pack_added_mm=pack_mm - base, adding_gives=side)

    if want.high_mm < -DUST_MM:
        found |= {"verdict": NO_GO, "change_mm": None}
        reasons.append(
            f"only {text.mm(base)} is fitted, so {text.mm(abs(added))} can't be removed: with no "
            f"shim at all the set still has {text.play(after(0.0))}; look for a cup off its seat, "
            "a wrong or worn bearing, or a cap that has to be machined"
        )
        bare = Range(after(0.0), low, high)
        if bare.judged(way.reading.standard_error_mm).verdict != NO_GO:
            found["verdict"] = GO
            settle(found, bare, reading=way.reading, method=way.method, text=text)
        return
    if old is not None:
        found["pack_mm"] = round(max(0.0, want.middle_mm), 4)
        if base + added < -DUST_MM:
            found["change_mm"] = round(base, 4)
            reasons.append(
                f"only {text.mm(base)} is fitted, so the middle can't be reached: no more than "
                "that can be removed"
            )
    pick_shims(found, want, old=old, shelf=shelf, text=text)
    _expect(found, after, want)
    _settle_pack(
        found,
        want,
        way=way,
        held=Range(after(_reached_mm(found, want)), low, high),
        expected=after,
        pool=pool_of(old, shelf),
        text=text,
    )


def _by_gap(
    found: Answer, way: GapWay, *, old: OldPack | None, shelf: Sequence[Shim], text: Lengths
) -> None:
    method, measured = way.method, way.reading.mean_mm
    if method.name == "free-gap":
        wanted = free_gap_pack_mm(gap_mm=measured, preload_mm=method.subtract_mm)
    elif method.name == "solder":
        wanted = solder_pack_mm(crushed_mm=measured, preload_mm=method.subtract_mm)
    else:
        wanted = lead_pack_mm(pieces_mm=way.reading.values_mm)
    limit = setting_limit(f"{method.name.replace('-', '_')}_tolerance_mm")
    tolerance = limit.value if way.tolerance_mm is None else way.tolerance_mm
    if way.tolerance_mm is None:
        found["sources"].append(f"tolerance of the pack: {limit.source}")
    found["pack_mm"] = round(wanted, 4)
    taken_off = f" - {text.mm(method.subtract_mm)}" if method.subtract_mm else ", nothing taken off"
    reasons: list[str] = found["reasons"]
    reasons.append(
        f"pack = {text.mm(measured)} {way.reading.place}{taken_off} = {text.mm(wanted)}, give or "
        f"take {text.mm(tolerance)}. {method.why}"
    )
    want = Want(max(0.0, wanted - tolerance), wanted + tolerance, whole=True)
    found["measure_again"] = _after_gap(found, way)
    if method.name != "lead":
        found["allowed_mm"] = {
            "low": round(wanted - tolerance - measured, 4),
            "high": round(wanted + tolerance - measured, 4),
        }
    change = wanted - (old.total_mm if old is not None else 0.0)
    found["change_mm"] = round(abs(change), 4)
    found["direction"] = "add" if change > 0 else "remove"

    def after(pack_mm: float) -> float | None:
        # Under lead the preload is in the crush, and nobody knows how much it is.
        return None if method.name == "lead" else pack_mm - measured

    if old is not None and abs(change) <= tolerance + DUST_MM:
        found |= {"change_mm": 0.0, "direction": "none"}
        expected = after(old.total_mm)
        found["expected_mm"] = None if expected is None else round(expected, 4)
        reasons.append(f"the fitted pack, {text.mm(old.total_mm)}, is that already: it stays")
        held = Range(old.total_mm, wanted - tolerance, wanted + tolerance, play=False)
        settle(found, held, reading=way.reading, method=method, text=text)
        if old.counted:
            found["counted_in"] = {
                "count": sum(s.count for s in old.shims),
                "mm": found["fitted_mm"],
            }
        return
    pick_shims(found, want, old=old, shelf=shelf, text=text)
    _expect(found, after, want)
    _settle_pack(
        found,
        want,
        way=way,
        held=Range(_reached_mm(found, want), wanted - tolerance, wanted + tolerance, play=False),
        expected=lambda pack_mm: pack_mm,
        pool=pool_of(old, shelf),
        text=text,
    )


def _after_gap(found: Answer, way: GapWay) -> str:
    target = found["target"]
    if target is None:
        return (
            f"running torque, {turns_text()}, against the manual's figure; the rule finds the "
            "pack, the torque proves it"
        )
    over = way.setting is not None and way.setting.over_base
    text = target["text"]
    if way.setting is not None and text == way.setting.as_written:
        text = setting_text(way.setting)
    torque = f"running torque{' over the base drag' if over else ''}: expect {text}"
    if way.position is None:
        return f"{torque}, {turns_text()}"
    more = "remove" if way.position.adding_gives == "end-play" else "add"
    less = "add" if more == "remove" else "remove"
    return f"{torque}, {turns_text()}; too high, {less} shims; too low, {more} them"


def _reached_mm(found: Answer, want: Want) -> float:
    """The pack whose effect is expected: picked, with what is bought, or the middle one [mm]."""
    reached = found["picked_mm"]
    if found["with_bought"] is not None:
        reached = found["with_bought"]["total_mm"]
    return max(0.0, want.middle_mm) if reached is None else float(reached)


def _expect(found: Answer, after: Callable[[float], float | None], want: Want) -> None:
    """What to expect of the pack, and of the nearest one where none lies inside."""

    def rounded(pack_mm: float) -> float | None:
        effect = after(pack_mm)
        return None if effect is None else round(effect, 4)

    nearest, bought = found["nearest"], found["with_bought"]
    if nearest is not None:
        nearest["expected_mm"] = rounded(nearest["total_mm"])
        if bought is None:
            return
        bought["expected_mm"] = rounded(bought["total_mm"])
    found["expected_mm"] = rounded(_reached_mm(found, want))


def _settle_pack(
    found: Answer,
    want: Want,
    *,
    way: PlayWay | GapWay,
    held: Range,
    expected: Callable[[float], float],
    pool: Sequence[Shim],
    text: Lengths,
) -> None:
    """Whether the reading tells that the pack will do, and which pack it would tell it of."""
    if found["nearest"] is not None and found["with_bought"] is None:
        return
    sure = settle(found, held, reading=way.reading, method=way.method, text=text)
    if not sure and found["picked_mm"] is not None:
        surer_pack(found, held, want, expected=expected, reading=way.reading, pool=pool, text=text)
