"""What is written for `fitcheck shim`: targets, packs of shims and readings, from text."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.errors import AmbiguousError, InputError
from fitcheck.job.bare_units import INCH_UNITS, bare_ways, refuse_bare
from fitcheck.job.lengths import Texts
from fitcheck.quantities import Quantity, length, parse, plain
from fitcheck.readings import Reading, instrument, read, split_instrument
from fitcheck.records import dataclass
from fitcheck.setup.packs import Shim
from fitcheck.setup.settings import Method, Setting, range_text, setting_limit
from fitcheck.units import LENGTH, TORQUE, UNITS

# What a torque may be of: its rise over the base drag, or all of it.
TARGET_OF = ("rise", "total")
_TIMES = "xX×*"
_THOUSANDTH = 0.001 + 1e-9
_MOST_SHIMS = 1_000_000


def an(word: str) -> str:
    """A word with its article.

    >>> an("indicator"), an("tape")
    ('an indicator', 'a tape')
    """
    return f"{'an' if word[:1] in 'aeiou' else 'a'} {word}"


@dataclass(frozen=True, slots=True)
class ShimRequest:
    """What was asked about one pack of shims: the options of the command, as text.

    What is measured may be given as several readings.
    """

    method: str = ""
    measured: Sequence[str] = ()
    fitted: str = ""
    pack_measured: Texts = ""
    target: str = ""
    use: str = ""
    condition: str = ""
    position: str = ""
    have: Sequence[str] = ()
    tolerance: str = ""
    pull: Sequence[str] = ()
    radius: Texts = ""
    diameter: Texts = ""
    base_drag: Texts = ""
    span: Texts = ""
    housing: str = ""
    shaft_material: str = "steel"
    service_temp: str = ""
    room_temp: str = ""
    mounting: str = ""
    unit: str = "mm"
    instrument: str = ""


@dataclass(frozen=True, slots=True)
class Target:
    """A range as written, in mm or N.m; ``ends`` are the quantities that had to find a unit.

    ``of`` is ``rise`` or ``total`` where a torque says what it is of.
    """

    low: float
    high: float
    dimension: str
    text: str
    ends: tuple[Quantity, ...]
    of: str = ""


@dataclass(frozen=True, slots=True)
class Written:
    """Shims as written: what they are, the quantities they were read from, and remarks.

    ``counted`` is false for a lone thickness, which may be a whole pack of unknown shims.
    """

    shims: tuple[Shim, ...]
    quantities: tuple[Quantity, ...]
    counted: bool
    notes: tuple[str, ...]

    @property
    def total_mm(self) -> float:
        """The sum of all thicknesses."""
        return sum(shim.thickness_mm * shim.count for shim in self.shims)

    @property
    def count(self) -> int:
        """How many shims there are."""
        return sum(shim.count for shim in self.shims)


def setting_text(setting: Setting) -> str:
    """The range of a use as its manual prints it, and in mm or N.m where that is another unit.

    Parameters
    ----------
    setting : Setting
        The use's range.

    Examples
    --------
    >>> from fitcheck.setup.settings import use_settings
    >>> [setting_text(setting) for setting in use_settings("loader-hub")]
    ['15 to 20 lbf.ft (20.34 to 27.12 N.m)', '6 to 12 lbf.ft (8.13 to 16.27 N.m)']
    """
    unit, digits = ("mm", 3) if setting.method == "end-play" else ("N.m", 2)
    if setting.as_written.endswith(f" {unit}"):
        return setting.as_written
    low, high = round(setting.low, digits), round(setting.high, digits)
    return f"{setting.as_written} ({range_text(low, high, unit)})"


def read_target(
    text: str, *, unit: str, dimension: str, place: str = "--target", pounds: bool = False
) -> Target:
    """A range LOW..HIGH.

    Parameters
    ----------
    text : str
        Such as ``0.025..0.127mm`` or ``3..5lbf.ft``; a unit at the end is that of both. A torque
        may say what it is of, ``3..5lbf.ft rise`` or ``15..20lbf.ft total``.
    unit : str
        The unit of bare lengths.
    dimension : str
        What a range without a unit is taken for, ``length`` or ``torque``.
    place : str
        The option, for messages.
    pounds : bool
        Whether torques or forces beside it are in pounds.

    Raises
    ------
    AmbiguousError
        Only the low end has a unit, or neither has and a torque may be in either.
    InputError
        This is no range, it is upside down, or its ends are in two units.
    """
    of = next((of for of in TARGET_OF if text.lower().rstrip().endswith(f" {of}")), "")
    written = text.rstrip()
    low_text, dots, high_text = written[: len(written) - len(of)].partition("..")
    if not (dots and low_text.strip() and high_text.strip()):
        raise InputError(
            value=f"{place} {text}",
            rule="a target is a range from low to high",
            todo="Write it like 0.025..0.127mm or 3..5lbf.ft",
        )
    default = unit if dimension == LENGTH else "N.m"
    try:
        high = parse(high_text, LENGTH, TORQUE, unit=default)
        low = parse(low_text, LENGTH, TORQUE, unit=high.unit)
    except InputError as error:
        raise error.at(place) from None
    if low.stated and not high.stated and low.unit != default:
        raise AmbiguousError(
            value=f"{place} {text}",
            readings=(
                f"{plain(low.amount)}..{plain(high.amount)}{low.unit}",
                f"{low.text()}..{plain(high.amount)}{default}",
            ),
        )
    if dimension == TORQUE and not (low.stated or high.stated):
        ways = bare_ways(TORQUE, inches=pounds or unit in INCH_UNITS)
        refuse_bare(low.amount, high.amount, place=place, text=text, ways=ways)
    if low.unit != high.unit:
        raise InputError(
            value=f"{place} {text}",
            rule=f"the two ends are in different units, {low.unit} and {high.unit}",
            todo="Write both in one unit, as LOW..HIGH with the unit at the end",
        )
    if of and high.dimension == LENGTH:
        raise InputError(
            value=f"{place} {text}",
            rule=f"{of} tells what a running torque is of, and this is a length",
            todo=f"Leave the word {of} out",
        )
    if low.value >= high.value:
        raise InputError(
            value=f"{place} {text}",
            rule="the range is upside down or has no width: the low end stands first",
            todo=f"Did you mean {plain(high.amount)}..{plain(low.amount)}{low.unit}?"
            if low.value > high.value
            else "Give the range the manual allows",
        )
    return Target(
        low=low.value,
        high=high.value,
        dimension=high.dimension,
        text=f"{plain(low.amount)} to {plain(high.amount)} {high.unit}",
        ends=(high,) if high.stated else (low, high),
        of=of,
    )


def read_shims(texts: Sequence[str], *, unit: str, place: str) -> Written:
    """Shims written like ``0.10x4,0.20=0.198x2``: label, thickness measured, how many.

    Parameters
    ----------
    texts : sequence of str
        One or more lists. Shims are parted by commas, or by semicolons where the decimals have
        commas.
    unit : str
        The unit of bare thicknesses.
    place : str
        The option, for messages.

    Raises
    ------
    InputError
        A shim has no thickness or too much, or a count is no whole number.
    """
    items = [
        item.strip()
        for text in texts
        for item in text.split(";" if ";" in text else ",")
        if item.strip()
    ]
    read_items = [_read_shim(item, unit=unit, place=place) for item in items]
    return Written(
        shims=tuple(shim for shim, _, _ in read_items),
        quantities=tuple(q for _, quantities, _ in read_items for q in quantities),
        counted=len(items) != 1 or _split_count(items[0])[1] != "",
        notes=tuple(note for _, _, note in read_items if note),
    )


def _split_count(item: str) -> tuple[str, str]:
    at = max(item.rfind(character) for character in _TIMES)
    return (item[:at].strip(), item[at + 1 :].strip() or "?") if at >= 0 else (item, "")


def _read_shim(item: str, *, unit: str, place: str) -> tuple[Shim, list[Quantity], str]:
    thickness_text, count_text = _split_count(item)
    if count_text and not (count_text.isascii() and count_text.isdigit()):
        raise InputError(
            value=f"{place} {item}",
            rule="after the x stands how many there are, a whole number",
            todo="Write the thickness first, then the count: 0.10x4",
        )
    count = int(count_text) if count_text else 1
    if not 0 < count <= _MOST_SHIMS:
        raise InputError(
            value=f"{place} {item}",
            rule=f"a shim is there from 1 to {_MOST_SHIMS} times",
            todo="Leave out what there is none of",
        )
    label_text, equals, measured_text = thickness_text.partition("=")
    quantities = [_thickness(label_text, item, unit=unit, place=place)]
    if not equals:
        return Shim(thickness_mm=quantities[0].value, count=count), quantities, ""
    quantities.append(_thickness(measured_text, item, unit=unit, place=place))
    label, measured = (q.value for q in quantities)
    note = ""
    if abs(measured - label) > setting_limit("label_off_mm").value + 1e-9:
        note = (
            f"a shim labelled {plain(round(label, 4))} mm measures {plain(round(measured, 4))} mm: "
            "check the label and the reading; the measured thickness is used"
        )
    shim = Shim(thickness_mm=measured, count=count, measured=True, label_mm=label)
    return shim, quantities, note


def _thickness(text: str, item: str, *, unit: str, place: str) -> Quantity:
    body, tool = split_instrument(text)
    try:
        found = length(body, unit=unit)
        # A thickness counts as read; its instrument only has to be one.
        if "@" in text:
            instrument(tool)
    except InputError as error:
        raise error.at(f"{place} {item}:") from None
    most = setting_limit("shim_most_mm").value
    if not 0 < found.value <= most:
        raise InputError(
            value=f"{place} {item}",
            rule=f"a shim is over 0 and up to {most:g} mm thick",
            todo="Check the unit; where decimals have commas, part the shims with semicolons",
        )
    return found


def read_measured(
    texts: Sequence[str], *, method: Method, unit: str, tool: str = ""
) -> tuple[Reading, tuple[Quantity, ...]]:
    """The measured length of a method as one reading, and the quantities it was read from.

    Parameters
    ----------
    texts : sequence of str
        What was written, one or several.
    method : Method
        The method it was measured for.
    unit : str
        The unit of bare numbers.
    tool : str
        The instrument of texts that name none; that of the method when empty.

    Raises
    ------
    AmbiguousError
        A bare number is too large in the default unit and fits in another.
    InputError
        Nothing was measured, or the value is zero, negative or too large.
    """
    what = {"end-play": "end play", "free-gap": "gap"}.get(method.name, "crushed piece")
    if not texts:
        raise InputError(
            value="--measured (not given)",
            rule=f"{method.name} needs the {method.measured}",
            todo=f"Measure it with {an(method.instrument)} and give it with --measured",
        )
    quantities = []
    for text in texts:
        try:
            quantity = length(split_instrument(text)[0], unit=unit, signed=True)
        except InputError as error:
            raise error.at("--measured") from None
        _check_measured(quantity, text, what=what, unit=unit)
        _ask_unit(quantity, text, method=method)
        quantities.append(quantity)
    reading = read(place=what, texts=tuple(texts), unit=unit, tool=tool or method.bare_tool)
    return reading, tuple(quantities)


def _ask_unit(quantity: Quantity, text: str, *, method: Method) -> None:
    """Ask which unit a bare gap has that leaves no pack in mm and one in inches."""
    # Nobody writes thousandths of a millimetre of a gap.
    thousandths = quantity.step <= _THOUSANDTH
    if quantity.stated or quantity.value > method.subtract_mm or not thousandths:
        return
    meant_mm = UNITS["in"].to_base(quantity.amount)
    if method.subtract_mm < meant_mm <= setting_limit("gap_most_mm").value:
        number = plain(quantity.amount)
        raise AmbiguousError(value=f"--measured {text}", readings=(f"{number}mm", f"{number}in"))


def _check_measured(quantity: Quantity, text: str, *, what: str, unit: str) -> None:
    if quantity.value <= 0:
        sign = "can't be negative" if quantity.value < 0 else "of nothing tells nothing"
        todo = {
            "end play": "With no play to feel the set may be preloaded, nobody knows by how much: "
            "change the pack until there is some play, measure it, and count the change",
            "gap": "Where the cap is down on its seat already, put a known shim in, measure the "
            "gap again and add the shim",
        }.get(what, "Measure the piece with a micrometer")
        kind = an(what)
        raise InputError(value=f"--measured {text}", rule=f"{kind} {sign}", todo=todo)
    most = setting_limit("end_play_most_mm" if what == "end play" else "gap_most_mm").value
    if quantity.value > most:
        if not quantity.stated and quantity.amount * UNITS["thou"].to_base(1.0) <= most:
            number = plain(quantity.amount)
            raise AmbiguousError(
                value=f"--measured {text}", readings=(f"{number}{unit}", f"{number}thou")
            )
        raise InputError(
            value=f"--measured {text}",
            rule=f"{an(what)} over {most:g} mm is no setting",
            todo="Check the unit and that both cups and cones are on their shoulders",
        )
