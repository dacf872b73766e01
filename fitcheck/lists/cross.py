"""Crossing: wanted lines against the lines of one list or of all.

Wanted lines that ask for the same are answered once, distinct sizes meet distinct sizes, and list
lines are looked at last, and only those of sizes that were met.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from heapq import merge
from itertools import repeat
from typing import Any, NamedTuple

from fitcheck.lists.also_said import also_said
from fitcheck.lists.compare import ASK, EQUAL, FAR, NEAR
from fitcheck.lists.designations import mixed_pair
from fitcheck.lists.execution import contrast
from fitcheck.lists.grades import GRADES, VERDICTS, shared_kind, with_execution
from fitcheck.lists.items import SEAL, Execution, SizeKey, size_text
from fitcheck.lists.join import Match, SizeIndex
from fitcheck.lists.left_open import two_ways
from fitcheck.lists.marked import Marks
from fitcheck.lists.pool import Fields, Kept, Line, check_order, joined_classes
from fitcheck.lists.resolve import Asked, Numbers, asked, listed_without_size
from fitcheck.lists.scan import plain_text
from fitcheck.lists.source import LineSource
from fitcheck.lists.wanted import Want
from fitcheck.records import dataclass
from fitcheck.verdicts import CHECK, NO_GO

DEFAULT_TOP = 5
NOTHING = GRADES[FAR]
REFUSED = "refused"


class Alternative(NamedTuple):
    """A list line that was found: its grade, what differs and what to ask.

    ``unread`` are words of it that nobody has read.
    """

    grade: str
    verdict: str
    size: SizeKey
    execution: Execution
    line: Line
    differs: tuple[str, ...]
    questions: tuple[str, ...]
    unread: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Crossed:
    """The answer to one wanted line.

    ``read_as`` are the sizes it was taken for; ``reasons`` say why the verdict is what it is.
    """

    want: Want
    verdict: str
    grade: str
    read_as: tuple[str, ...]
    reasons: tuple[str, ...]
    alternatives: tuple[Alternative, ...]


# Lines of one size with their executions, in order.
_Run = list[tuple[Kept, Execution]]
# So many sizes keep their lines by grade for wanted lines of other sizes nearby.
_KEPT_RUNS = 50_000
# So many more lines of a class are looked at where the first ones say more than was read.
_SPARE = 15

# What wanted lines that ask for the same share: all of ``Crossed`` but the wanted line.
_Answer = tuple[str, str, tuple[str, ...], tuple[str, ...], tuple[Alternative, ...]]


class Crossing:
    """Wanted lines and lists, brought together.

    Parameters
    ----------
    wants : iterable of Want
        The wanted lines.
    source : LineSource
        The lists.
    sort : str
        Order inside a grade: ``price``, ``lead`` or ``stock``.
    top : int
        Alternatives to give at most for each wanted line.

    Raises
    ------
    InputError
        The order is unknown, or nothing is to be shown.

    Notes
    -----
    Alternatives are ordered by grade, near misses by how far off they are, then those that say
    something nobody has read behind the others, then as ``sort`` says, then by the name of the
    list and the line's number.
    """

    def __init__(
        self,
        wants: Iterable[Want],
        source: LineSource,
        *,
        sort: str = "price",
        top: int = DEFAULT_TOP,
    ) -> None:
        self.wants = tuple(wants)
        # A mistake in the options is told before the lists are gone through.
        check_order(sort, top)
        index = SizeIndex(source.sizes())
        numbers = Numbers(self.wants)
        numbers.search(source)
        marks = Marks(index.sizes)
        self._top, self._most = top, top + _SPARE
        self._distinct: list[tuple[Asked, ...]] = []
        self._asked: list[int] = []
        self._matches: dict[tuple[SizeKey, int | None], tuple[Match, ...]] = {}
        self._numbers = numbers
        self._sort_out(numbers, marks)
        for readings in self._distinct:
            for one in readings:
                key = (one.size, one.pocket_um)
                if key not in self._matches:
                    self._matches[key] = index.matches(one.size, pocket_um=one.pocket_um, near=top)
        met = {size for matches in self._matches.values() for size, _ in matches}
        self._classes = joined_classes(source.best(met, sort=sort, top=self._most), self._most)
        self._uses = Counter(self._asked)
        self._known_runs: dict[tuple[SizeKey, Execution | None], list[tuple[int, _Run]]] = {}
        self._shown: dict[str, dict[int, Fields]] = {}
        for more in (False, True):
            for name, places in self._places(more=more).items():
                self._shown.setdefault(name, {}).update(source.shown(name, places))

    def _sort_out(self, numbers: Numbers, marks: Marks) -> None:
        """Which wanted lines ask for the same; they share one entry."""
        entries: dict[tuple[Asked, ...], int] = {}
        # What a line asks for is worked out once for all that say the same.
        known: dict[tuple[Any, ...], int] = {}
        for want in self.wants:
            said = (
                want.readings,
                want.pocket_um,
                want.part_number,
                want.mark,
                want.questions,
                want.made,
                want.refused is None,
            )
            entry = known.get(said)
            if entry is None:
                readings = asked(want, numbers=numbers, marks=marks)
                entry = known[said] = entries.setdefault(readings, len(entries))
            self._asked.append(entry)
        self._distinct = list(entries)

    def _places(self, *, more: bool) -> dict[str, dict[SizeKey, set[int]]]:
        """The lines that may be shown and are known by their places yet, by list and size.

        First those that stand first, then more where one of those says what nobody has read.
        """
        found: dict[str, dict[SizeKey, set[int]]] = {}
        gone_through: set[tuple[SizeKey, Execution]] = set()
        for one in dict.fromkeys(one for readings in self._distinct for one in readings):
            for size, _ in self._matches[one.size, one.pocket_um]:
                if (size, one.execution) in gone_through:
                    continue
                gone_through.add((size, one.execution))
                for _, run in self._runs(one, size):
                    if more and not (
                        any(isinstance(kept[3], int) for kept, _ in run[self._top :])
                        and self._says_more(run, size)
                    ):
                        continue
                    for kept, _ in run[self._top :] if more else run[: self._top]:
                        if isinstance(kept[3], int):
                            of_list = found.setdefault(kept[1], {})
                            of_list.setdefault(size, set()).add(kept[3])
        return found

    def __iter__(self) -> Iterator[Crossed]:
        """The answers, in the order of the wanted lines."""
        # An answer is kept for as long as a line further down asks for the same.
        known: dict[int, _Answer] = {}
        left = self._uses.copy()
        for want, place in zip(self.wants, self._asked, strict=True):
            left[place] -= 1
            if want.refused is not None:
                yield Crossed(want, REFUSED, NOTHING, (), (str(want.refused),), ())
            elif not self._distinct[place]:
                yield _not_found(want, self._numbers)
            else:
                found = known.pop(place, None) or self._answer(self._distinct[place])
                if left[place]:
                    known[place] = found
                yield Crossed(want, *found)

    def _answer(self, readings: tuple[Asked, ...]) -> _Answer:
        found = tuple(self._ranked(readings))
        read_as = tuple(dict.fromkeys(size_text(one.size) for one in readings))
        grade = found[0].grade if found else NOTHING
        unsure = any(one.doubts for one in readings)
        verdict = found[0].verdict if found else NO_GO
        reasons: tuple[str, ...]
        if not found:
            reasons = ("no line of the lists comes near it",)
        elif found[0].verdict == NO_GO:
            reasons = ("nothing fits; the nearest are shown", *found[0].differs)
        else:
            reasons = (*found[0].differs, *found[0].questions)
        if unsure:
            # Which size is meant is open, and that outweighs how well any one of them is answered.
            verdict = CHECK
            doubts = (doubt for one in readings for doubt in one.doubts)
            reasons = tuple(dict.fromkeys((*doubts, *reasons)))
        return verdict, grade, read_as, reasons, found

    def _ranked(self, readings: tuple[Asked, ...]) -> list[Alternative]:
        # For each grade, the runs of lines that have it: which reading, which size, in order.
        by_grade: dict[tuple[int, int], list[tuple[_Run, Asked, Match]]] = {}
        for one in readings:
            for match in self._matches[one.size, one.pocket_um]:
                size, by_size = match
                least = max(by_size.level, ASK) if one.doubts else by_size.level
                for made, run in self._runs(one, size):
                    level = max(least, made)
                    off = by_size.off_um if level == NEAR else 0
                    by_grade.setdefault((level, off), []).append((run, one, match))
        # A near miss is shown only where nothing fits.
        best = min(by_grade, default=(FAR, 0))[0]
        seen: set[tuple[Any, ...]] = set()
        found: list[Alternative] = []
        clean = 0
        for rank in sorted(by_grade):
            # What says more is asked for, so what has to be asked for anyway stands beside it.
            enough = clean if rank[0] <= ASK else len(found)
            if enough >= self._top or (rank[0] == NEAR and best < NEAR):
                break
            group = by_grade[rank]
            numbered = [zip(run, repeat(number)) for number, (run, *_) in enumerate(group)]
            last = len(found) + self._most
            # A line met by two readings of one wanted line stands once, under the better grade.
            for (kept, execution), number in merge(*numbered):
                if kept[1:3] in seen or not self._is_known(kept):
                    continue
                if clean >= self._top or len(found) >= last:
                    break
                seen.add(kept[1:3])
                found.append(self._alternative(kept, execution, *group[number][1:]))
                clean += not found[-1].unread
        return sorted(found, key=_grade_place)[: self._top]

    def _alternative(self, kept: Kept, made: Execution, one: Asked, match: Match) -> Alternative:
        size, by_size = match
        found = with_execution(by_size, one.size, one.execution, size, made)
        level = max(found.level, ASK) if one.doubts else found.level
        name, shown = kept[1], kept[3]
        fields: Fields = self._shown[name][shown] if isinstance(shown, int) else shown
        line = Line(name, *fields)
        questions = (*one.doubts, *found.questions)
        # Of a near miss only what rules it out is said.
        more = _unread(line, size) if level < NEAR else ()
        if more:
            # Split, used, with a flange: nothing is the same while words of it are not read.
            level = max(level, ASK)
            questions += (f"the list also says {', '.join(more)}: look what it is",)
        return Alternative(
            GRADES[level], VERDICTS[level], size, made, line, found.differs, questions, more
        )

    def _is_known(self, kept: Kept) -> bool:
        """Whether a line carries its fields, or they were asked for."""
        return not isinstance(kept[3], int) or kept[3] in self._shown.get(kept[1], ())

    def _says_more(self, run: _Run, size: SizeKey) -> bool:
        """Whether one of the first lines of a run says what nobody has read."""
        for kept, _ in run[: self._top]:
            shown = kept[3]
            fields = self._shown[kept[1]][shown] if isinstance(shown, int) else shown
            if _unread(Line(kept[1], *fields), size):
                return True
        return False

    def _runs(self, one: Asked, size: SizeKey) -> list[tuple[int, _Run]]:
        """The lines of a size by how their execution stands to the one wanted, each in order."""
        is_seal = shared_kind(one.size, size) == SEAL
        key = (size, one.execution if is_seal else None)
        found = self._known_runs.get(key)
        if found is None:
            by_level: dict[int, _Run] = {}
            for made, lines in self._classes.get(size, {}).items():
                level = contrast(one.execution, made).level if is_seal else EQUAL
                by_level.setdefault(level, []).extend((kept, made) for kept in lines)
            for run in by_level.values():
                run.sort(key=_first)
                del run[self._most :]
            if len(self._known_runs) >= _KEPT_RUNS:
                self._known_runs.clear()
            found = self._known_runs[key] = list(by_level.items())
        return found


def _grade_place(found: Alternative) -> tuple[int, bool]:
    return GRADES.index(found.grade), bool(found.unread)


def _unread(line: Line, size: SizeKey) -> tuple[str, ...]:
    return also_said(line.description, size.designation, line.part_number)


def _not_found(want: Want, numbers: Numbers) -> Crossed:
    """The answer where nothing is known to look for: why, as far as the text tells."""
    what = want.mark or want.part_number or want.text
    mixed = mixed_pair(plain_text(want.text))
    if mixed:
        return Crossed(want, NO_GO, NOTHING, (), (mixed,), ())
    reason = f"{what}: no size can be read from it, and no list has such a number"
    if listed := listed_without_size(want, numbers):
        reason = f"{what}: no size can be read from it, and {listed}"
    if ways := two_ways(want.text):
        reason = f"{what}: {ways}. Write the size whole, such as 35 x 52 x 7, or the part number"
        return Crossed(want, REFUSED, NOTHING, (), (reason,), ())
    return Crossed(want, CHECK, NOTHING, (), (*want.questions, reason), ())


def _first(entry: tuple[Kept, Execution]) -> tuple[Any, ...]:
    return entry[0][:3]


def cross(
    wants: Iterable[Want], source: LineSource, *, sort: str = "price", top: int = DEFAULT_TOP
) -> Iterator[Crossed]:
    """Cross wanted lines with the lines of lists.

    Parameters
    ----------
    wants : iterable of Want
        The wanted lines.
    source : LineSource
        The lists.
    sort : str
        Order inside a grade: ``price``, ``lead`` or ``stock``.
    top : int
        Alternatives to give at most for each wanted line.

    Returns
    -------
    iterator of Crossed
        In the order of the wanted lines.
    """
    return iter(Crossing(wants, source, sort=sort, top=top))
