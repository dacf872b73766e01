"""End play that the nut sets: no shims, so the answer is which way to turn it."""

from __future__ import annotations

from typing import Any

from fitcheck.job.shim.pack import reading_notes
from fitcheck.job.shim.shelf import DUST_MM, Lengths, ask_again, blank_answer
from fitcheck.job.shim.sure import Range, again_text, other_tool, settle
from fitcheck.job.shim.text import Target
from fitcheck.readings import Reading
from fitcheck.setup.settings import Method, Setting
from fitcheck.verdicts import CHECK, GO, NO_GO, worst

Answer = dict[str, Any]


def steps_to_do(found: Answer) -> list[str]:
    """The steps of the nut's procedure that are to be done: none where the setting holds.

    Parameters
    ----------
    found : dict
        The answer of a method.

    Examples
    --------
    >>> held = {"method": "drag", "verdict": "go", "direction": "none", "nut_procedure": ["Turn"]}
    >>> steps_to_do(held), steps_to_do({**held, "direction": "tighten"})
    ([], ['Turn'])
    """
    holds = (found["verdict"], found["direction"]) == (GO, "none")
    if holds and found["method"] in ("end-play", "drag"):
        return []
    return list(dict.fromkeys(found["nut_procedure"]))


def nut_answer(
    *,
    reading: Reading,
    method: Method,
    wanted: Target | Setting,
    inches: bool,
) -> Answer:
    """The answer where a nut sets the end play.

    Parameters
    ----------
    reading : Reading
        End play as measured.
    method : Method
        The method end-play.
    wanted : Target or Setting
        The range wanted.
    inches : bool
        Whether lengths are shown in inches too.
    """
    found = blank_answer(method="end-play", position=None)
    text, play = Lengths(inches), reading.mean_mm
    reasons, doubtful = reading_notes(reading)
    low, high = wanted.low, wanted.high
    range_text = text.play_span(low, high)
    ends = {"low_mm": round(low, 4), "high_mm": round(high, 4)}
    written = wanted.text if isinstance(wanted, Target) else wanted.as_written
    found |= {
        "measured_mm": round(play, 4),
        "target": {**ends, "text": written},
        "allowed_mm": {"low": ends["low_mm"], "high": ends["high_mm"]},
        "measure_again": again_text(method=method, low_mm=low, high_mm=high, wanted=range_text),
        "unit": "in" if inches else "mm",
        "reasons": reasons,
    }
    read = text.play(play, low, high)
    if low - DUST_MM <= play <= high + DUST_MM:
        found["expected_mm"] = round(play, 4)
        reasons.append(f"{read} lies inside {range_text}: the nut stays as it is")
        found["measure_again"] = f"once the nut is locked, {found['measure_again']}"
    else:
        found["direction"] = "tighten" if play > high else "loosen"
        reasons.append(
            f"{read} measured, {range_text} wanted: {found['direction']} the nut by the "
            "steps below, then measure again; where shims set the end play, say where they sit "
            "with --position"
        )
    held = Range(play, low, high)
    if held.judged(reading.standard_error_mm).verdict == NO_GO:
        found["verdict"] = NO_GO
    else:
        settle(found, held, reading=reading, method=method, text=text)
    other_tool(found, reading=reading, method=method)
    if doubtful:
        found["next_reading"] = None
        ask_again(found, reading="end play", instrument=reading.instrument, reason=reasons[0])
        found["sure"] = False
        found["verdict"] = worst(found["verdict"], CHECK)
    return found
