"""What the stocking list is made from: parts, lines of demand, and the model of both.

The model is arrays over *items*, one item being one size at one branch, so that a hundred thousand
sizes at ten branches are worked out at once. A *kit* is what one job needs, all of it, at one
branch. Both are kept apart from the text they came from: only `Part.key` says what a size is
called.
"""

from __future__ import annotations

from dataclasses import field
from datetime import date
from typing import TYPE_CHECKING

from fitcheck.lists.items import SizeKey
from fitcheck.records import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]

DAYS_PER_YEAR = 365.25
MONTHS = 12
NO_SIZE = SizeKey()


@dataclass(frozen=True, slots=True)
class Part:
    """One size, whatever it was called, and what buying it takes.

    Attributes
    ----------
    key : str
        Its one name: ``35 x 52 x 7``, ``30206``; a part number where no size is known.
    what : str
        ``seal``, ``bearing``, ``sleeve`` or ``other``.
    size : SizeKey
        The size by its dimensions [um]; all None where they are not known.
    price : float or None
        Price of one piece [currency]; None where no list gives one.
    currency : str
        The currency of the price; blank where there is no price.
    lead_days, lead_days_sd : float
        Mean and standard deviation of the time from order to shelf [d].
    pack, minimum : int
        Pieces in a pack; fewest pieces that are sold at once.
    shelf_life_months : float or None
        How long a piece may lie [months]; None where it does not age.
    critical : bool
        Whether one is kept whatever the arithmetic says.
    """

    key: str
    what: str
    size: SizeKey = NO_SIZE
    price: float | None = None
    currency: str = ""
    lead_days: float = 7.0
    lead_days_sd: float = 2.0
    pack: int = 1
    minimum: int = 1
    shelf_life_months: float | None = None
    critical: bool = False


@dataclass(frozen=True, slots=True)
class DemandLine:
    """Some pieces of one size that somebody asked for.

    Attributes
    ----------
    line : int
        Its line in the file it came from; 0 for a line of a job card.
    day : date
        When they were asked for.
    branch : str
        Where.
    job : str
        The job they were for; blank where none was named. A job's lines are its kit.
    part_key : str
        The size, as `Part.key`.
    quantity : int
        Pieces asked for.
    short : bool or None
        Whether the shelf did not have them; None where that is not known.
    """

    line: int
    day: date
    branch: str
    job: str
    part_key: str
    quantity: int
    short: bool | None = None


@dataclass(frozen=True, slots=True)
class Stretch:
    """Days on which the shelf of a branch had none of a size: `first` up to before `end`."""

    branch: str
    part_key: str
    first: date
    end: date


@dataclass(frozen=True, slots=True)
class Ahead:
    """The days that orders are placed on: the first, and how many."""

    first: date
    days: int

    @property
    def last(self) -> date:
        """The last of the days."""
        return date.fromordinal(self.first.toordinal() + self.days - 1)


