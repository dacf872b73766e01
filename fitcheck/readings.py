"""A reading: what was measured, where, with which instrument, and how sure that makes us.

Several readings of one place become one: averaged, with their spread reported, a stray among
three or more left out and named, and out-of-round judged against what the instrument explains.
"""

from __future__ import annotations

import math
from functools import lru_cache

from fitcheck.errors import DataError, InputError
from fitcheck.quantities import Quantity, length, plain
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder, table

DEFAULT_INSTRUMENT = "caliper"

# Half of an instrument's variance stays the same for every reading (its zero, the hand that
# holds it), half differs each time: common practice, no source. So averaging helps, up to 0.7.
_SHARED = 0.5
# A stray stands this many scatter widths from the middle of the others.
_STRAY = 5.0
# Differences are judged to a nanometre: 35.08 - 35.00 is 0.08 and nothing more.
_SLACK_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Instrument:
    """An instrument of the shop, from the table ``instruments/instruments``."""

    name: str
    uncertainty_mm: float
    roundness_limit_mm: float
    source: str


@dataclass(frozen=True, slots=True)
class Reading:
    """One place on one part, measured once or several times.

    ``values_mm`` are the values used, in rising order; ``strays_mm`` those left out. ``step_mm``
    is the coarsest step the writing could express and ``stated`` whether every unit was written.
    """

    place: str
    values_mm: tuple[float, ...]
    strays_mm: tuple[float, ...]
    instrument: str
    mean_mm: float
    standard_error_mm: float
    spread_mm: float
    roundness_limit_mm: float
    stated: bool
    step_mm: float
    unit: str

    @property
    def out_of_round(self) -> bool:
        """Whether the readings differ by more than the instrument explains."""
        return self.spread_mm > self.roundness_limit_mm + _SLACK_MM

    def notes(self) -> tuple[str, ...]:
        """What a person should know about these readings, in plain words."""
        notes = []
        if self.strays_mm:
            strays = ", ".join(plain(round(v, 4)) for v in self.strays_mm)
            notes.append(
                f"{self.place}: {strays} mm stands apart from the other readings and is left out; "
                "take it again"
            )
        if self.out_of_round:
            notes.append(
                f"{self.place}: the readings differ by {self.spread_mm:.3f} mm, more than the "
                f"{self.instrument} explains ({self.roundness_limit_mm:.3f} mm): out of round or "
                "worn; read it in two directions again"
            )
        return tuple(notes)


def instrument(name: str) -> Instrument:
    """An instrument by name.

    Raises
    ------
    InputError
        No such instrument is listed.
    """
    return _instrument(name, shop_folder())


# A refusal is an error, and those are not kept.
@lru_cache(maxsize=256)
def _instrument(name: str, _shop: str) -> Instrument:
    rows = table("instruments/instruments").rows
    wanted = _same_name(name)
    for row in rows:
        if _same_name(row.text("instrument")) == wanted:
            uncertainty = row.number("uncertainty_mm")
            limit = row.number("roundness_limit_mm")
            if not (0.0 < uncertainty < math.inf and 0.0 <= limit < math.inf):
                raise DataError(
                    value=f"{row.text('instrument')} in {row.cite()}",
                    rule="uncertainty_mm must be larger than zero, roundness_limit_mm not negative",
                    todo="Correct the row in the table instruments/instruments",
                )
            return Instrument(
                name=row.text("instrument"),
                uncertainty_mm=uncertainty,
                roundness_limit_mm=limit,
                source=row.cite(),
            )
    known = ", ".join(row.text("instrument") for row in rows)
    raise InputError(
        value=f"@{name}", rule="this instrument is not listed", todo=f"Use one of {known}"
    )


def _same_name(name: str) -> str:
    """An instrument's name as compared: Bore gauge and bore-gauge are the same."""
    return "-".join(name.lower().replace("_", " ").replace("-", " ").split())


def split_instrument(text: str) -> tuple[str, str]:
    """The quantity and the instrument of ``34.92mm@micrometer``; caliper when none is given."""
    quantity, mark, name = text.partition("@")
    return quantity, (name.strip() if mark else DEFAULT_INSTRUMENT)


def read(*, place: str, texts: tuple[str, ...], unit: str = "mm", tool: str = "") -> Reading:
    """One reading of a place from one or more texts.

    Parameters
    ----------
    place : str
        The name of the place, as the user knows it: ``shaft``, ``bore``.
    texts : tuple of str
        What was written, each with or without ``@instrument``.
    unit : str
        The unit of bare numbers.
    tool : str
        The instrument of texts that name none; a caliper when empty.

    Raises
    ------
    InputError
        A text is no length, is zero or negative, or names no known instrument.
    """
    if not texts:
        raise InputError(value=place, rule="no reading was given", todo=f"Give a value for {place}")
    parsed: list[tuple[Quantity, Instrument]] = []
    for text in texts:
        quantity_text, name = split_instrument(text)
        if tool and "@" not in text:
            name = tool
        try:
            quantity = length(quantity_text, unit=unit)
        except InputError as error:
            raise error.at(place) from None
        try:
            found = instrument(name)
        except InputError as error:
            raise error.at(f"{place} {quantity_text.strip()}") from None
        if quantity.value <= 0:
            raise InputError(
                value=f"{place} {text}",
                rule="a measured dimension is larger than zero",
                todo="Measure it again",
            )
        parsed.append((quantity, found))
    return _combine(place, parsed)


