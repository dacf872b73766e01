"""From the posterior of many rows to the lines about each: verdict, findings, what to read next.

A row that asks for more than its sizes and its seats is left to the way row by row: readings that
fit in another unit or order only, or no listed size, or that have to be taken again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from fitcheck.accounts import ORDER_SWAPPED, UNIT_MIXED
from fitcheck.advice import next_reading
from fitcheck.errors import FitcheckError
from fitcheck.identify import (
    AGAINST,
    FINDING_FLOOR,
    HOLDS,
    LOOK_SHARE,
    TO_LOOK_FOR,
    Candidate,
    Identification,
)
from fitcheck.job.against import beside_share
from fitcheck.job.answers import SLACK_MM
from fitcheck.job.batch.bands_table import Flags
from fitcheck.job.batch.misfits import Misfits
from fitcheck.job.batch.posterior import Posterior, Weigher
from fitcheck.job.batch.restated import Columns
from fitcheck.job.batch.row import (
    LISTED,
    NO_LISTED_SIZE,
    SEATS,
    Line,
    RowAnswerer,
    answer_lines,
)
from fitcheck.job.cross_checks import tabled_doubts
from fitcheck.job.misfit import UNLISTED_LEADS
from fitcheck.job.seal import GOES_BY, SEAT_READINGS
from fitcheck.judging import judge_reading
from fitcheck.limits import Limits
from fitcheck.parts.family import CLEAN
from fitcheck.parts.seal import limits_of_seat
from fitcheck.readings import Reading
from fitcheck.verdicts import CHECK, GO, NO_GO, worst

_Readings = Mapping[str, list[Reading]]
# What is asked where every place has been read.
_BY_ITS_MARK = ("mark", "eye")


def judged(
    answerer: RowAnswerer, part: str, weigher: Weigher, readings: Mapping[str, list[Reading]]
) -> list[tuple[Line, ...] | None]:
    """The lines about each of some rows that were read at the same places.

    Parameters
    ----------
    answerer : RowAnswerer
        What was asked, and what is remembered of seats.
    part : str
        ``seal`` or ``bearing``.
    weigher : Weigher
        Weighs the sizes of the part.
    readings : mapping of str to list of Reading
        By place, one reading for each row.

    Returns
    -------
    list
        None for a row that must be answered by itself.
    """
    columns = Columns(readings)
    return _Judging(answerer, part, weigher, readings, weigher.weigh(columns)).lines()


class _Judging:
    """Rows that have been weighed, being judged."""

    def __init__(
        self,
        answerer: RowAnswerer,
        part: str,
        weigher: Weigher,
        readings: _Readings,
        found: Posterior,
    ) -> None:
        self._answerer = answerer
        self._is_seal = part == "seal"
        self._weigher = weigher
        self._family = weigher.family
        self._readings = readings
        self._found = found
        sizes = found.candidates
        self._first: list[int] = sizes.first.tolist()
        self._size: list[int] = sizes.size.tolist()
        self._probability: list[float] = sizes.probability.tolist()
        self._clean: list[float] = sizes.clean.tolist()
        self._unlisted: list[float] = found.unlisted.tolist()
        certain = (sizes.probability >= answerer.certainty) & (sizes.clean >= HOLDS)
        code = np.where(sizes.probability < AGAINST, 2, np.where(certain, 0, 1))
        self._own: list[str] = np.array([GO, CHECK, NO_GO], dtype=object)[code].tolist()
        self._findings = _findings(found, weigher)
        self._hidden = self._hidden_sizes()
        self._misfits = Misfits(weigher, readings, found)
        self._misread = self._misread_sizes()
        self._doubted: dict[int, bool] = {}
        self._limits: dict[tuple[str, tuple[float, str]], Limits] = {}

    def lines(self) -> list[tuple[Line, ...] | None]:
        """The lines about each row, or None where it must be answered by itself."""
        return [self._row(row, fits) for row, fits in enumerate((self._found.total > 0.0).tolist())]

    def _row(self, row: int, fits: bool) -> tuple[Line, ...] | None:
        begin = self._first[row]
        if not fits:
            return None
        if self._unlisted[row] >= UNLISTED_LEADS:
            return self._of_no_size(row)
        findings = self._findings.get(row, ())
        hidden = self._hidden.get(row, "")
        verdict = GO if self._own[begin] == GO and not hidden else CHECK
        if verdict == GO and self._misread[begin]:
            return None
        following = None
        if verdict == CHECK and self._answerer.request.advise:
            following = self._following(row, hidden)
        try:
            if self._mistaken(findings) or not self._settled(row, verdict, following):
                return self._whole(row, verdict, findings, following)
        except FitcheckError:
            return None
        return self._told(row, verdict, findings, following)

    @staticmethod
    def _mistaken(findings: Sequence[str]) -> bool:
        """Whether the readings may be in other units or in another order."""
        return UNIT_MIXED in findings or ORDER_SWAPPED in findings

    def _of_no_size(self, row: int) -> tuple[Line, ...] | None:
        """The lines of a row whose readings fit no listed size; one of them may be to blame."""
        if "pocket" in self._readings:
            return None
        is_known, misfit = self._misfits.of(row)
        if not is_known:
            return None
        begin, findings = self._first[row], [*self._findings.get(row, ())]
        none = begin == self._first[row + 1] or self._unlisted[row] >= self._answerer.certainty
        verdict, following = NO_GO if none else CHECK, None
        if not none and self._answerer.request.advise:
            following = self._following(row, self._hidden.get(row, "")) or _BY_ITS_MARK
        if self._mistaken(findings):
            following = self._question(row) or following
        if misfit is not None:
            findings.append(misfit.words)
            following = misfit.place, misfit.tool
        return self._told(row, verdict, findings, following, whole=True)

    def _question(self, row: int) -> tuple[str, str] | None:
        """The first place whose reading fits in another unit or order only, and its instrument."""
        begin = self._first[row]
        if begin == self._first[row + 1]:
            return None
        for number in np.flatnonzero(~self._found.plainly[begin]).tolist():
            place = self._found.places[number]
            return place, self._readings[place][row].instrument
        return None

    def _told(
        self,
        row: int,
        verdict: str,
        findings: Sequence[str],
        following: tuple[str, str] | None,
        *,
        whole: bool = False,
    ) -> tuple[Line, ...]:
        """The lines; where the answer is whole its shares are rounded before they are ranked."""
        begin, end = self._first[row], min(self._first[row + 1], self._first[row] + self._top)
        sizes, unlisted = self._family.sizes, self._unlisted[row]
        shares = self._probability[begin:end]
        if whole:
            unlisted, shares = round(unlisted, 6), [round(share, 6) for share in shares]
        ranked = [
            (sizes[self._size[number]].label, share, self._own[number])
            for number, share in zip(range(begin, end), shares, strict=True)
        ]
        place = sum(share >= unlisted for share in shares)
        own = NO_GO if unlisted < AGAINST else CHECK
        ranked.insert(place, (NO_LISTED_SIZE, unlisted, own))
        return answer_lines(
            ranked[: self._top],
            verdict=verdict,
            findings=findings,
            following="@".join(following) if following and self._answerer.request.advise else "",
        )

    @property
    def _top(self) -> int:
        return self._answerer.top

    def _following(self, row: int, hidden: str) -> tuple[str, str] | None:
        """Which place to read next, and with what."""
        begin, end = self._first[row], self._first[row + 1]
        sizes = self._found.candidates
        names, tops, shares = self._weigher.names, sizes.top[begin], sizes.share[begin]
        explained = {
            place: ((names[top], share),) if top >= 0 else ()
            for place, top, share in zip(
                self._found.places, tops.tolist(), shares.tolist(), strict=True
            )
        }
        candidates = tuple(
            Candidate(
                position=self._size[number],
                size=self._family.sizes[self._size[number]],
                probability=self._probability[number],
                clean=self._clean[number],
                explanations=explained if number == begin else {},
            )
            for number in range(begin, end)
        )
        given = {place: column[row] for place, column in self._readings.items()}
        found = Identification(candidates, self._unlisted[row], (), CHECK, (), hidden=hidden)
        asked = next_reading(self._family, found, given)
        return None if asked is None else (asked.reading, asked.instrument)

    def _settled(self, row: int, verdict: str, following: tuple[str, str] | None) -> bool:
        """As ``RowAnswerer`` asks: whether the seats leave verdict and next reading as they are."""
        if not self._is_seal:
            return not self._is_doubted(self._size[self._first[row]])
        if verdict == CHECK and following is None and self._answerer.request.advise:
            return False
        size = self._family.sizes[self._size[self._first[row]]]
        for place, dimension in SEATS:
            nominal = size.nominals[dimension]
            if place not in self._readings or nominal is None:
                continue
            reading = self._readings[place][row]
            if place == "pocket":
                check = self._answerer.seat(place, *nominal, reading)
                said, holds = check.verdict, check.holds_as_read
            else:
                limits = self._limits.get((place, nominal))
                if limits is None:
                    limits = self._limits[place, nominal] = limits_of_seat(place, *nominal)
                seat = judge_reading(measured=reading, limits=limits)
                said, holds = seat.verdict, not seat.outside_um
            if said == NO_GO or (verdict == GO and said != GO and not holds):
                return False
        return True

    def _whole(
        self,
        row: int,
        verdict: str,
        findings: Sequence[str],
        following: tuple[str, str] | None,
    ) -> tuple[Line, ...] | None:
        """The lines of a row whose seats or mistakes have a say, as its command answers it."""
        begin = self._first[row]
        size = self._family.sizes[self._size[begin]]
        leads = self._probability[begin] > self._unlisted[row]
        if following is None and verdict == CHECK:
            following = _BY_ITS_MARK
        if self._mistaken(findings):
            following = self._question(row) or following
        if not self._is_seal:
            if leads and self._is_doubted(self._size[begin]):
                return None
            return self._told(row, verdict, findings, following, whole=True)
        if "pocket" in self._readings:
            return None
        plainly = dict(zip(self._found.places, self._found.plainly[begin].tolist(), strict=True))
        checks = [
            self._answerer.seat(place, *nominal, self._readings[place][row])
            for place, dimension in SEATS
            if leads
            and plainly.get(place, False)
            and (nominal := size.nominals[dimension]) is not None
        ]
        reasons = []
        for check in checks:
            if check.verdict != GO and not check.holds_as_read:
                beside = CHECK
                if check.verdict == NO_GO and check.what != "counterface":
                    key = GOES_BY[check.what]
                    listed = {"candidates": self._as_answered(row, key)}
                    beside = beside_share(NO_GO, listed, key, certainty=self._answerer.certainty)
                verdict = worst(verdict, beside)
                reasons.append(check.reason)
        if verdict != GO and following is None:
            again = (c.what for c in checks if c.verdict != GO and c.read_again)
            following = next((SEAT_READINGS[what] for what in again), None)
        return self._told(row, verdict, [*findings, *reasons], following, whole=True)

    def _as_answered(self, row: int, key: str) -> list[dict[str, float]]:
        """The leading sizes with one dimension, as the answer about one part lists them."""
        begin, end = self._first[row], min(self._first[row + 1], self._first[row] + self._top)
        dimension = self._family.dimensions.index(key.removesuffix("_mm"))
        found = []
        for number in range(begin, end):
            nominal = self._family.sizes[self._size[number]].nominals[dimension]
            if nominal is not None and self._probability[number] >= LISTED:
                share = round(self._probability[number], 6)
                found.append({key: round(nominal[0], 4), "probability": share})
        return found

    def _is_doubted(self, size: int) -> bool:
        found = self._doubted.get(size)
        if found is None:
            known = self._family.sizes[size]
            found = self._doubted[size] = bool(tabled_doubts(known, self._family.sizes))
        return found

    def _hidden_sizes(self) -> dict[int, str]:
        """By row, the size that a ring left on the shaft would hide, where there is one."""
        sizes = self._found.candidates
        ring = self._weigher.number.get(TO_LOOK_FOR, len(self._weigher.names))
        leads = np.zeros(len(sizes.row), dtype=bool)
        leads[sizes.first[:-1][np.diff(sizes.first) > 0]] = True
        hides = (sizes.top == ring).any(axis=1) & (sizes.probability >= LOOK_SHARE) & ~leads
        found: dict[int, str] = {}
        for number in np.flatnonzero(hides).tolist():
            label = self._family.sizes[self._size[number]].label
            found.setdefault(int(sizes.row[number]), label)
        return found

    def _misread_sizes(self) -> Flags:
        """Whether a reading lies off a size where neither wear nor its instrument would put it."""
        sizes = self._found.candidates
        clean = self._weigher.number[CLEAN]
        misread = np.zeros(len(sizes.row), dtype=bool)
        for number, place in enumerate(self._found.places):
            if place == "pocket":
                continue
            x = np.array([reading.mean_mm for reading in self._readings[place]])[sizes.row]
            error = np.array([r.standard_error_mm for r in self._readings[place]])[sizes.row]
            off = np.full(len(x), np.inf)
            high = np.full(len(x), np.inf)
            by = np.full(len(x), -np.inf)
            for view in self._weigher.table(place).views:
                nominal = view.dimension.where[sizes.size]
                if not view.as_asked:
                    continue
                low_here, high_here = view.lowest[nominal], view.highest[nominal]
                by_here = np.maximum(low_here - x, x - high_here)
                off_here = np.maximum(by_here, 0.0)
                nearer = (nominal >= 0) & (off_here < off)
                off = np.where(nearer, off_here, off)
                high = np.where(nearer, high_here, high)
                by = np.where(nearer, by_here, by)
            wears = (x > high) == (place in self._family.wears_larger)
            far = by > np.maximum(SLACK_MM, 3.0 * error)
            misread |= (sizes.top[:, number] == clean) & far & ~wears
        return misread


def _findings(found: Posterior, weigher: Weigher) -> dict[int, tuple[str, ...]]:
    """By row, the explanations worth a line, the most probable first."""
    harmless = np.array([name in weigher.family.harmless for name in found.names])
    rows, numbers = np.nonzero((found.findings >= FINDING_FLOOR) & ~harmless)
    by_row: dict[int, list[tuple[float, str]]] = {}
    shares = found.findings[rows, numbers]
    for row, number, share in zip(rows.tolist(), numbers.tolist(), shares.tolist(), strict=True):
        by_row.setdefault(row, []).append((-round(share, 6), found.names[number]))
    return {row: tuple(name for _, name in sorted(some)) for row, some in by_row.items()}
