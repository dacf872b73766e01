"""A simulated bench: parts drawn from the tables, worn, misread and written down by scenario.

Sizes, tolerances, priors and instruments come from the tables; how readings are explained is the
business of `simulate_bench`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import permutations

import numpy as np
import numpy.typing as npt

from fitcheck.parts.family import Family, View
from fitcheck.tables import table

Floats = npt.NDArray[np.float64]
# Lower and upper edges [mm] by nominal and band, and the bands' priors.
Bands = tuple[Floats, Floats, Floats]
MM_PER_INCH = 25.4
SIXTEENTH_MM = MM_PER_INCH / 16
# What one step of a number counts for: hundredths of a millimetre, thousandths of an inch.
STEP = {"mm": 0.01, "in": 0.001}
# A part that no table lists has proportions like the listed ones within this factor of its first
# dimension, save for a share that has any; how far its dimensions may lie beyond the listed ones.
NEAR, ANY_PROPORTION = 1.15, 0.1
BEYOND, AROUND = (0.8, 1.25), (0.9, 1.1)
PER_UNIT = {"mm": 1.0, "in": MM_PER_INCH}


def mistakes() -> dict[str, float]:
    """The priors of mistakes, and the share of slips."""
    return {row.text("mistake"): row.number("prior") for row in table("priors/mistakes").rows}


def instruments() -> dict[str, tuple[float, float]]:
    """Standard uncertainty and resolution [mm] by instrument."""
    return {
        row.text("instrument"): (row.number("uncertainty_mm"), row.number("resolution_mm"))
        for row in table("instruments/instruments").rows
    }


@dataclass(frozen=True, slots=True)
class Scenario:
    """What happens at the bench: where and with what it is read, and what goes wrong.

    ``states`` gives the explanation that holds at a place, ``*`` any by its prior; other places
    hold only ordinary tolerance and wear. ``meant`` gives for a place the dimension that is read
    there by mistake. ``account`` is the mistake that touches all readings. ``unlisted`` says where
    an unlisted size comes from: ``removed`` from the table, or invented on a grid. ``mark`` is how
    many characters of a mark can't be read, -1 where none is.
    """

    name: str
    family: str
    places: Mapping[str, str]
    states: Mapping[str, str] = field(default_factory=dict)
    meant: Mapping[str, str] = field(default_factory=dict)
    account: str = ""
    unlisted: str = ""
    mark: int = -1
    case: str = ""


@dataclass(frozen=True, slots=True)
class Bench:
    """One bench: the numbers as written by place, their unit, and the size that is true.

    ``truth`` is the position of the true size in the family, or -1 where it lists none;
    ``fractions`` tells that the numbers are written as fractions of an inch.
    """

    numbers: Mapping[str, float]
    unit: str
    tools: Mapping[str, str]
    truth: int
    mark: str = ""
    fractions: bool = False


class Parts:
    """The parts of a family as they come to the bench, each as likely as the tables say."""

    def __init__(self, family: Family) -> None:
        self.family = family
        self.mistakes = mistakes()
        self.tools = instruments()
        self.unlisted = {r.text("kind"): r.number("share") for r in table("priors/unlisted").rows}
        weights = np.array([size.weight for size in family.sizes])
        self.share = weights / weights.sum()
        self._edges: dict[tuple[str, int], Bands] = {}
        self.keys: list[list[tuple[float, str]]] = []
        self.where: list[npt.NDArray[np.int64]] = []
        for number in range(len(family.dimensions)):
            keys = sorted({s.nominals[number] for s in family.sizes} - {None})  # type: ignore[type-var]
            found = {key: position for position, key in enumerate(keys)}
            self.keys.append([key for key in keys if key is not None])
            self.where.append(np.array([found.get(s.nominals[number], -1) for s in family.sizes]))

    def draw(self, scenario: Scenario, rng: np.random.Generator) -> Bench:
        """One bench under a scenario; as they are met, some parts are of no listed size."""
        as_met = scenario.account == "*"
        if as_met:
            scenario = replace(scenario, account=self._account(scenario, rng))
        kind = scenario.unlisted
        if as_met and rng.random() < self.mistakes["unlisted-size"]:
            kind = "*"
        while True:
            if kind:
                nominals = self.unlisted_nominals(kind, rng)
                if self.listed(nominals):
                    continue
                bench = self.measure(scenario, nominals, rng)
                # Where the readings are to exclude every listed size, none may explain them.
                if bench is not None and (as_met or not self.reached(bench)):
                    return bench
                continue
            truth = int(rng.choice(len(self.share), p=self.share))
            bench = self.measure(scenario, self.family.sizes[truth].nominals, rng, truth)
            if bench is not None:
                return bench

    def _account(self, scenario: Scenario, rng: np.random.Generator) -> str:
        names: tuple[str, ...] = ("unit-all", "order-swapped", "rounded-mm", "unit-one")
        if sum(place in self.family.order_group for place in scenario.places) < 2:
            names = tuple(name for name in names if name != "order-swapped")
        shares = [self.mistakes[name] for name in names]
        shares[-1] *= len(scenario.places)
        return ("", *names)[int(rng.choice(len(names) + 1, p=[1.0 - sum(shares), *shares]))]

    def measure(
        self,
        scenario: Scenario,
        nominals: Sequence[tuple[float, str] | None],
        rng: np.random.Generator,
        truth: int = -1,
    ) -> Bench | None:
        """A part of given nominals as measured; None where a dimension needed is not known."""
        values: dict[str, float] = {}
        for place, tool in scenario.places.items():
            actual = self._actual(scenario, place, nominals, rng)
            if actual is None:
                return None
            sigma, _ = self.tools[tool]
            slip = 4.0 if rng.random() < self.mistakes["slip"] else 1.0
            values[place] = actual + slip * sigma * rng.standard_normal()
        return self._written(scenario, values, rng, truth)

    def _actual(
        self,
        scenario: Scenario,
        place: str,
        nominals: Sequence[tuple[float, str] | None],
        rng: np.random.Generator,
    ) -> float | None:
        state = scenario.states.get(place, "")
        views = self.family.places[place].views
        meant = scenario.meant.get(place, "")
        views = tuple(v for v in views if state == "*" or v.state == meant)
        shares = np.array([view.share for view in views])
        view = views[int(rng.choice(len(views), p=shares / shares.sum()))]
        nominal = nominals[view.dimension]
        if nominal is None:
            return None
        allowed = [
            rule
            for rule in view.rules
            if nominal[0] >= rule.from_mm
            and (
                state == "*"
                or (rule.state == state if state else rule.state in self.family.harmless)
            )
        ]
        if not allowed:
            return None
        priors = np.array([rule.prior for rule in allowed])
        rule = allowed[int(rng.choice(len(allowed), p=priors / priors.sum()))]
        lower, upper = view.limits(*nominal)
        low = nominal[0] + rule.low_scale * lower + rule.low_mm
        high = nominal[0] + rule.high_scale * upper + rule.high_mm
        return float(rng.uniform(low, max(low, high)))

    def _written(
        self, scenario: Scenario, values: dict[str, float], rng: np.random.Generator, truth: int
    ) -> Bench:
        account, names = scenario.account, list(values)
        if account == "order-swapped":
            mixed = [name for name in names if name in self.family.order_group]
            orders = [o for o in permutations(mixed) if list(o) != mixed]
            order = orders[int(rng.integers(len(orders)))]
            values |= {to: values[of] for to, of in zip(mixed, order, strict=True)}
        unit, other = ("in", "mm") if account.endswith("sixteenth") else ("mm", "in")
        if account.startswith("unit") and rng.random() < 0.5:
            unit, other = other, unit
        wrong = {"unit-all": set(names)}
        if account == "unit-one":
            wrong["unit-one"] = {names[int(rng.integers(len(names)))]}
        numbers = {}
        for name, value in values.items():
            _, resolution = self.tools[scenario.places[name]]
            spoken = other if name in wrong.get(account, set()) else unit
            step = max(STEP[spoken], resolution) if resolution > 0.1 else STEP[spoken]
            if account.startswith("rounded"):
                step = 1.0 if unit == "mm" else 1.0 / 16.0
            numbers[name] = round(round(value / PER_UNIT[spoken] / step) * step, 6)
        fractions = account.endswith("sixteenth")
        return Bench(numbers, unit, dict(scenario.places), truth, fractions=fractions)

    def unlisted_nominals(
        self, kind: str, rng: np.random.Generator
    ) -> tuple[tuple[float, str] | None, ...]:
        """Nominals of a size no table lists: of a ``kind`` of spread, or ``*`` as they are met."""
        found: list[tuple[float, str]] = []
        for number, keys in enumerate(self.keys):
            alike = found and rng.random() >= ANY_PROPORTION
            members, span = self.near(0, found[0][0], number) if alike else (None, None)
            if members is None or span is None:
                members = np.arange(len(self.share))
                span = (keys[0][0] * BEYOND[0], keys[-1][0] * BEYOND[1])
            kinds, shares = list(self.unlisted), list(self.unlisted.values())
            spread = kinds[int(rng.choice(len(kinds), p=shares))] if kind == "*" else kind
            value = float(span[0] * (span[1] / span[0]) ** rng.random())
            if spread == "listed":
                places = self.where[number][members]
                found.append(keys[int(rng.choice(places[places >= 0]))])
            elif spread == "millimetre":
                found.append((max(1.0, float(round(value))), "metric"))
            elif spread == "sixteenth":
                found.append((max(1, round(value / SIXTEENTH_MM)) * SIXTEENTH_MM, "inch"))
            else:
                found.append((value, "metric"))
        return tuple(found)

    def listed(self, nominals: Sequence[tuple[float, str] | None]) -> bool:
        """Whether a listed size has these nominals, to a hundredth of a millimetre."""
        alike = np.ones(len(self.share), dtype=bool)
        for number, nominal in enumerate(nominals):
            values = np.array([key[0] for key in self.keys[number]] + [math.inf])
            if nominal is not None:
                alike &= np.abs(values[self.where[number]] - nominal[0]) < 0.01
        return bool(alike.any())

    def near(
        self, dimension: int, value_mm: float, other: int
    ) -> tuple[npt.NDArray[np.int64] | None, tuple[float, float] | None]:
        """The sizes near a value of a dimension, and what another dimension may be among them."""
        nominals = np.array([key[0] for key in self.keys[dimension]] + [-1.0])
        here = nominals[self.where[dimension]]
        members = np.flatnonzero((here >= value_mm / NEAR) & (here <= value_mm * NEAR))
        others = self.where[other][members]
        if not (others >= 0).any():
            return None, None
        spanned = [self.keys[other][k][0] for k in others[others >= 0]]
        return members, (min(spanned) * AROUND[0], max(spanned) * AROUND[1])

    def reached(self, bench: Bench, *, times: float = 4.0) -> bool:
        """Whether a listed size explains every reading by tolerance and instrument alone."""
        open_ = np.ones(len(self.share), dtype=bool)
        for place, number in bench.numbers.items():
            x, sigma = number * PER_UNIT[bench.unit], self.tools[bench.tools[place]][0]
            here = np.zeros(len(self.share), dtype=bool)
            for position, view in enumerate(self.family.places[place].views):
                low, high, _ = self.view_edges(place, position, view)
                used = self.family.harmless
                clean = np.array([r.state in used and not view.state for r in view.rules])
                fits = ((low - times * sigma <= x) & (x <= high + times * sigma) & clean).any(-1)
                here |= np.append(fits, False)[self.where[view.dimension]]
            open_ &= here
        return bool(open_.any())

    def view_edges(self, place: str, number: int, view: View) -> Bands:
        """The edges of a view's bands for every nominal, and the bands' priors."""
        if (place, number) not in self._edges:
            keys = self.keys[view.dimension]
            self._edges[place, number] = edges(view, [k[0] for k in keys], keys)
        return self._edges[place, number]


def edges(view: View, at: Sequence[float], keys: Sequence[tuple[float, str]]) -> Bands:
    limits = np.array([view.limits(*key) for key in keys])
    low = np.stack([r.low_scale * limits[:, 0] + r.low_mm for r in view.rules], axis=-1)
    high = np.stack([r.high_scale * limits[:, 1] + r.high_mm for r in view.rules], axis=-1)
    middle = np.asarray(at, dtype=float)[:, None]
    high = np.maximum(high, low + 0.001)
    # A band that does not apply to a nominal lies where no reading reaches.
    away = np.array([[0.0 if key[0] >= r.from_mm else 1e9 for r in view.rules] for key in keys])
    return low + middle + away, high + middle + away, np.array([r.prior for r in view.rules])
