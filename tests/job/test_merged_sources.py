"""The sources of a whole job: once each, kindred ones on one line."""

from __future__ import annotations

from fitcheck.job.merged_sources import merged_sources


def test_a_source_is_said_once_with_all_that_it_covers() -> None:
    found = merged_sources(
        [
            "caliper: Bench practice: maintenance manuals and trade forum threads (from memory)",
            "micrometer: Bench practice: maintenance manuals and trade forum threads (from memory)",
            "caliper: Bench practice: maintenance manuals and trade forum threads (from memory)",
        ]
    )
    assert found == [
        "Bench practice: maintenance manuals and trade forum threads (from memory) for caliper, "
        "micrometer"
    ]


def test_a_colon_in_a_title_parts_nothing() -> None:
    title = "Common practice, no source: US inch trade sizes, bores on the RMA nominal series"
    assert merged_sources([title]) == [title]


def test_one_that_is_seen_and_remembered_is_one() -> None:
    assert merged_sources(
        ["GOST 8752, row 1 sizes, 1979", "GOST 8752, row 1 sizes, 1979 (from memory)"]
    ) == ["GOST 8752, row 1 sizes, 1979 (in part from memory)"]


def test_the_parts_of_a_standard_stand_together_and_keep_how_they_are_known() -> None:
    assert merged_sources(
        [
            "ISO 286-2, limit deviations of common classes, as several published tables agree, "
            "2010",
            "US Army technical manual TM 5-4210-220-34",
            "ISO 286-1, Table 1, standard tolerances, 2010 (from memory)",
            "free-gap: US Army technical manual TM 5-3805-260-24",
        ]
    ) == [
        "ISO 286: part 2, limit deviations of common classes, as several published tables agree, "
        "2010; part 1, Table 1, standard tolerances, 2010 (from memory)",
        "US Army technical manuals: TM 5-4210-220-34; TM 5-3805-260-24 for free-gap",
    ]


def test_what_no_table_names_stays_as_it_is() -> None:
    lines = ["friction as given", "heating cap as given", "the shop's own table, /tmp/a: b.csv"]
    assert merged_sources(lines) == lines


def test_a_citation_of_several_sources_is_taken_apart() -> None:
    assert merged_sources(
        [
            "shims that can be bought: Common practice, no source (from memory); US Army technical "
            "manual TM 9-2320-266-34",
            "lead: US Army technical manual TM 10-3930-659-34",
            "Agency maintenance manuals; which ones was not noted",
        ]
    ) == [
        "Common practice, no source (from memory) for shims that can be bought",
        "US Army technical manuals: TM 9-2320-266-34 for shims that can be bought; TM "
        "10-3930-659-34 for lead",
        "Agency maintenance manuals; which ones was not noted",
    ]
