"""The grades of crossing: how a list line stands to what is wanted, and why.

The grades are this program's own. In their order:

- ``same``: the same size, and all that decides a seal (lip, lubricant, direction) is known on
  both sides and equal; a bearing of the same designation.
- ``same-ask``: the same size and nothing known differs, but something is not said, or a text says
  more than was read of it (``also_said``): ask.
- ``other-execution``: the same size, made otherwise: lip, lubricant, material, spring, direction,
  a width inside its own tolerance, an inch size for its metric twin, another designation.
- ``condition``: fits here if the condition that is named holds: another case, another width, a
  diameter inside the limits of the seat.
- ``near-miss``: not a fit; which dimension is off, by how much, against which limit.
- ``nothing``: no line of the lists comes near.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from fitcheck.lists.compare import (
    ASK,
    CONDITION,
    DIFFERS,
    EQUAL,
    FAR,
    NEAR,
    SAME,
    Compared,
    bearing_dimension,
    plain_dimension,
    seal_diameter,
    seal_width,
    search_limit_um,
)
from fitcheck.lists.execution import contrast
from fitcheck.lists.items import (
    BEARING,
    METRIC,
    OTHER,
    SEAL,
    SLEEVE,
    Execution,
    SizeKey,
    dimension_system,
    size_text,
)
from fitcheck.lists.named_parts import named_part, part_pieces
from fitcheck.marks import compact
from fitcheck.parts.kind import kind as kind_of

GRADES = ("same", "same-ask", "other-execution", "condition", "near-miss", "nothing")
VERDICTS = ("go", "check", "check", "check", "no-go", "no-go")

# A cone/cup pair has a stroke between two numbers of at least this length; 320/28 is one number.
_PAIR_PIECE = 4


class Grading(NamedTuple):
    """A level (see ``GRADES``), what differs, what to ask, and how far off it is [um]."""

    level: int
    differs: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()
    off_um: int = 0

    @property
    def grade(self) -> str:
        """The grade's name."""
        return GRADES[self.level]

    @property
    def verdict(self) -> str:
        """go, check or no-go on this line alone."""
        return VERDICTS[self.level]


_FAR = Grading(FAR)


def size_grading(want: SizeKey, have: SizeKey, pocket_um: int | None = None) -> Grading:
    """How a size stands to the one wanted, whatever the execution.

    Parameters
    ----------
    want, have : SizeKey
        What is wanted and what a list has.
    pocket_um : int or None
        Depth of the pocket, where it is known [um].

    Returns
    -------
    Grading
        Of level ``FAR`` where the two have nothing to do with each other.

    Examples
    --------
    >>> want = SizeKey("seal", 35000, 52000, 7000, "metric")
    >>> size_grading(want, SizeKey("seal", 35000, 52000, 8000, "metric")).grade
    'condition'
    """
    questions: tuple[str, ...] = ()
    if want.kind != have.kind:
        if want.kind is not None and have.kind is not None:
            return _FAR
        said = have.kind or want.kind
        who = "the list says" if have.kind else "wanted is"
        questions = (f"kind: {who} {said}, the other side does not say",)
    kind = shared_kind(want, have)
    if kind == OTHER:
        found = _other_part(want.designation, have.designation)
    elif kind == BEARING:
        found = _bearing(want, have)
    else:
        found = _dimensions(kind, want, have, pocket_um)
    if questions and found.level < FAR:
        found = found._replace(
            level=max(found.level, ASK), questions=(*questions, *found.questions)
        )
    return found


@lru_cache(maxsize=65536)
def _other_part(want: str | None, have: str | None) -> Grading:
    """How two parts of described families stand to each other, by their names."""
    if not want or not have or part_pieces(want).isdisjoint(part_pieces(have)):
        return _FAR
    part = named_part(want)
    ask = kind_of(part.family).ask if part else ""
    questions = (f"{ask}: ask",) if ask else ()
    if compact(want) == compact(have):
        return Grading(ASK if ask else EQUAL, (), questions)
    return Grading(
        DIFFERS, (f"{have} for {want}: the same dimensions, look at the rest",), questions
    )


def grading(
    want: SizeKey,
    want_execution: Execution,
    have: SizeKey,
    have_execution: Execution,
    pocket_um: int | None = None,
) -> Grading:
    """How a list line stands to what is wanted: size and execution together.

    Parameters
    ----------
    want, have : SizeKey
        The sizes.
    want_execution, have_execution : Execution
        How they are made.
    pocket_um : int or None
        Depth of the pocket, where it is known [um].
    """
    by_size = size_grading(want, have, pocket_um)
    return with_execution(by_size, want, want_execution, have, have_execution)


def with_execution(
    by_size: Grading,
    want: SizeKey,
    want_execution: Execution,
    have: SizeKey,
    have_execution: Execution,
) -> Grading:
    """Add what the executions say to a size's grading; only seals have executions."""
    if by_size.level >= FAR or shared_kind(want, have) != SEAL:
        return by_size
    made = contrast(want_execution, have_execution)
    level = max(by_size.level, made.level)
    # Of a near miss only what rules it out is said: a condition or a question beside it would
    # read as an offer.
    if level == NEAR:
        differs = by_size.differs if by_size.level == NEAR else ()
        differs += made.differs if made.level == NEAR else ()
        return Grading(NEAR, differs, (), by_size.off_um)
    return Grading(
        level,
        by_size.differs + made.differs,
        by_size.questions + made.questions,
        by_size.off_um,
    )


def shared_kind(want: SizeKey, have: SizeKey) -> str:
    """The kind the two share; a size alone is taken for a seal's, two numbers for bearings'."""
    both = want.designation and have.designation
    return want.kind or have.kind or (BEARING if both else SEAL)


