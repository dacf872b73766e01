"""Parts of described families in a text: O-RING 45x3, 6205 2RS, CIRCLIP 35 DIN 471.

A family is told by the words of its descriptor, or by a mark that only it has. The size is a
designation of the family, or its dimensions in the order the trade writes them. The part's name,
family and size together, stands where a bearing has its designation.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from functools import cache

from fitcheck.marks import compact
from fitcheck.parts.asked import options
from fitcheck.parts.family import Family, Size, view_bands
from fitcheck.parts.kind import Kind, detail_word, kind, kind_family, kind_names
from fitcheck.parts.rolling import bare_mark
from fitcheck.quantities import plain
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder
from fitcheck.units import MM_PER_INCH

# A written dimension is a listed one when it is this near: inches of three decimals [mm].
_SAME_MM = 0.02
# Sizes that are as near as the nearest, by what rounding leaves.
_AS_NEAR_MM = 0.002
_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
_SIZE = re.compile(rf"(?<![\w.,-])({_NUMBER}(?:\s?[X*]\s?{_NUMBER})*)(?:\s?(MM|IN|\"))?(?![\w.,])")
_TIMES = re.compile(r"\s?[X*]\s?")
# A mark that tells a family without a word: a standard's number, or letters only it has.
_MARKS = re.compile(
    r"(?<![A-Z0-9])(?:AS ?568[ -]?A?-?[0-9]{3}|DIN ?47[12]|(?:HK|BK|R?NA) ?[0-9]{4}"
    r"|N(?:U|J|UP)? ?[0-9]{3,4}|[0-9]{3,5}[ -]?(?:2RS[0-9HR]?|2Z|ZZ|DDU|LLU))(?![A-Z0-9])"
)

# Whose standard's number tells it.
_OF_STANDARD = "circlip"


@dataclass(frozen=True, slots=True)
class NamedPart:
    """A part of a family: its name, its family, and the listed size where it is one."""

    name: str
    family: str
    size: Size | None


def find_part(text: str) -> NamedPart | None:
    """The part of a described family that a text names, or None.

    Parameters
    ----------
    text : str
        The text, in capitals.

    Examples
    --------
    >>> [find_part(t).name for t in ("O-RING 45X3 NBR70", "BALL BEARING 6205 2RS C3")]
    ['O-ring 45 x 3', 'deep-groove ball bearing 6205']
    >>> find_part("CIRCLIP 35 DIN 471").name, find_part("HEX BOLT M10 X 30")
    ('retaining ring DIN 471 - 35 x 1.5', None)
    """
    shop = shop_folder()
    exact = _by_capitals(shop).get(text)
    if exact is not None:
        return exact
    word = _words(shop).search(text)
    if word is not None:
        name = _families(shop)[word[1]]
        rest = f"{text[: word.start()]} {text[word.end() :]}"
        return _named(name, rest, text)
    mark = _MARKS.search(text)
    if mark is None:
        return None
    for name in kind_names():
        size = _by_code(name, text)
        if size is not None:
            return NamedPart(part_name(name, size.label), name, size)
    return _named(_OF_STANDARD, text, text) if mark[0].startswith("DIN") else None


def has_mark(text: str) -> bool:
    """Whether a text holds a mark that tells a family without a word.

    Parameters
    ----------
    text : str
        The text, in capitals.
    """
    return _MARKS.search(text) is not None


def part_name(family: str, label: str) -> str:
    """The name of a part: what the family is called, and its size.

    >>> part_name("oring", "45 x 3")
    'O-ring 45 x 3'
    """
    return f"{kind(family).title} {label}"


def named_part(name: str) -> NamedPart | None:
    """The part that a name stands for; None where it is the name of no described family."""
    return _by_name(shop_folder()).get(name) or _unlisted(name)


@cache
def part_pieces(name: str) -> frozenset[str]:
    """What parts that take each other's place share: the name, and family and dimensions.

    Parameters
    ----------
    name : str
        The name of a part.
    """
    part = named_part(name)
    pieces = {compact(name)}
    if part is not None:
        pieces.add(f"{part.family}:{_dimensions_key(part)}")
    return frozenset(pieces)


def _dimensions_key(part: NamedPart) -> str:
    told = kind(part.family)
    if part.size is None:
        text = part.name.removeprefix(f"{told.title} ")
        return "x".join(f"{float(n):.1f}" for n in re.findall(r"[0-9]+(?:\.[0-9]+)?", text))
    values = [value for value in written_mm(told, part.size) if value is not None]
    return "x".join(f"{value:.1f}" for value in values)


def family_words() -> Iterable[str]:
    """Every word or phrase that tells a family, in capitals, with blanks for hyphens."""
    return tuple(word.replace("-", " ") for word in _families(shop_folder()))


@cache
def _families(_shop: str) -> dict[str, str]:
    """The family of each of its words, in capitals; what two families share tells neither."""
    found: dict[str, str] = {}
    for name in kind_names():
        for word in (*kind(name).words, kind(name).title):
            found.setdefault(word.upper(), name)
    return found


@cache
def _words(shop: str) -> re.Pattern[str]:
    # The longest first: NEEDLE BEARING before BEARING.
    words = sorted(_families(shop), key=len, reverse=True)
    return re.compile(r"(?<![\w-])(" + "|".join(map(re.escape, words)) + r")(?![\w-])")


def _named(name: str, rest: str, text: str) -> NamedPart | None:
    size = _by_code(name, rest)
    if size is not None:
        return NamedPart(part_name(name, size.label), name, size)
    for match in _SIZE.finditer(rest):
        numbers = [float(n.replace(",", ".")) for n in _TIMES.split(match[1])]
        inches = match[2] in ("IN", '"')
        found = _by_numbers(name, [n * MM_PER_INCH for n in numbers] if inches else numbers, text)
        if found is not None:
            return NamedPart(part_name(name, found.label), name, found)
        if len(numbers) >= min(2, len(kind(name).order)):
            label = " x ".join(plain(n) for n in numbers) + (" in" if inches else "")
            return NamedPart(part_name(name, label), name, None)
    return None


def _by_code(name: str, text: str) -> Size | None:
    """The size whose designation stands in a text, its suffixes left out."""
    codes = _codes(name, shop_folder())
    pieces = text.split()
    for index, piece in enumerate(pieces):
        # HK 2516 and NU 205 are written in two pieces, 6205 2RS with a suffix behind it.
        joined = piece + pieces[index + 1] if index + 1 < len(pieces) else ""
        for candidate in (joined, piece):
            if not any(c.isdigit() for c in candidate):
                continue
            # 60/22 is not 6022: the stroke counts first.
            size = codes.get(_bare(candidate)) or codes.get(compact(candidate))
            if size is not None:
                return size
    return None


def _bare(text: str) -> str:
    return bare_mark(text) if compact(text) else ""


@cache
def _codes(name: str, _shop: str) -> dict[str, Size]:
    """The sizes of a family by designation; what is nothing but dimensions is no designation."""
    found: dict[str, Size] = {}
    for size in kind_family(name).sizes:
        first = next(iter(kind(name).forms(size)))
        if size.details.get("designation") or any(c.isalpha() for c in first):
            found.setdefault(first, size)
    return found


def _by_numbers(name: str, numbers: list[float], rest: str) -> Size | None:
    """The one listed size of some dimensions; what else the text says chooses among several."""
    told, family = kind(name), kind_family(name)
    off = {size.label: _off_mm(told, size, numbers) for size in family.sizes}
    least = min(off.values(), default=_NOT)
    reach = min(_SAME_MM, least + _AS_NEAR_MM)
    near = [size for size in family.sizes if off[size.label] <= reach]
    if not near and len(numbers) == 1:
        near = [size for size in family.sizes if _reached(family, size, numbers[0])]
    said = [size for size in near if any(value.upper() in rest for value in _telling(size))]
    # A form that is said and that no size near has: it is no listed one.
    if not said and any(word.upper() in rest for word in _forms(name, shop_folder())):
        return None
    near = said or near
    return near[0] if len(near) == 1 or (near and _same(near)) else None


def _same(sizes: list[Size]) -> bool:
    return len({size.label for size in sizes}) == 1


def _off_mm(told: Kind, size: Size, numbers: list[float]) -> float:
    """How far the numbers are off a size's dimensions at most [mm]; infinite for no size."""
    written = written_mm(told, size)
    if not 0 < len(numbers) <= len(written):
        return _NOT
    # One number is a size only where the first dimension is all that is asked for.
    if len(numbers) < min(2, len(written)) and told.name not in _BY_ONE:
        return _NOT
    pairs = zip(numbers, written, strict=False)
    return max(_NOT if value is None else abs(number - value) for number, value in pairs)