def reading_of(
    *, place: str, value_mm: float, instrument_name: str = DEFAULT_INSTRUMENT
) -> Reading:
    """A reading from a plain number of mm, for callers that hold no text.

    Parameters
    ----------
    place : str
        The name of the place.
    value_mm : float
        The measured value [mm].
    instrument_name : str
        The instrument.

    Raises
    ------
    InputError
        The value is no number above zero, or the instrument is not listed.
    """
    if not 0.0 < value_mm < math.inf:
        raise InputError(
            value=f"{place} {value_mm}",
            rule="a measured dimension is a number larger than zero",
            todo="Measure it again",
        )
    quantity = Quantity(
        value=value_mm, amount=value_mm, unit="mm", dimension="length", stated=True, step=0.01
    )
    return _combine(place, [(quantity, instrument(instrument_name))])


def _combine(place: str, parsed: list[tuple[Quantity, Instrument]]) -> Reading:
    # In rising order, so that the order of taking can't change the last digit of the mean.
    parsed.sort(key=lambda item: (item[0].value, item[1].uncertainty_mm, item[1].name))
    strays = _strays([q.value for q, _ in parsed], [tool.uncertainty_mm for _, tool in parsed])
    kept = [item for i, item in enumerate(parsed) if i not in strays]
    values = [q.value for q, _ in kept]
    tools = {tool.name: tool for _, tool in kept}
    estimates = [
        _estimate([q.value for q, t in kept if t.name == name], tools[name].uncertainty_mm)
        for name in sorted(tools)
    ]
    weights = [1.0 / variance for _, variance in estimates]
    total = math.fsum(weights)
    mean = math.fsum(w * m for w, (m, _) in zip(weights, estimates, strict=True)) / total
    # Instruments that disagree by more than they can explain make the result less sure, by the
    # same factor (the Birge ratio).
    disagreement = math.fsum(
        w * (m - mean) ** 2 for w, (m, _) in zip(weights, estimates, strict=True)
    ) / max(1, len(estimates) - 1)
    return Reading(
        place=place,
        values_mm=tuple(values),
        strays_mm=tuple(parsed[i][0].value for i in sorted(strays)),
        instrument=" and ".join(sorted(tools)),
        # Rounding must not carry the mean of equal values past them.
        mean_mm=min(max(mean, values[0]), values[-1]),
        standard_error_mm=math.sqrt(max(1.0, disagreement) / total),
        spread_mm=values[-1] - values[0],
        roundness_limit_mm=max(tool.roundness_limit_mm for tool in tools.values()),
        stated=all(q.stated for q, _ in kept),
        step_mm=max(q.step for q, _ in kept),
        unit=kept[0][0].unit if len({q.unit for q, _ in kept}) == 1 else "mm",
    )


def _estimate(values: list[float], uncertainty_mm: float) -> tuple[float, float]:
    """Mean [mm] and variance [mm2] of the readings one instrument gave."""
    count = len(values)
    mean = math.fsum(values) / count
    scatter = math.fsum((v - mean) ** 2 for v in values) / (count - 1) if count > 1 else 0.0
    own = max((1.0 - _SHARED) * uncertainty_mm**2, scatter)
    return mean, _SHARED * uncertainty_mm**2 + own / count


def _strays(values: list[float], uncertainties: list[float]) -> set[int]:
    """Which of three or more sorted values stand apart; never half of them or more."""
    count = len(values)
    if count < 3:
        return set()
    middle = _median(values)
    distances = [abs(v - middle) for v in values]
    # 1.4826 turns a median distance into a standard deviation for normal scatter.
    scatter = 1.4826 * _median(sorted(distances))
    # The middle is as good as the usual instrument: a micrometer between tapes is no stray.
    usual = _median(sorted(uncertainties))
    apart = {
        i
        for i, (distance, own) in enumerate(zip(distances, uncertainties, strict=True))
        if distance > _STRAY * max(scatter, 1.5 * own, 1.5 * usual) + _SLACK_MM
    }
    return apart if len(apart) * 2 < count else set()


def _median(values: list[float]) -> float:
    half = len(values) // 2
    return values[half] if len(values) % 2 else (values[half - 1] + values[half]) / 2.0
