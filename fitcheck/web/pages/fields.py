"""The fields of the bench: for each part, what can be measured or chosen, in the order of use."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

from fitcheck.parts.kind import kind_names
from fitcheck.web.pages.field import CHOICE, PICK, READING, TEXT, YES, Field, Part
from fitcheck.web.pages.kind_fields import kind_part, pivot_part

_OUTSIDE = ("caliper", "micrometer", "tape")
_INSIDE = ("caliper", "bore-gauge", "tape")
_DEPTH = ("depth-gauge", "caliper")
_WIDE = ("caliper", "depth-gauge")


def _read(key: str, name: str, hint: str, tools: tuple[str, ...], *, first: bool = False) -> Field:
    return Field(key, name, hint, READING, tools, first=first)


def _text(key: str, name: str, hint: str, *, first: bool = False, many: bool = False) -> Field:
    return Field(key, name, hint, TEXT, first=first, many=many)


def _choice(key: str, name: str, choices: tuple[str, ...], *, first: bool = False) -> Field:
    said = (("", "not said"), *((value, value.replace("-", " ")) for value in choices))
    return Field(key, name, how=CHOICE, choices=said, first=first, many=False)


def _pick(key: str, name: str, choices: tuple[tuple[str, str], ...], hint: str = "") -> Field:
    return Field(key, name, hint, PICK, choices=(("", "not said"), *choices), many=False)


def _yes(key: str, name: str) -> Field:
    return Field(key, name, how=YES, many=False)


def _seal() -> Part:
    fields = (
        _read("shaft", "Shaft", "unworn land beside the track", _OUTSIDE, first=True),
        _read("bore", "Housing bore", "two directions if you can", _INSIDE, first=True),
        _read("old_width", "Old seal, width", "case without dust lip", ("caliper",), first=True),
        _read("old_od", "Old seal, outside", "over the case", _OUTSIDE, first=True),
        _text("mark", "Mark on the old seal", "? for a lost character", first=True, many=True),
        _read("track", "Worn track", "where it is deepest", _OUTSIDE),
        _read("groove_width", "Groove, width", "along the shaft", ("caliper",)),
        _read("groove_depth", "Groove, depth", "one side, where measured by itself", _DEPTH),
        _read("lip_at", "Track from the shaft end", "to its middle", ("caliper",)),
        _read("room", "Free depth beyond the seal", "", _DEPTH),
        _read("pocket", "Pocket, depth", "face to shoulder", _DEPTH),
        _read("old_lip", "Old seal, lip", "free inside diameter", ("caliper",)),
        _read("shaft_end", "Shaft end", "small end of its chamfer", _OUTSIDE),
        _read("bore_chamfer", "Bore chamfer", "its length along the axis", ("caliper",)),
        _choice("case", "Case of the old seal", ("metal", "rubber")),
        _yes("bare_shaft", "Bare shaft: I looked, no sleeve and no ring is on it"),
        _yes("pitted", "The track is pitted, or scored along the shaft"),
        _yes("oval", "The counterface is out of round"),
        _text("rpm", "Speed", "300rpm or 4m/s"),
        _text("oil", "What it keeps in", "gear oil, grease"),
        _text("oil_temp", "Oil temperature", "70C or 158F"),
        _text("pressure", "Pressure at the lip", "0.3bar or 5psi"),
    )
    return Part("seal", "Seal", "Which lip seal fits?", fields)


def _bearing() -> Part:
    fields = (
        _text("mark", "Numbers on cone and cup", "? for a lost one", first=True, many=True),
        _read("bore", "Cone, bore", "two directions if you can", _INSIDE, first=True),
        _read("od", "Cup, outside", "two directions if you can", _OUTSIDE, first=True),
        _read("width", "Width, assembled", "cone seated in the cup", _WIDE, first=True),
        _read("cup_width", "Width of the cup", "alone", ("caliper",), first=True),
        _read("cone_width", "Width of the cone", "alone", ("caliper",)),
        _read("thickness", "A width", "where it is not known which", ("caliper",)),
        _read("journal", "Journal", "where the cone sits", _OUTSIDE),
        _read("housing", "Housing", "where the cup sits", _INSIDE),
        _choice("turning", "What turns", ("hub", "shaft")),
        _choice("housing_material", "Housing of", ("steel", "iron", "light-alloy")),
    )
    return Part("bearing", "Bearing", "Which tapered bearing is it, do its seats hold?", fields)


def _sleeve() -> Part:
    fields = (
        _read("shaft", "Shaft", "unworn land beside the track", _OUTSIDE, first=True),
        _read("track", "Worn track", "where it is deepest", _OUTSIDE, first=True),
        _read("groove_width", "Groove, width", "along the shaft", ("caliper",), first=True),
        _text("seal", "Seal that runs there", "90 x 120 x 12", first=True),
        _read("groove_depth", "Groove, depth", "one side, where measured by itself", _DEPTH),
        _read("lip_at", "Track from the shaft end", "to its middle", ("caliper",)),
        _read("room", "Free depth beyond the seal", "", _DEPTH),
        _read("shaft_end", "Shaft end", "small end of its chamfer", _OUTSIDE),
        _text("rpm", "Speed", "300rpm or 4m/s"),
        _yes("pitted", "The track is pitted, or scored along the shaft"),
        _yes("oval", "The counterface is out of round"),
    )
    return Part("sleeve", "Sleeve", "What can be done about a worn counterface?", fields)


def _press() -> Part:
    from fitcheck.tables import table

    def named(name: str, column: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(row.text(column) for row in table(name).rows))

    materials = tuple(
        (name, name.replace("-", " ")) for name in named("materials/materials", "name")
    )
    fields = (
        _choice("use", "What goes on", named("press/uses", "use"), first=True),
        # A drawing's size has no instrument; a measured one is no size to find a fit for.
        _read(
            "interface",
            "Where they meet",
            "diameter, by name",
            ("", "micrometer", "caliper"),
            first=True,
        ),
        _read("outer", "Outer part, outside", "diameter", _OUTSIDE, first=True),
        _read("length", "Length of contact", "", ("caliper",), first=True),
        _text("fit", "Fit", "H7/s6; or give the interference", first=True),
        _read(
            "interference", "Interference", "on the diameter", ("micrometer", "caliper"), first=True
        ),
        _read("inner", "Inner part, bore", "0 where it is solid", _INSIDE),
        _pick("outer_material", "Outer part of", materials),
        _pick("inner_material", "Inner part of", materials),
        _choice("condition", "Faces", named("press/friction", "condition")),
        _text("friction", "Friction", "0.11"),
        _text("clearance", "Clearance when hot", "on the diameter"),
        _text("room_temp", "Room temperature", "20C"),
        _text("heat_cap", "Hottest the manual allows", "120C"),
        _text("service_temp", "In service", "80C"),
        _text("rpm", "Speed", "300rpm"),
        _read("outer_rz", "Roughness Rz of the bore", "6um", ()),
        _read("inner_rz", "Roughness Rz of the seat", "6um", ()),
        _read("pin", "Pin that runs in the bore", "diameter", ("micrometer", "caliper")),
        _read("measured_hole", "Bore of the outer part, measured", "to check", _INSIDE),
        _read("measured_shaft", "Outside of the inner part, measured", "to check", _OUTSIDE),
    )
    return Part("press", "Press fit", "What does it carry, and how does it go together?", fields)


def _shims() -> Part:
    from fitcheck.setup.settings import CONDITIONS, METHODS, MOUNTINGS, POSITIONS
    from fitcheck.tables import table

    uses: dict[str, str] = {}
    for row in table("settings/uses").rows:
        uses.setdefault(row.text("use"), row.text("words"))
    # How it was measured tells the usual instrument.
    tools = ("", "indicator", "feeler", "micrometer", "caliper", "depth-gauge")
    fields = (
        _choice("method", "Measured by", METHODS, first=True),
        _read("measured", "Measured", "play, gap or crushed thickness", tools, first=True),
        _choice("position", "Shims sit under", POSITIONS, first=True),
        _text("fitted", "Pack that came out", "0.20x3,0.10x2", first=True),
        Field(
            "use",
            "Use",
            how=PICK,
            choices=(("", "not said"), *uses.items()),
            first=True,
            many=False,
        ),
        _text("target", "Or the manual's range", "0.025..0.127mm", first=True),
        _text("have", "Shims on the shelf", "0.10x4,0.20x4", first=True, many=True),
        _choice("condition", "Bearings", CONDITIONS),
        _read("pack_measured", "That pack, as a whole", "", ("micrometer", "caliper")),
        _text("tolerance", "Pack may be off by", "0.05mm"),
        _text("pull", "Pull (drag)", "24lbf or 100N", many=True),
        _read("radius", "Radius of the pull (drag)", "", ("caliper", "tape")),
        _read("diameter", "Or the drum's diameter (drag)", "", ("caliper", "tape")),
        _text("base_drag", "Drag with bearings slack", "1.2N.m", many=True),
        _read("span", "Cup to cup", "for what heat does", ("caliper", "tape")),
        _choice("mounting", "Pair is mounted", MOUNTINGS),
        _choice("housing", "Housing of", ("steel", "iron", "light-alloy")),
        _text("service_temp", "In service", "80C"),
        _text("room_temp", "When it is set", "20C"),
    )
    return Part("shims", "Shims", "Which shims give the bearing its setting?", fields)


def _oil() -> Part:
    fields = (
        _read("diameter", "Cavity, diameter", "", ("caliper", "tape"), first=True),
        _read("length", "Cavity, length", "", ("caliper", "tape"), first=True),
        _text("volume", "Or its volume", "4l", first=True),
        _text("fill", "Share that is filled", "0.5 is half", first=True),
        _text("to_temp", "Temperature at work", "80C", first=True),
        _read("shaft", "Shaft under the lip", "", _OUTSIDE, first=True),
        _yes("vented", "A breather is fitted and open"),
        _read("level", "Or the level", "over the lowest point", ("depth-gauge", "tape")),
        _text("from_temp", "Temperature when filled", "20C"),
    )
    return Part("oil", "Oil", "How much oil, and what does heat do to the seal?", fields)


def _pivot() -> Part:
    return pivot_part(_bearing(), _shims())


_PARTS: dict[str, Callable[[], Part]] = {
    "seal": _seal,
    "bearing": _bearing,
    "sleeve": _sleeve,
    "press": _press,
    "shims": _shims,
    "oil": _oil,
    "pivot": _pivot,
}
# What lies there most is in sight; the others are opened.
COMMON = ("seal", "bearing", "sleeve", "press", "shims", "oil")
OTHERS = ("pivot", *kind_names())
KINDS = (*COMMON, *OTHERS)


@cache
def part(kind: str) -> Part:
    """What can be told of one kind of part.

    Parameters
    ----------
    kind : str
        One of ``KINDS``.

    Examples
    --------
    >>> [field.key for field in part("oil").fields if field.first][:2]
    ['diameter', 'length']
    """
    return _PARTS[kind]() if kind in _PARTS else kind_part(kind)


def parts(kinds: Sequence[str] = COMMON) -> list[Part]:
    """Some kinds of part, in the order of the bench.

    Parameters
    ----------
    kinds : sequence of str
        Which.
    """
    return [part(kind) for kind in kinds]
