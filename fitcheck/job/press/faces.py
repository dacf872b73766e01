"""The fitted faces as measured, against the interference they are said to have."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fitcheck.assess.cross_checks import face_against_diameter, interference_against_diameters
from fitcheck.job.answers import Answer
from fitcheck.job.lengths import Measured
from fitcheck.job.press.given import Given
from fitcheck.setup.joint import limit

HOLE, SHAFT = FACES = ("measured-hole", "measured-shaft")
_PLACES = {HOLE: "hole", SHAFT: "shaft"}
_TOOLS = {HOLE: "bore-gauge", SHAFT: "micrometer"}


def faces_against(asked: Given) -> list[tuple[str, str]]:
    """What the measured faces have against the interference and the interface.

    Parameters
    ----------
    asked : Given
        The request as understood.

    Returns
    -------
    list of (str, str)
        Verdict and reason; none where neither face was measured.
    """
    wrong = list(_wrong(asked))
    if wrong:
        names = " and ".join(f"--{name}" for name in FACES if name in asked.sizes)
        return [("check", f"{said}: read {names} again") for said in wrong]
    sizes = asked.sizes
    if not (HOLE in sizes and SHAFT in sizes):
        return []
    found = sizes[SHAFT].mm - sizes[HOLE].mm
    return [("go", f"the two diameters make {found:.3f} mm of interference, which agrees")]


def faces_again(asked: Given) -> list[Answer]:
    """The faces to read again where they contradict the interference or the interface.

    Parameters
    ----------
    asked : Given
        The request as understood.
    """
    return [
        {"reading": name, "instrument": _TOOLS[name], "reason": said}
        for said in list(_wrong(asked))[:1]
        for name in FACES
        if name in asked.sizes
    ]


def faces_first(asked: Given) -> str:
    """What has to be read again before anything is pressed, in words; blank where the faces agree.

    Parameters
    ----------
    asked : Given
        The request as understood.
    """
    names = [f"the {_PLACES[again['reading']]}" for again in faces_again(asked)]
    if not names:
        return ""
    return f"{' and '.join(names)} {'are' if len(names) > 1 else 'is'} measured again"


def _wrong(asked: Given) -> Iterator[str]:
    sizes: Mapping[str, Measured] = asked.sizes
    joint = asked.joint
    if HOLE in sizes and SHAFT in sizes:
        loose = asked.tight_mm if asked.loose_mm is None else asked.loose_mm
        fit = asked.fit
        said = interference_against_diameters(
            hole_mm=sizes[HOLE].mm,
            shaft_mm=sizes[SHAFT].mm,
            sure_mm=asked.sure_mm(HOLE, SHAFT) + asked.interference_sure_mm,
            least_mm=loose,
            most_mm=asked.tight_mm,
            given=f"{fit.hole.tolerance_class}/{fit.shaft.tolerance_class}"
            if fit is not None
            else "the interference given",
        )
        if said:
            yield said
    for name, what in _PLACES.items():
        if name not in sizes:
            continue
        said = face_against_diameter(
            interface_mm=joint.interface_mm,
            measured_mm=sizes[name].mm,
            most_share=limit("interference_share_limit"),
            sure_mm=asked.sure_mm(name, "interface"),
            what=what,
        )
        if said:
            yield said
