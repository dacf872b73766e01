"""The base drag: how much of a torque is the seal's, and which of the two a range is of."""

from __future__ import annotations

from typing import Any

from fitcheck.job.shim.text import Target
from fitcheck.job.shim.torque_words import TorqueWords
from fitcheck.records import dataclass
from fitcheck.setup.settings import setting_limit, turns_text
from fitcheck.verdicts import CHECK, GO

Answer = dict[str, Any]

_DUST_NM = 1e-9
_TAKEN = "whether the target is that of the rise was not given: the rise is taken"


@dataclass(frozen=True, slots=True)
class Torques:
    """A running torque and its base drag, held against a range [N.m]."""

    torque_nm: float
    base_nm: float
    low_nm: float
    high_nm: float

    @property
    def rise_nm(self) -> float:
        """What the bearings add to the base drag."""
        return self.torque_nm - self.base_nm

    def lies(self, value_nm: float) -> str:
        """How a torque lies to the range, in words."""
        if value_nm < self.low_nm - _DUST_NM:
            return "is too low"
        return "is too high" if value_nm > self.high_nm + _DUST_NM else "lies inside"


def which_is_meant(
    rise: Answer,
    total: Answer,
    *,
    target: Target,
    written: str,
    read: Torques,
    before: list[str],
    show: TorqueWords,
) -> Answer:
    """The answer where a target doesn't say whether it is of the rise or of the whole torque.

    The rise is taken where both come to the same, and where the base drag alone is over the
    target, so that no whole torque could be meant. Else it is asked.

    Parameters
    ----------
    rise, total : dict
        The answers with the rise and with the whole torque held against the target.
    target : Target
        The target.
    written : str
        The target as it was written.
    read : Torques
        What was read.
    before : list of str
        The reasons before the target was looked at.
    show : TorqueWords
        How torques are shown.
    """
    same = (rise["verdict"], rise["direction"]) == (total["verdict"], total["direction"])
    if same or read.base_nm > read.high_nm + _DUST_NM:
        taken = _TAKEN
        if not same:
            taken += ", as the base drag alone is over the target"
        rise["assumptions"].append(taken)
        rise["reasons"].append(taken)
        return rise
    asked = (
        f"the target does not say what {target.text} is of. The rise over the base drag, "
        f"{show.text(read.rise_nm)}, {read.lies(read.rise_nm)}; the whole torque, "
        f"{show.text(read.torque_nm)}, {read.lies(read.torque_nm)}: look it up, and write "
        f'--target "{written} rise" or "{written} total"'
    )
    first = "it is said whether the target is of the rise or of the whole torque"
    return _open(rise, before, asked=asked, first=first)


def seal_turns_it(found: Answer, *, read: Torques, before: list[str], show: TorqueWords) -> Answer:
    """The answer where a range of the whole torque is reached by the drag of the seal.

    Parameters
    ----------
    found : dict
        The answer with the whole torque held against the range.
    read : Torques
        What was read.
    before : list of str
        The reasons before the range was looked at.
    show : TorqueWords
        How torques are shown.

    Notes
    -----
    With a base drag as large as the low end, or of more than a set share of the torque, bearings
    with hardly any preload lie inside too. A torque too low stays too low: the rise is smaller.

    Source: practice, the increase over the base drag counts; the share is an own rule.
    """
    share = setting_limit("base_share_most").value
    much = read.base_nm >= read.low_nm - _DUST_NM or read.base_nm > share * read.torque_nm
    if not much or read.torque_nm < read.low_nm - _DUST_NM:
        return found
    torque = show.text(read.torque_nm)
    asked = (
        f"{show.text(read.base_nm)} of {torque} is base drag, the seal's, and the bearings add "
        f"only {show.text(read.rise_nm)}: held against {show.span(read.low_nm, read.high_nm)} the "
        "whole torque tells little of their preload. Take the figure of the rise from the manual "
        f'and give it with --target "LOW..HIGH{show.unit} rise", or read the torque with the seal '
        "out"
    )
    return _open(found, before, asked=asked, first="the rise over the base drag has its figure")


def _open(found: Answer, before: list[str], *, asked: str, first: str) -> Answer:
    """An answer that turns nothing before it is known what the torque is held against."""
    return found | {
        "verdict": CHECK,
        "sure": False,
        "direction": "none",
        "change_mm": None,
        "next_shim": None,
        "pull_at_target_n": None,
        "only_after": first,
        "measure_again": f"running torque, {turns_text()}, and the base drag with the nut slack",
        "reasons": [*before, asked],
        "next_reading": {"reading": "target", "instrument": "", "reason": asked},
    }


def no_base_drag(found: Answer) -> None:
    """Say that nobody knows how much of a torque that holds is the seal's.

    Parameters
    ----------
    found : dict
        The answer, added to.
    """
    if found["verdict"] == GO:
        found["reasons"].append(
            "no base drag was given, and a new seal drags too: read it with the bearings slack "
            "and give it with --base-drag, to know how much of this the bearings add"
        )
