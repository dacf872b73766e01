"""Where the numbers of an answer come from: each place cites the step its nominal falls in."""

from __future__ import annotations

import pytest

from fitcheck.job.sources import bearing_sources, reading_sources, seal_sources
from fitcheck.parts.bearing import BORE, bearing_sizes
from fitcheck.parts.family import Size
from fitcheck.parts.seal import seal_sizes
from fitcheck.readings import read
from fitcheck.tables import table


def inch_size(*, shaft_in: float, bore_in: float, width_in: float) -> Size:
    """A seal of inch sizes, as the list holds it: in mm to five decimals."""
    nominals = tuple((round(v * 25.4, 5), "inch") for v in (shaft_in, bore_in, width_in))
    return Size(label="inch", system="inch", nominals=nominals, series=(), source="here")


@pytest.mark.parametrize("edge", [3.0, 6.0, 10.0])
def test_an_inch_size_on_an_edge_cites_one_step(edge: float) -> None:
    steps = table("seal_tolerances/inch_seat_limits").rows
    wanted = next(r for r in steps if r.text("seat") == "bore" and r.maybe("incl_in") == edge)
    size = inch_size(shaft_in=edge / 2, bore_in=edge, width_in=0.4)
    assert seal_sources(size, ["bore"], case="") == [wanted.cite()]
    assert len(seal_sources(size, ["old-width"], case="")) == 1


def test_every_place_of_a_listed_part_has_a_source() -> None:
    seal = next(s for s in seal_sizes() if s.label == "35 x 52 x 7")
    for place in ("shaft", "track", "bore", "old-od", "old-lip", "old-width"):
        assert seal_sources(seal, [place], case="metal"), place
    assert seal_sources(seal, ["pocket"], case="") == []
    inch = next(s for s in bearing_sizes() if s.system == "inch")
    assert inch.nominals[BORE] is not None
    for place in ("bore", "od", "width", "cone-width"):
        assert bearing_sources(inch, [place]), place


def test_an_instrument_is_cited_with_its_name() -> None:
    found = reading_sources("seal", {"shaft": read(place="shaft", texts=("34.98@caliper",))})
    assert found[0].startswith("caliper: ")
    assert "(from memory)" in found[0]
