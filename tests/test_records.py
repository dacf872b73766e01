"""Records behave as those of the standard library, which stand beside them here."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from dataclasses import field

import pytest

from fitcheck import records


@records.dataclass(frozen=True, slots=True)
class Point:
    """A frozen record."""

    x: float
    y: float = 2.0
    tags: list[str] = field(default_factory=list)

    @property
    def total(self) -> float:
        """Both together."""
        return self.x + self.y


@records.dataclass(frozen=True, slots=True)
class Named(Point):
    """A record of a record."""

    name: str = ""
    note: str = field(default="", compare=False)


@records.dataclass(slots=True)
class Count:
    """A record that can change and checks what it is made of."""

    n: int = 0
    double: int = field(init=False)

    def __post_init__(self) -> None:
        """Refuse what is below zero."""
        if self.n < 0:
            raise ValueError("below zero")
        self.double = 2 * self.n


@records.dataclass(frozen=True, slots=True, eq=False)
class Single:
    """A record that is equal to itself alone."""

    n: int


@dataclasses.dataclass(frozen=True, slots=True)
class Standard:
    """What the standard decorator makes of Point."""

    x: float
    y: float = 2.0
    tags: list[str] = field(default_factory=list)


def test_it_is_made_by_place_and_by_name_with_its_defaults() -> None:
    assert (Point(1.0).total, Point(y=5.0, x=1.0).total) == (3.0, 6.0)
    first, second = Point(1.0), Point(1.0)
    assert first.tags == []
    assert first.tags is not second.tags
    assert dataclasses.astuple(Named(1.0, 3.0, ["a"], "b")) == (1.0, 3.0, ["a"], "b", "")


@pytest.mark.parametrize("given", [(), (1.0, 2.0, [], 4)], ids=["too few", "too many"])
def test_wrong_arguments_are_refused_as_by_the_standard_one(given: tuple[object, ...]) -> None:
    texts = []
    for kind in (Point, Standard):
        with pytest.raises(TypeError) as refused:
            kind(*given)  # type: ignore[arg-type]
        texts.append(str(refused.value).replace("Point", "Standard"))
    assert texts[0] == texts[1]


def test_frozen_fields_stay_and_others_change() -> None:
    point = Point(1.0)
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot assign to field 'x'"):
        point.x = 2.0  # type: ignore[misc]
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot delete field 'x'"):
        del point.x
    count = Count()
    count.n += 3
    assert (count.n, count.double, Count(3).double) == (3, 0, 6)
    assert count != Count(3)
    with pytest.raises(TypeError):
        hash(count)
    with pytest.raises(ValueError, match="below zero"):
        Count(-1)
    with pytest.raises(AttributeError):
        count.m = 1  # type: ignore[attr-defined]


def test_equality_and_hash() -> None:
    assert Point(1.0) == Point(1.0) != Point(2.0)
    assert Point(1.0) != Named(1.0)
    assert Point(1.0) != (1.0, 2.0, [])  # type: ignore[comparison-overlap]
    assert Named(1.0, note="one") == Named(1.0, note="other") != Named(1.0, name="n")
    assert Single(1) != Single(1)
    assert len({Single(1), Single(1)}) == 2
    plain = dataclasses.replace(Point(1.0), tags=())  # type: ignore[arg-type]
    assert hash(plain) == hash(dataclasses.replace(plain))


def test_the_standard_functions_know_it() -> None:
    point = Named(1.0, name="n")
    assert dataclasses.is_dataclass(point)
    assert [f.name for f in dataclasses.fields(point)] == ["x", "y", "tags", "name", "note"]
    assert dataclasses.replace(point, x=4.0) == Named(4.0, name="n")
    assert dataclasses.asdict(point) == {"x": 1.0, "y": 2.0, "tags": [], "name": "n", "note": ""}
    assert repr(Point(1.0)) == repr(Standard(1.0)).replace("Standard", "Point")
    match point:
        case Point(x, y):
            assert (x, y) == (1.0, 2.0)


def test_copies_and_pickles() -> None:
    point = Named(1.0, name="n")
    assert copy.copy(point) == copy.deepcopy(point) == pickle.loads(pickle.dumps(point)) == point
    assert pickle.loads(pickle.dumps(Count(4))) == Count(4)


def test_nothing_is_compiled_before_the_first_object() -> None:
    @records.dataclass(frozen=True, slots=True)
    class Fresh:
        """A record nobody has made yet."""

        n: int

    before = Fresh.__init__
    assert Fresh(1).n == 1
    assert Fresh.__init__ is not before


def test_records_have_slots() -> None:
    with pytest.raises(TypeError, match="a record has slots"):
        records.dataclass(slots=False)