@dataclass(frozen=True, slots=True, eq=False)
class Pace:
    """What the months do to some items.

    ``lead`` is the demand in a lead time over that of an average year, as those who ask see it on
    the average, and ``swing`` its variance from day to day; ``now`` is what is asked for on the
    days looked at over an average year's; ``days`` are these days, where some were named.
    """

    lead: Floats
    swing: Floats
    now: Floats
    days: Ahead | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """What is known of demand, as arrays; items are (size, branch) pairs.

    Attributes
    ----------
    parts, branches : tuple
        The sizes, and the names of the branches.
    part_of, branch_of : array of int, (N,)
        For each item the number of its part and of its branch.
    rate_shape, rate_scale : array of float, (N,)
        Gamma posterior of the pieces asked for in a year; its mean is shape x scale.
    dispersion : array of float, (N,)
        Variance over mean of the pieces asked for in a stretch of time, were the rate known; 1 is
        Poisson.
    lead_mean_years, lead_sd_years : array of float, (N,)
        Time from order to shelf [years].
    review_years : float
        Time between looks at the shelf, added to the lead time; 0 where it is watched all the
        time.
    on_hand : array of int, (N,)
        Today's shelf.
    counted : array of bool, (N,)
        Whether the shelf was counted; where not, `on_hand` is 0 and that is an assumption.
    season : array of float, (12,)
        Demand of January to December over an average month's; the mean is 1.
    kit_branch : array of int, (K,)
        The branch of each kit.
    kit_shape, kit_scale : array of float, (K,)
        Gamma posterior of the jobs a year that need this kit.
    kit_start : array of int, (K + 1,)
        Kit k takes the entries kit_start[k] up to before kit_start[k + 1] of the next two.
    kit_item, kit_quantity : array of int
        The items of the kits, and how many pieces of each.
    sub_start : array of int, (N + 1,)
        Item i may be replaced by the entries sub_start[i] up to before sub_start[i + 1].
    sub_item : array of int
        The items that do as well, best first; always of the same branch.
    sub_condition : tuple of str
        On what condition, for each entry: a sentence for the buyer.
    new_job_share : float
        Share of next year's jobs whose kit was never seen; what the model can't plan for.
    assumptions : tuple of str
        What had to be assumed, each a sentence for the buyer.
    kept_here : array of bool, (N,), optional
        Where a critical part is always kept; at every branch where left out.
    pace : Pace, optional
        What the months do to each item; nothing where left out.
    kit_pace : array of float, (K,), optional
        Jobs on the days looked at over those of an average year; 1 where left out.
    own_months : mapping of int to str, optional
        The sizes with months of their own, by their number, in words.
    """

    parts: tuple[Part, ...]
    branches: tuple[str, ...]
    part_of: Ints
    branch_of: Ints
    rate_shape: Floats
    rate_scale: Floats
    dispersion: Floats
    lead_mean_years: Floats
    lead_sd_years: Floats
    on_hand: Ints
    counted: NDArray[np.bool_]
    season: Floats
    kit_branch: Ints
    kit_shape: Floats
    kit_scale: Floats
    kit_start: Ints
    kit_item: Ints
    kit_quantity: Ints
    sub_start: Ints
    sub_item: Ints
    sub_condition: tuple[str, ...] = ()
    review_years: float = 0.0
    new_job_share: float = 0.0
    assumptions: tuple[str, ...] = field(default=())
    kept_here: NDArray[np.bool_] | None = None
    pace: Pace | None = None
    kit_pace: Floats | None = None
    own_months: Mapping[int, str] | None = None

    @property
    def always(self) -> NDArray[np.bool_]:
        """Whether one is kept whatever the arithmetic says, (N,)."""
        import numpy as np

        if self.kept_here is not None:
            return self.kept_here
        return np.array([part.critical for part in self.parts], dtype=np.bool_)[self.part_of]

    @property
    def rate(self) -> Floats:
        """Pieces asked for in a year, expected, (N,)."""
        return self.rate_shape * self.rate_scale

    @property
    def kit_rate(self) -> Floats:
        """Jobs a year that need each kit, expected, (K,)."""
        return self.kit_shape * self.kit_scale

    @property
    def price(self) -> Floats:
        """Price of one piece of each item, NaN where none is known, (N,)."""
        import numpy as np

        prices = [np.nan if part.price is None else part.price for part in self.parts]
        return np.array(prices, dtype=np.float64)[self.part_of]

    @property
    def mean(self) -> Floats:
        """Expected demand in lead time and review, (N,) [pieces]."""
        return self.rate * self._time

    @property
    def _time(self) -> Floats:
        """Lead time and review, in years of average demand."""
        time = self.lead_mean_years + self.review_years
        return time if self.pace is None else time * self.pace.lead

    @property
    def variance(self) -> Floats:
        """Variance of the demand in lead time and review, (N,) [pieces^2].

        Notes
        -----
        With rate R, time T, both uncertain and independent, and variance over mean d of the count:
        Var = d E[R] E[T] + E[R^2] Var(T) + Var(R) E[T]^2. Time is counted in years of average
        demand, and what that differs from month to month adds to Var(T).
        """
        time = self._time
        rate = self.rate
        rate_variance = rate * self.rate_scale
        uneven = self.lead_sd_years**2
        if self.pace is not None:
            real = self.lead_mean_years + self.review_years
            uneven = uneven * self.pace.lead**2 + real**2 * self.pace.swing
        spread = (rate_variance + rate**2) * uneven
        result: Floats = self.dispersion * rate * time + spread + rate_variance * time**2
        return result