def _gathered(parts: list[Compared], questions: tuple[str, ...] = ()) -> Grading:
    level = max(part.level for part in parts)
    if level >= FAR:
        return _FAR
    least = NEAR if level == NEAR else EQUAL
    words = tuple(part.words for part in parts if part.words and part.level >= least)
    return Grading(level, words, questions, sum(part.off_um for part in parts))


def _dimensions(kind: str, want: SizeKey, have: SizeKey, pocket_um: int | None) -> Grading:
    if want.shaft_um is None or have.shaft_um is None:
        return _FAR
    if kind == SLEEVE:
        return _sleeve(want, have)
    if want.bore_um is None or have.bore_um is None:
        return _FAR
    parts = [
        seal_diameter(
            seat,
            wanted,
            dimension_system(wanted, want.system),
            found,
            dimension_system(found, have.system),
        )
        for seat, wanted, found in (
            ("shaft", want.shaft_um, have.shaft_um),
            ("bore", want.bore_um, have.bore_um),
        )
    ]
    if max(part.level for part in parts) < FAR:
        parts.append(
            seal_width(
                want.width_um,
                _system(want.width_um, want.system),
                have.width_um,
                _system(have.width_um, have.system),
                pocket_um,
            )
        )
    return _gathered(parts)


def _system(value_um: int | None, system: str | None) -> str:
    return METRIC if value_um is None else dimension_system(value_um, system)


def _sleeve(want: SizeKey, have: SizeKey) -> Grading:
    reach = search_limit_um("diameter_near")
    parts = []
    questions: tuple[str, ...] = ()
    for name, wanted, found in (
        ("shaft", want.shaft_um, have.shaft_um),
        ("bore", want.bore_um, have.bore_um),
        ("width", want.width_um, have.width_um),
    ):
        if wanted is not None and found is not None:
            parts.append(plain_dimension(name, wanted, found, reach))
        elif name == "bore":
            parts.append(Compared(ASK))
            given = have.bore_um if want.bore_um is None else want.bore_um
            sides = "neither side says" if given is None else "one side does not say"
            questions += (f"wall, and the shafts it grips: {sides}",)
        elif wanted != found:
            parts.append(Compared(ASK))
            questions += (f"{name}: one side does not say",)
    return _gathered(parts, questions)


def _bearing(want: SizeKey, have: SizeKey) -> Grading:
    by_name = _designations(want.designation, have.designation)
    by_size = _bearing_size(want, have)
    if by_size is None:
        # Without dimensions on both sides only the designation can speak.
        return by_name if by_name is not None and by_name.level != DIFFERS else _FAR
    if by_size.level >= NEAR:
        if by_name is not None and by_name.level == EQUAL:
            asked = f"the list gives {size_text(have)} for it: ask which is right"
            return Grading(CONDITION, (), (asked,), by_size.off_um)
        if by_name is not None and by_name.level == CONDITION:
            return by_name
        return by_size
    if by_name is None:
        question = "designation: not said on both sides; cup width and angle go by it"
        return by_size._replace(
            level=max(by_size.level, ASK), questions=(*by_size.questions, question)
        )
    # Another pair of the same dimensions takes its place as any other designation does.
    level = DIFFERS if by_name.level == NEAR else by_name.level
    return Grading(
        max(by_size.level, level),
        by_size.differs + by_name.differs,
        by_size.questions + by_name.questions,
        by_size.off_um,
    )


def _bearing_size(want: SizeKey, have: SizeKey) -> Grading | None:
    if None in (want.shaft_um, want.bore_um, have.shaft_um, have.bore_um):
        return None
    parts = []
    questions: tuple[str, ...] = ()
    for name, wanted, found in (
        ("bore", want.shaft_um, have.shaft_um),
        ("od", want.bore_um, have.bore_um),
        ("width", want.width_um, have.width_um),
    ):
        if wanted is None or found is None:
            parts.append(Compared(ASK))
            questions += ("assembled width: one side does not say; it tells bearings apart",)
            continue
        assert want.shaft_um is not None
        by = dimension_system(want.shaft_um, want.system) if name == "width" else None
        parts.append(
            bearing_dimension(
                name,
                (wanted, by or dimension_system(wanted, want.system)),
                (found, by or dimension_system(found, have.system)),
                want.shaft_um,
            )
            if wanted != found
            else SAME
        )
    return _gathered(parts, questions)


@lru_cache(maxsize=65536)
def _designations(want: str | None, have: str | None) -> Grading | None:
    """How two designations stand to each other; None where one is not said."""
    if not want or not have:
        return None
    if compact(want) == compact(have):
        return Grading(EQUAL)
    wanted, found = designation_pieces(want), designation_pieces(have)
    shared = ", ".join(sorted(wanted & found))
    if not shared:
        words = f"designation {have} for {want}: read the number, angles can differ"
        return Grading(DIFFERS, (words,))
    if len(found) == len(wanted):
        return Grading(NEAR, (f"{have} for {want}: only {shared} is the same",))
    if len(found) < len(wanted):
        return Grading(CONDITION, (f"{have} is one half of {want}",))
    return Grading(CONDITION, (f"{have} is a pair with {want}",))


def designation_pieces(designation: str) -> frozenset[str]:
    """The numbers of a cone/cup designation, as compared; a single number stands alone.

    >>> sorted(designation_pieces("LM11949/LM11910")), sorted(designation_pieces("320/28"))
    (['LM11910', 'LM11949'], ['32028'])
    """
    pieces = [compact(piece) for piece in designation.split("/")]
    if len(pieces) == 2 and all(len(piece) >= _PAIR_PIECE for piece in pieces):
        return frozenset(pieces)
    return frozenset({compact(designation)})