_NOT = math.inf
_BY_ONE = frozenset({"circlip", "collar", "felt"})


def written_mm(told: Kind, size: Size) -> list[float | None]:
    """The dimensions of a size in the order the trade writes them [mm]."""
    found: list[float | None] = []
    for names in told.order:
        nominals = (size.nominals[told.dimensions.index(name)] for name in names.split("/"))
        found.append(next((nominal[0] for nominal in nominals if nominal is not None), None))
    return found


def _reached(family: Family, size: Size, number: float) -> bool:
    """Whether one number lies where the first place of a range of shafts reads."""
    view = next(iter(family.places.values())).views[0]
    nominal = size.nominals[view.dimension]
    if nominal is None or "@" not in nominal[1]:
        return False
    bands = view_bands(view, *nominal)
    return bands[0].low_mm < number <= bands[0].high_mm


@cache
def _forms(name: str, _shop: str) -> frozenset[str]:
    """The words of a family's forms that an option may choose."""
    details = [option.detail for option in options(name) if option.detail]
    words = {detail_word(size, d) for d in details for size in kind_family(name).sizes}
    # Letters alone stand in any text.
    return frozenset(word for word in words if len(word) > len("NUP"))


def _telling(size: Size) -> list[str]:
    """Words of a size that a text may hold: its standard, its form."""
    telling = [value for value in size.details.values() if value and not value[0].isdigit()]
    return [*telling, *(value.replace(" ", "") for value in telling), *size.series]


@cache
def _by_name(_shop: str) -> dict[str, NamedPart]:
    return {
        part_name(name, size.label): NamedPart(part_name(name, size.label), name, size)
        for name in kind_names()
        for size in kind_family(name).sizes
    }


@cache
def _by_capitals(shop: str) -> dict[str, NamedPart]:
    return {name.upper(): part for name, part in _by_name(shop).items()}


def _unlisted(name: str) -> NamedPart | None:
    for family in kind_names():
        if name.startswith(f"{kind(family).title} "):
            return NamedPart(name, family, None)
    return None
