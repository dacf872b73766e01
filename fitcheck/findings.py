"""What explains readings besides a size: gathered over all sizes, and put into words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from fitcheck.parts.family import Family, Size
from fitcheck.quantities import plain
from fitcheck.readings import Reading
from fitcheck.records import dataclass

UNLISTED_SIZE = "unlisted-size"
_VOWELS = "aeioAEIO"

_STATE_WORDS = {
    "earlier-sleeve": "a thin repair sleeve already on a {size} shaft would read like this",
    "ring-left-on": "the ring of a two-part seal left on a {size} shaft would read like this",
    "worn-track-read": "a worn track of a {size} shaft would read like this; read the land beside",
    "oval-bore": "a worn or oval bore for {size} would read like this",
    "worn-bore": "a cone {size} worn in its bore would read like this",
    "worn-od": "a cup of {size} worn on its outside would read like this",
    "cup-width-given": "the cup width of {size} would read like this",
    "cone-width-given": "the cone width of {size} would read like this",
    "width-given": "the assembled width of {size} would read like this",
}


@dataclass(frozen=True, slots=True)
class Finding:
    """Something besides a size that explains the readings."""

    finding: str
    probability: float
    reason: str


class Tally:
    """How probable each explanation is over all sizes; the likeliest size gives its words."""

    def __init__(self) -> None:
        self._shares: dict[str, float] = {}
        self._best: dict[str, tuple[float, Callable[[], str]]] = {}

    def add(self, name: str, share: float, words: Callable[[], str]) -> None:
        """Add what one size contributes to an explanation."""
        self._shares[name] = min(1.0, self._shares.get(name, 0.0) + share)
        if share > self._best.get(name, (0.0, words))[0]:
            self._best[name] = (share, words)

    def findings(self, *, floor: float, harmless: Iterable[str]) -> list[Finding]:
        """The explanations worth a line, the most probable first.

        Parameters
        ----------
        floor : float
            The least probability that is worth a line [-].
        harmless : iterable of str
            Explanations that are part of ordinary wear.
        """
        found = [
            Finding(name, round(share, 6), self._best[name][1]())
            for name, share in self._shares.items()
            if share >= floor and name in self._best and name not in harmless
        ]
        return sorted(found, key=lambda f: (-f.probability, f.finding))


def state_words(state: str, reading: Reading, size: Size, own: Mapping[str, str]) -> str:
    """An explanation of one reading, in words: the family's own, or those of all families."""
    words = own.get(state) or _STATE_WORDS.get(state, "{size} would read like this")
    words = words.format(size=size.label)
    return f"{reading.place} {plain(round(reading.mean_mm, 3))} mm: {words}"


def unlisted_words(family: Family, readings: Mapping[str, Reading]) -> str:
    """What is said when no listed size fits."""
    given = ", ".join(f"{p} {plain(round(r.mean_mm, 3))} mm" for p, r in sorted(readings.items()))
    article = "an" if family.name[0] in _VOWELS else "a"
    return f"{given or 'the mark'}: {article} {family.name} of no listed size, or misread"


def listed_spans(family: Family, readings: Mapping[str, Reading]) -> str:
    """The readings with what is listed for their dimension, in words."""
    parts = []
    for place in sorted(readings):
        smallest, largest = family.span_mm(family.places[place].views[0].dimension)
        spans = f"{plain(round(smallest, 3))} to {plain(round(largest, 3))} mm"
        parts.append(f"{place} {plain(round(readings[place].mean_mm, 3))} mm (listed: {spans})")
    return ", ".join(parts) or "the mark"
