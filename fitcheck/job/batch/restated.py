"""The accounts of many rows at once: what each mistake makes of every row's readings.

As ``accounts`` does for one row; all rows have been read at the same places, one reading each.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import permutations

import numpy as np

from fitcheck.accounts import (
    AS_GIVEN,
    ORDER_SWAPPED,
    ROUNDED,
    STEPS,
    UNIT_MIXED,
    prior,
    rounded_steps,
)
from fitcheck.job.batch.bands_table import Flags, Floats
from fitcheck.job.batch.densities import Values
from fitcheck.readings import Reading
from fitcheck.records import dataclass
from fitcheck.units import MM_PER_INCH

# How a place's reading is restated: as it was given, in the other unit, as that of another place
# (its name follows), or rounded to one of the steps.
OWN, OTHER, OF, TO = "own", "other unit", "of ", "to "


@dataclass(frozen=True, slots=True)
class Restated:
    """One account of all rows: its name, its prior by row, and how it takes each place.

    Rows whose prior is zero have no such account.
    """

    name: str
    prior: Floats
    ways: Mapping[str, str]


class Columns:
    """The readings of many rows at the same places, as arrays; places in alphabetical order.

    Parameters
    ----------
    readings : mapping of str to list of Reading
        By place, one reading for each row, in mm or inches.
    """

    def __init__(self, readings: Mapping[str, list[Reading]]) -> None:
        self.places = tuple(sorted(readings))
        self.count = len(readings[self.places[0]])
        self.x: dict[str, Floats] = {}
        self.error: dict[str, Floats] = {}
        self._factor: dict[str, Floats] = {}
        self._stated: dict[str, Flags] = {}
        self._rounded = np.ones((len(STEPS), self.count), dtype=bool)
        for place in self.places:
            column = readings[place]
            self.x[place] = np.array([reading.mean_mm for reading in column])
            self.error[place] = np.array([reading.standard_error_mm for reading in column])
            inches = np.array([reading.unit == "in" for reading in column])
            self._factor[place] = np.where(inches, 1.0 / MM_PER_INCH, MM_PER_INCH)
            self._stated[place] = np.array([reading.stated for reading in column])
            steps = [rounded_steps(reading) for reading in column]
            self._rounded &= np.array(steps, dtype=bool).T

    def values(self, place: str, way: str) -> Values:
        """What an account makes of a place, for every row."""
        x, error = self.x[place], self.error[place]
        one, none = np.ones(self.count), np.zeros(self.count)
        if way == OWN:
            return Values(x, error, one, none)
        if way == OTHER:
            factor = self._factor[place]
            return Values(x * factor, error, factor, none)
        if way.startswith(OF):
            other = way.removeprefix(OF)
            return Values(self.x[other], self.error[other], one, none)
        step = next(step for step in STEPS if step.mistake == way.removeprefix(TO))
        half = np.full(self.count, step.step_mm / 2.0)
        return Values(x, error, np.full(self.count, 1.0 / step.display_mm), half)

    def restated(self, order_group: tuple[str, ...]) -> list[Restated]:
        """Every account of the rows, the plain one first; the priors of a row add up to 1."""
        own = dict.fromkeys(self.places, OWN)
        others = [*self._units(own), *self._orders(own, order_group)]
        for number, step in enumerate(STEPS):
            share = np.where(self._rounded[number], prior(step.mistake), 0.0)
            if share.any():
                ways = dict.fromkeys(self.places, TO + step.mistake)
                others.append(Restated(ROUNDED, share, ways))
        plain = np.zeros(self.count)
        for account in others:
            plain += account.prior
        return [Restated(AS_GIVEN, 1.0 - plain, own), *others]

    def _units(self, own: Mapping[str, str]) -> list[Restated]:
        stated = np.vstack([self._stated[place] for place in self.places])
        rarely = prior("unit-stated")
        found = [
            Restated(
                UNIT_MIXED,
                prior("unit-one") * np.where(stated[number], rarely, 1.0),
                {**own, place: OTHER},
            )
            for number, place in enumerate(self.places)
        ]
        if len(self.places) > 1:
            share = prior("unit-all") * np.where(stated.any(axis=0), rarely, 1.0)
            found.append(Restated(UNIT_MIXED, share, dict.fromkeys(self.places, OTHER)))
        return found

    def _orders(self, own: Mapping[str, str], order_group: tuple[str, ...]) -> list[Restated]:
        mixed = [place for place in self.places if place in order_group]
        if len(mixed) < 2:
            return []
        orders = list(permutations(mixed))[1:]
        share = np.full(self.count, prior("order-swapped") / len(orders))
        return [
            Restated(
                ORDER_SWAPPED,
                share,
                {
                    **own,
                    **{
                        to: OWN if to == of else OF + of
                        for to, of in zip(mixed, order, strict=True)
                    },
                },
            )
            for order in orders
        ]
