"""The sizes that a marking may stand for, some of its characters lost."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from fitcheck.accounts import prior
from fitcheck.findings import UNLISTED_SIZE
from fitcheck.lists.grades import designation_pieces
from fitcheck.lists.items import BEARING, METRIC, SizeKey, size_text
from fitcheck.lists.lines import UM_PER_INCH, UM_PER_MM
from fitcheck.marks import checked, compact, mark_probability, random_probability
from fitcheck.parts.bearing import BORE, OD, WIDTH, bearing_sizes
from fitcheck.parts.family import Size
from fitcheck.parts.seal import inch_text
from fitcheck.tables import shop_folder

# A size that a marking speaks for less than this is not offered as its reading.
_FLOOR = 0.02


def listed_bearing(size: SizeKey) -> SizeKey:
    """A bearing with the dimensions that the tables give for its designation, if any.

    Parameters
    ----------
    size : SizeKey
        A size; what is no bearing or has dimensions of its own is given back as it is.
    """
    if size.kind not in (BEARING, None) or not size.designation or size.shaft_um is not None:
        return size
    found = _listed(shop_folder()).get(compact(size.designation))
    if found is None:
        return size
    shaft, bore, width = (_um(found.nominals[number]) for number in (BORE, OD, WIDTH))
    return SizeKey(BEARING, shaft, bore, width, found.system, found.label)


def _um(nominal: tuple[float, str] | None) -> int | None:
    return None if nominal is None else round(nominal[0] * UM_PER_MM)


@lru_cache(maxsize=8)
def _listed(_shop: str) -> dict[str, Size]:
    return {compact(size.label): size for size in bearing_sizes()}


class Marks:
    """The markings that the parts of the lists would carry.

    Parameters
    ----------
    sizes : iterable of SizeKey
        The distinct sizes of the lists.
    """

    def __init__(self, sizes: Iterable[SizeKey]) -> None:
        self._sizes = sizes
        self._forms: dict[str, dict[SizeKey, None]] = {}
        self._by_length: dict[int, str] = {}
        self._count = 0
        self._known: dict[str, list[tuple[SizeKey, float]]] = {}

    def _gather(self) -> None:
        """Write out every marking, once the first is asked for."""
        for size in self._sizes:
            for form, named in marking_forms(size):
                self._forms.setdefault(form, {})[named] = None
        for form in sorted(self._forms):
            self._by_length[len(form)] = self._by_length.get(len(form), "\n") + form + "\n"
        self._count = max(1, len({named for found in self._forms.values() for named in found}))

    def readings(self, mark: str) -> list[tuple[SizeKey, float]]:
        """The sizes a marking may stand for, with their probability, most probable first.

        Parameters
        ----------
        mark : str
            What can be read, ``?`` for a character that can't.

        Notes
        -----
        Only forms that agree with every readable character compete; one character worn off
        either end is allowed for. A part that no list has competes too.
        """
        read = checked(mark)
        found = self._known.get(read)
        if found is None:
            found = self._known[read] = self._posterior(read)
        return found

    def _posterior(self, read: str) -> list[tuple[SizeKey, float]]:
        if not self._count:
            self._gather()
        pattern = re.escape(read).replace(re.escape("?"), ".")
        weights: dict[SizeKey, float] = {}
        no_size = prior(UNLISTED_SIZE)
        each = (1.0 - no_size) / self._count
        for length in range(len(read), len(read) + 2):
            shapes = (pattern,) if length == len(read) else (f".{pattern}", f"{pattern}.")
            text = self._by_length.get(length, "")
            for shape in shapes:
                for form in re.findall(f"^{shape}$", text, re.MULTILINE):
                    weight = each * mark_probability(read, form)
                    for size in self._forms[form]:
                        weights[size] = max(weights.get(size, 0.0), weight)
        # A bearing with its dimensions and one without are one size.
        merged: dict[SizeKey, float] = {}
        for size, weight in weights.items():
            one = listed_bearing(size)
            merged[one] = max(merged.get(one, 0.0), weight)
        weights = merged
        total = sum(weights.values()) + no_size * random_probability(read)
        ranked = sorted(
            ((size, weight / total) for size, weight in weights.items()),
            key=lambda pair: (-pair[1], size_text(pair[0])),
        )
        return [pair for pair in ranked if pair[1] >= _FLOOR]


def marking_forms(size: SizeKey) -> Iterator[tuple[str, SizeKey]]:
    """The ways a part of a size is marked, as compared texts, and what each of them names.

    Parameters
    ----------
    size : SizeKey
        The size.

    Examples
    --------
    >>> [form for form, _ in marking_forms(SizeKey("seal", 35000, 52000, 7000, "metric"))]
    ['35527']
    """
    if size.designation:
        yield compact(size.designation), size
        pieces = designation_pieces(size.designation)
        if len(pieces) > 1:
            # The number on a cone or a cup names that ring, not the pair.
            for piece in pieces:
                yield piece, SizeKey(size.kind, designation=piece)
        return
    values = [v for v in (size.shaft_um, size.bore_um, size.width_um) if v is not None]
    if len(values) < 2:
        return
    if size.system == METRIC:
        millimetres = (f"{value / UM_PER_MM:.3f}".rstrip("0") for value in values)
        yield "".join(_digits(text) for text in millimetres), size
        return
    inches = [inch_text(value / UM_PER_INCH) for value in values]
    for forms in (
        [_digits(text) for text in inches],
        [_digits(text.rstrip("0")).lstrip("0") for text in inches],
        [_digits(text).lstrip("0") for text in inches],
    ):
        yield "".join(forms), size


def _digits(text: str) -> str:
    return text.replace(".", "")
