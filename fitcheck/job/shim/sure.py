"""Whether a reading is close enough to say that the setting will lie in its range."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from fitcheck.job.shim.shelf import DUST_MM, Lengths, Want
from fitcheck.job.shim.text import an
from fitcheck.judging import COVERAGE, Judged, judge
from fitcheck.readings import Reading, read
from fitcheck.records import dataclass
from fitcheck.setup.packs import MAX_PACK_MM, Shim, best_pack
from fitcheck.setup.settings import Method, turns_text
from fitcheck.verdicts import CHECK, GO, worst

Answer = dict[str, Any]

# How many readings are asked for at most: their common error does not get smaller with more.
_READINGS = (1, 3)


@dataclass(frozen=True, slots=True)
class Range:
    """What is expected and the range it must lie in [mm]: end play, or else a pack."""

    value_mm: float
    low_mm: float
    high_mm: float
    play: bool = True

    def words(self, text: Lengths) -> tuple[str, str]:
        """What is expected and its range, in words."""
        if self.play:
            value = text.play(self.value_mm, self.low_mm, self.high_mm)
            return value, text.play_span(self.low_mm, self.high_mm)
        return f"a pack of {text.mm(self.value_mm)}", text.span(self.low_mm, self.high_mm)

    def judged(self, standard_error_mm: float) -> Judged:
        """How the value stands to its range for a reading that is sure to so much."""
        return judge(
            deviation_um=self.value_mm * 1000.0,
            lower_um=self.low_mm * 1000.0,
            upper_um=self.high_mm * 1000.0,
            standard_error_um=standard_error_mm * 1000.0,
            whole=True,
        )


def error_mm(reading: Reading) -> float:
    """Standard error of what a setting is worked out from [mm].

    End play read several times scatters by the hand; gaps and crushed pieces are taken at several
    places, and places that differ by a tilt leave the mean as sure as the instrument.

    Parameters
    ----------
    reading : Reading
        End play, gap or crushed piece, as measured.
    """
    if reading.place == "end play" or " and " in reading.instrument:
        return reading.standard_error_mm
    return _error_mm(reading.instrument, len(reading.values_mm))


def again_text(*, method: Method, low_mm: float, high_mm: float, wanted: str) -> str:
    """What to read once it is set; preload is felt in the torque, and no indicator reads it.

    Parameters
    ----------
    method : Method
        The method end-play.
    low_mm, high_mm : float
        The range wanted, end play above zero and preload below [mm].
    wanted : str
        That range in words.
    """
    torque = f"running torque, {turns_text()}, against the manual's figure"
    if high_mm <= DUST_MM:
        return f"{torque}: expect {wanted}, which the torque tells and no indicator reads"
    play = f"end play, with {an(method.instrument)}: expect {wanted}"
    if low_mm >= -DUST_MM:
        return play
    return f"{play}; with no play left to read, {torque}: it tells the preload"


def settle(
    found: Answer,
    held: Range,
    *,
    reading: Reading,
    method: Method,
    text: Lengths,
) -> bool:
    """Add what the reading can't tell to an answer: reason, verdict, the reading that would.

    Parameters
    ----------
    found : dict
        The answer, added to.
    held : Range
        What is expected, and its range.
    reading : Reading
        What it was worked out from.
    method : Method
        The method it was measured for.
    text : Lengths
        How lengths are shown.

    Returns
    -------
    bool
        Whether the reading is close enough.
    """
    judged = held.judged(error_mm(reading))
    if judged.verdict == GO:
        return True
    found["sure"] = False
    found["verdict"] = CHECK if found["verdict"] == GO else found["verdict"]
    expected, wanted = held.words(text)
    sure = text.mm(judged.sure_um / 1000.0)
    said = (
        f"{an(reading.instrument)} is sure to {sure} here, and {expected} is nearer than that to "
        f"an end of {wanted}"
        if judged.fine
        else f"{an(reading.instrument)} is sure to {sure} only, too coarse for {wanted}"
    )
    tool, count = _settling(held, method, reading)
    # Preload is not read as end play.
    preload = held.play and held.low_mm < -DUST_MM
    after = f"let the {'running torque' if preload else 'reading'} after fitting decide"
    if tool:
        times = "" if count == 1 else f" {count} times"
        todo = f"measure the {reading.place}{times} with {an(tool)}, which settles it"
        found["next_reading"] = {
            "reading": reading.place,
            "instrument": tool,
            "reason": f"{said}; {todo} ({method.load})",
        }
        todo += f", or fit the pack and {after}"
    elif judged.fine or any(held.judged(_error_mm(name, 1)).fine for name in method.tools):
        best = method.tools[0]
        todo = (
            "no instrument reads that closely"
            if reading.instrument == best
            else f"{an(best)} reads more closely, but not closely enough"
        ) + f"; {after}"
    else:
        todo = f"no instrument is fine enough for so narrow a range; {after}"
    found["reasons"].append(f"{said}: {todo}")
    return False


def other_tool(found: Answer, *, reading: Reading, method: Method) -> None:
    """Ask for another instrument where this one can't take the reading, however finely it reads.

    Parameters
    ----------
    found : dict
        The answer, added to.
    reading : Reading
        What was measured.
    method : Method
        The method it was measured for.
    """
    wrong = [name for name in reading.instrument.split(" and ") if name not in method.tools]
    if not wrong or not method.tools:
        return
    found["sure"] = False
    found["verdict"] = worst(found["verdict"], CHECK)
    reason = (
        f"{an(' or '.join(wrong))} does not take this {reading.place}: take it with "
        f"{an(' or '.join(method.tools))}"
    )
    found["reasons"].insert(0, reason)
    found["only_after"] = f"the {reading.place} is measured again"
    if found["next_reading"] is None:
        found["next_reading"] = {
            "reading": reading.place,
            "instrument": method.tools[0],
            "reason": reason,
        }


def _settling(held: Range, method: Method, reading: Reading) -> tuple[str, int]:
    """The instrument that would settle it, and how many readings; blank where none would."""
    for count in _READINGS:
        for name in method.tools:
            if count <= len(reading.values_mm) and name == reading.instrument:
                continue
            if held.judged(_error_mm(name, count)).verdict != CHECK:
                return name, count
    return "", 0


def _error_mm(name: str, count: int) -> float:
    """Standard error of some readings with an instrument, where they agree [mm]."""
    return read(place="reading", texts=("1mm",) * count, tool=name).standard_error_mm


def surer_pack(
    found: Answer,
    held: Range,
    want: Want,
    *,
    expected: Callable[[float], float],
    reading: Reading,
    pool: Sequence[Shim],
    text: Lengths,
) -> None:
    """Name the pack to change to, so near the middle that the reading settles it.

    The fewest shims go in first: a card that names two packs as equals leaves the choice open.

    Parameters
    ----------
    found : dict
        The answer, added to.
    held : Range
        What is expected of the pack that was picked, and its range.
    want : Want
        The window of the pack.
    expected : callable
        What is expected of a pack [mm].
    reading : Reading
        What it was worked out from.
    pool : sequence of Shim
        The shims there are.
    text : Lengths
        How lengths are shown.
    """
    if not held.judged(error_mm(reading)).fine:
        return
    guard = min(COVERAGE * error_mm(reading), (want.high_mm - want.low_mm) / 2.0)
    low, high = max(0.0, want.low_mm + guard), min(want.high_mm - guard, MAX_PACK_MM)
    if low > high:
        return
    pack = best_pack(shelf=pool, low_mm=low, high_mm=high)
    nearer = replace(held, value_mm=expected(pack.total_mm))
    if nearer.judged(error_mm(reading)).verdict == GO:
        found["reasons"].append(
            f"the {text.mm(found['picked_mm'])} pack goes in, as it has the fewest shims. Only "
            "where the reading after fitting lies outside, change to "
            f"{text.shims(pack.picks)} = {text.mm(pack.total_mm)}"
            + (f" ({nearer.words(text)[0]} expected)" if held.play else "")
            + ": so near the middle that this reading settles it"
        )
