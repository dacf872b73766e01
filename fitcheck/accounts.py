"""The accounts of a set of readings: as given, in mixed units, in another order, rounded.

A mistake that touches several readings at once gives another account of all of them. Each account
has a prior from the table ``priors/mistakes`` and restates every reading as a value, its error,
and what that restating does to its density. The engine scores them all and lets them compete.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field
from functools import cache, partial
from itertools import permutations
from operator import attrgetter

from fitcheck.quantities import plain
from fitcheck.readings import Reading
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder, table
from fitcheck.units import MM_PER_INCH

AS_GIVEN = "as-given"
UNIT_MIXED = "unit-mixed"
ORDER_SWAPPED = "order-swapped"
ROUNDED = "rounded"


@dataclass(frozen=True, slots=True)
class RoundedStep:
    """A step that readings get rounded to; ``display_mm`` is what one step of a caliper is worth:
    the cell in which an unrounded reading falls.
    """

    mistake: str
    unit: str
    step_mm: float
    display_mm: float
    words: str


STEPS = (
    RoundedStep("rounded-mm", "mm", 1.0, 0.01, "all readings were rounded to whole millimetres"),
    RoundedStep(
        "rounded-sixteenth",
        "in",
        MM_PER_INCH / 16,
        0.0254,
        "all readings were rounded to sixteenths of an inch",
    ),
)


@dataclass(frozen=True, slots=True)
class Value:
    """A reading as one account takes it.

    ``factor`` turns a density over the restated value into one over the value as written;
    ``half_step_mm`` is half the rounding step, or 0 where the reading is taken as written.
    """

    place: str
    value_mm: float
    error_mm: float
    factor: float = 1.0
    half_step_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Account:
    """One account of all the readings: its name, prior, values, and the words for it.

    ``told`` makes the words: of ten accounts that are weighed hardly one is told to anybody.
    """

    name: str
    prior: float
    values: tuple[Value, ...]
    told: Callable[[], str] = field(default=str, compare=False)

    @property
    def words(self) -> str:
        """What the account says, for a person."""
        return self.told()


def prior(mistake: str) -> float:
    """The prior of a mistake from ``priors/mistakes``."""
    return _priors(shop_folder())[mistake]


@cache
def _priors(_shop: str) -> dict[str, float]:
    return {row.text("mistake"): row.number("prior") for row in table("priors/mistakes").rows}


def accounts(readings: Mapping[str, Reading], order_group: tuple[str, ...]) -> list[Account]:
    """Every account of the readings, the plain one first; the priors add up to 1.

    Parameters
    ----------
    readings : mapping of str to Reading
        The readings by place.
    order_group : tuple of str
        The places whose values get mixed up when a size is written in another order.
    """
    given = tuple(
        Value(place, reading.mean_mm, reading.standard_error_mm)
        for place, reading in sorted(readings.items())
    )
    priors = _priors(shop_folder())
    others = [
        *_unit_accounts(given, readings, priors),
        *_order_accounts(given, order_group, priors),
        *_rounded_accounts(given, readings, priors),
    ]
    plain_prior = 1.0 - sum(account.prior for account in others)
    return [Account(AS_GIVEN, plain_prior, given), *others]


def _unit_accounts(
    given: tuple[Value, ...], readings: Mapping[str, Reading], priors: Mapping[str, float]
) -> list[Account]:
    found = []
    single = [_other_unit(value, readings[value.place]) for value in given]
    for number, other in enumerate(single):
        if other is None:
            continue
        restated, told, stated = other
        share = priors["unit-one"] * (priors["unit-stated"] if stated else 1.0)
        values = (*given[:number], restated, *given[number + 1 :])
        found.append(Account(UNIT_MIXED, share, values, told))
    if len(given) > 1 and all(other is not None for other in single):
        known = [other for other in single if other is not None]
        stated = any(other[2] for other in known)
        share = priors["unit-all"] * (priors["unit-stated"] if stated else 1.0)

        def all_told() -> str:
            return "; ".join(told() for _, told, _ in known)

        found.append(Account(UNIT_MIXED, share, tuple(other[0] for other in known), all_told))
    return found


def _other_unit(value: Value, reading: Reading) -> tuple[Value, Callable[[], str], bool] | None:
    """The reading as if its number had been meant in the other unit."""
    if reading.unit == "mm":
        factor, unit = MM_PER_INCH, "inches"
        number = value.value_mm
    elif reading.unit == "in":
        factor, unit = 1.0 / MM_PER_INCH, "millimetres"
        number = value.value_mm / MM_PER_INCH
    else:
        return None
    restated = Value(value.place, value.value_mm * factor, value.error_mm, factor)

    def told() -> str:
        return (
            f"{value.place} {plain(round(number, 4))} was meant in {unit}: "
            f"{plain(round(restated.value_mm, 3))} mm"
        )

    return restated, told, reading.stated


def _order_accounts(
    given: tuple[Value, ...], order_group: tuple[str, ...], priors: Mapping[str, float]
) -> list[Account]:
    mixed = [value for value in given if value.place in order_group]
    fixed = tuple(value for value in given if value.place not in order_group)
    if len(mixed) < 2:
        return []
    orders = _other_orders(len(mixed))
    share = priors["order-swapped"] / len(orders)
    found = []
    for order in orders:
        swapped = tuple(
            Value(slot.place, mixed[number].value_mm, mixed[number].error_mm)
            for slot, number in zip(mixed, order, strict=True)
        )
        values = tuple(sorted((*swapped, *fixed), key=_place_of)) if fixed else swapped
        found.append(Account(ORDER_SWAPPED, share, values, partial(_order_told, swapped)))
    return found


_place_of = attrgetter("place")


@cache
def _other_orders(count: int) -> tuple[tuple[int, ...], ...]:
    """Every order of so many things but the one they are in."""
    return tuple(permutations(range(count)))[1:]


def _order_told(swapped: tuple[Value, ...]) -> str:
    words = ", ".join(f"{v.place} {plain(round(v.value_mm, 3))} mm" for v in swapped)
    return f"read as {words}"


def _rounded_accounts(
    given: tuple[Value, ...], readings: Mapping[str, Reading], priors: Mapping[str, float]
) -> list[Account]:
    found = []
    for step in STEPS:
        if given and all(_on_step(readings[v.place], step) for v in given):
            values = tuple(
                Value(v.place, v.value_mm, v.error_mm, 1.0 / step.display_mm, step.step_mm / 2.0)
                for v in given
            )
            found.append(Account(ROUNDED, priors[step.mistake], values, step.words.__str__))
    return found


# Writing that shows nothing finer than this may be rounded: a whole millimetre, a fraction or
# hundredth of an inch. A thousandth of an inch was measured.
_COARSE_MM = {"mm": 0.5, "in": MM_PER_INCH / 128.0}
_FINEST_MM = min(_COARSE_MM.values())
_NEVER = (False,) * len(STEPS)


def rounded_steps(reading: Reading) -> tuple[bool, ...]:
    """For each of ``STEPS``, whether a reading may have been rounded to it.

    Parameters
    ----------
    reading : Reading
        The reading, as written.
    """
    # Most readings are written too finely for any.
    if reading.step_mm < _FINEST_MM:
        return _NEVER
    return tuple(_on_step(reading, step) for step in STEPS)


def _on_step(reading: Reading, rounded: RoundedStep) -> bool:
    """Whether the reading, as written, stands on a whole step and shows nothing finer."""
    step_mm = rounded.step_mm
    if reading.unit != rounded.unit or reading.step_mm < _COARSE_MM[rounded.unit]:
        return False
    # A tape reads no finer than such a step: its own uncertainty already covers the rounding.
    if reading.standard_error_mm > step_mm / 8.0:
        return False
    return all(abs(v / step_mm - round(v / step_mm)) < 1e-6 for v in reading.values_mm)
