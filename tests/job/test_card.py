"""The job card: the three demo sheets, and one bad position among good ones."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from fitcheck.job.blank import BLANK_SHEET
from fitcheck.job.card import job_card
from fitcheck.job.sheet import parse_sheet
from fitcheck.report.card_text import card_text

DEMO = Path(__file__).parents[2] / "data" / "demo"
KEYS = {
    "verdict",
    "job",
    "positions",
    "parts",
    "settings",
    "read_again",
    "cautions",
    "sources",
}
SEAL = '[[seal]]\nname = "{name}"\nshaft = "34.95@micrometer"\nbore = "52.02@bore-gauge"\n{more}'


def card(text: str) -> dict[str, Any]:
    """The card of a sheet."""
    return job_card(parse_sheet(text))


@pytest.fixture(params=["trailer", "drum", "winch"])
def demo(request: pytest.FixtureRequest) -> dict[str, Any]:
    """The card of a demo sheet."""
    return card((DEMO / f"{request.param}.toml").read_text(encoding="utf-8"))


def named(found: dict[str, Any], name: str) -> dict[str, Any]:
    """A position by its name."""
    return next(p for p in found["positions"] if p["name"] == name)


def parts(found: dict[str, Any]) -> dict[tuple[str, str], dict[str, Any]]:
    """The parts by what they are and their size."""
    return {(part["what"], part["size"]): part for part in found["parts"]}


# --- the demo sheets -----------------------------------------------------------------------------


def test_a_card_has_what_is_promised(demo: dict[str, Any]) -> None:
    assert set(demo) >= KEYS
    for position in demo["positions"]:
        assert set(position) >= {"name", "kind", "verdict", "pick", "reasons", "work"}
        assert position["verdict"] in {"go", "check", "no-go"}
        assert position["reasons"]
    for part in demo["parts"]:
        assert set(part) >= {"what", "size", "quantity", "for", "order", "on_shelf"}
        assert part["quantity"] >= 1
        assert {*part["for"]} <= {p["name"] for p in demo["positions"]}
    assert demo["cautions"][0].startswith("The machine's own manual")
    assert demo["job"]["invented"] is True


def test_the_cards_verdict_is_its_gravest(demo: dict[str, Any]) -> None:
    order = ["go", "check", "no-go"]
    assert demo["verdict"] == max((p["verdict"] for p in demo["positions"]), key=order.index)


def cited(demo: dict[str, Any], source: str) -> bool:
    """Whether one line of the card's sources says a source, and what it covers, word for word."""
    words = re.findall(r"[a-z0-9]+", source.removesuffix(" (from memory)").lower())
    return any(all(word in line.lower() for word in words) for line in demo["sources"])


def test_every_number_on_the_card_has_its_source(demo: dict[str, Any]) -> None:
    for position in demo["positions"]:
        found = position["answer"]
        for key in ("checks", "seats"):
            for judged in found.get(key, []):
                assert all(cited(demo, source) for source in judged["source"].split("; "))
        if found.get("candidates"):
            assert all(cited(demo, s) for s in found["candidates"][0]["source"].split("; "))
        for reading in found.get("readings", []):
            if position["kind"] in ("seal", "bearing"):
                tool = reading["instrument"].split(" and ")[0]
                assert any(tool in line for line in demo["sources"])
        assert position["sources"]
        assert all(cited(demo, source) for source in position["sources"])
    assert len(demo["sources"]) < 30


def test_nothing_is_said_twice(demo: dict[str, Any]) -> None:
    for position in demo["positions"]:
        assert len(position["reasons"]) == len(set(position["reasons"]))
    for key in ("cautions", "sources"):
        assert len(demo[key]) == len(set(demo[key]))
    asked = [(e["for"], e["reading"], e["instrument"]) for e in demo["read_again"]]
    assert len(asked) == len(set(asked))


def test_a_position_that_is_not_sure_says_what_would_settle_it(demo: dict[str, Any]) -> None:
    for position in demo["positions"]:
        if position["verdict"] == "check":
            asked = [e for e in demo["read_again"] if e["for"] == position["name"]]
            assert asked or position["work"], position["name"]


def test_the_trailers_wheel_end() -> None:
    found = card((DEMO / "trailer.toml").read_text(encoding="utf-8"))
    assert [(p["name"], p["verdict"], p["pick"]) for p in found["positions"]][:3] == [
        ("wheel seal", "check", "3.750 x 4.999 x 0.500 in"),
        ("inner bearing", "go", "HM218248/HM218210"),
        ("outer bearing", "no-go", "HM212049/HM212011"),
    ]
    seal = named(found, "wheel seal")
    assert seal["answer"]["counterface"]["ways"][0]["way"] == "move-lip"
    assert seal["work"][0] == "counterface, by move lip:"
    outer = named(found, "outer bearing")
    assert any("the cone is too loose" in reason for reason in outer["reasons"])
    assert any("build the journal up" in work for work in outer["work"])
    listed = parts(found)
    for key in (
        ("lip seal", "3.750 x 4.999 x 0.500 in"),
        ("tapered bearing", "HM218248/HM218210"),
    ):
        assert listed[key]["quantity"] == 1
        assert listed[key]["order"] is True
    # Its journal must be mended first, or the cone may turn out to be another.
    assert listed["tapered bearing", "HM212049/HM212011"]["order"] is False


def test_the_conveyors_drum() -> None:
    found = card((DEMO / "drum.toml").read_text(encoding="utf-8"))
    assert [(p["name"], p["verdict"], p["pick"]) for p in found["positions"]][:4] == [
        ("drive-end seal", "go", "65 x 90 x 10"),
        ("free-end seal", "check", "65 x 90 x 10"),
        ("drive-end bearing", "go", "32212"),
        ("free-end bearing", "go", "32212"),
    ]
    listed = parts(found)
    seals, bearings = listed["lip seal", "65 x 90 x 10"], listed["tapered bearing", "32212"]
    assert (seals["quantity"], seals["for"]) == (2, ["drive-end seal", "free-end seal"])
    assert (bearings["quantity"], bearings["for"]) == (
        2,
        ["drive-end bearing", "free-end bearing"],
    )
    classes = [s["class"] for s in named(found, "drive-end bearing")["answer"]["seats"]]
    assert classes == ["m6", "H7"]


def test_the_winchs_drive_hub() -> None:
    found = card((DEMO / "winch.toml").read_text(encoding="utf-8"))
    assert [(p["name"], p["verdict"], p["pick"]) for p in found["positions"]][:5] == [
        ("drum-side seal", "check", "90 x 120 x 12"),
        ("motor-side seal", "check", "70 x 90 x 10"),
        ("brake-side seal", "check", None),
        ("drum-side bearing", "go", "32018 X"),
        ("motor-side bearing", "no-go", "32215"),
    ]
    grooved, sleeved, open_ = found["positions"][:3]
    assert grooved["answer"]["counterface"]["groove_depth_mm"] == pytest.approx(0.1825, abs=0.001)
    assert grooved["answer"]["counterface"]["ways"][0]["way"] == "thin-sleeve"
    assert sleeved["answer"]["findings"][0]["finding"] == "earlier-sleeve"
    asked = {(e["for"], e["reading"]) for e in found["read_again"]}
    assert {("motor-side seal", "shaft"), ("brake-side seal", "old-width")} <= asked
    listed = parts(found)
    assert listed["lip seal", "70 x 90 x 10"]["on_shelf"] is True
    assert listed["lip seal", "90 x 120 x 12"]["on_shelf"] is False
    assert listed["thin sleeve", "90.00 x 20"]["for"] == ["drum-side seal"]
    undecided = listed["lip seal", "45 x 62 x 8 or 45 x 62 x 10"]
    assert undecided["order"] is False
    assert open_["verdict"] == "check"
    hub = named(found, "motor-side bearing")
    assert any("the cup can turn in its bore" in reason for reason in hub["reasons"])
    assert any("bore it out" in work for work in hub["work"])


# --- positions together --------------------------------------------------------------------------


def test_quantities_of_one_part_add_up() -> None:
    found = card(
        SEAL.format(name="left", more='old_width = "7"\nquantity = 2\n')
        + SEAL.format(name="right", more='old_width = "7.1"\n')
        + '[shelf]\nseals = ["35x52x7"]\n'
    )
    seals = [part for part in found["parts"] if part["what"] == "lip seal"]
    assert [(p["quantity"], p["on_shelf"], p["for"]) for p in seals] == [
        (1, True, ["left", "right"]),
        (2, False, ["left", "right"]),
    ]


def test_a_sleeve_on_the_shelf_is_known_by_its_size() -> None:
    found = card(
        SEAL.format(name="left", more='old_width = "7"\ntrack = "34.69@micrometer"\nquantity = 2\n')
        + '[shelf]\nsleeves = ["sleeve 35.00 x 13"]\n'
    )
    sleeves = [part for part in found["parts"] if part["what"] == "thin sleeve"]
    assert [(part["quantity"], part["on_shelf"]) for part in sleeves] == [(1, True), (1, False)]


@pytest.mark.parametrize(
    ("bad", "wording", "todo"),
    [
        ('[[seal]]\nname = "bad"\nshaft = "1,250"\n', "1.250 or as 1250", "the one you mean"),
        ('[[seal]]\nname = "bad"\nshaft = "35@ruler"\n', "not listed", "Use one of tape"),
        ('[[seal]]\nname = "bad"\nshaft = "9000"\n', "no seal in the tables", "Check the digits"),
        ('[[seal]]\nname = "bad"\n', "no reading and no mark yet", "take its table out"),
        ('[[bearing]]\nname = "bad"\nturning = "hub"\n', "no mark yet", "take its table out"),
    ],
)
def test_a_position_that_cannot_be_answered_leaves_the_others(
    bad: str, wording: str, todo: str
) -> None:
    found = card(SEAL.format(name="good", more='old_width = "7"\n') + bad)
    good, unanswered = named(found, "good"), named(found, "bad")
    assert (good["verdict"], good["pick"]) == ("go", "35 x 52 x 7")
    assert (unanswered["verdict"], unanswered["pick"]) == ("check", None)
    assert unanswered["reasons"][0].startswith("not answered: ")
    assert wording in unanswered["reasons"][0]
    assert unanswered["answer"] is None
    again = [entry for entry in found["read_again"] if entry["for"] == "bad"]
    assert todo in again[0]["reason"]
    # On a sheet there are keys, not options.
    assert "--" not in "".join(unanswered["reasons"]) + again[0]["reason"]
    assert found["verdict"] == "check"


def test_many_possible_sizes_are_not_listed_as_parts() -> None:
    found = card('[[seal]]\nname = "one"\nbore = "52"\n')
    assert [part["size"] for part in found["parts"]] == ["of a size to be settled"]
    assert found["parts"][0]["order"] is False


def test_a_size_off_the_lists_is_ordered_by_its_dimensions() -> None:
    found = card(
        '[[seal]]\nname = "one"\nshaft = "36.50@micrometer"\nbore = "53.40@bore-gauge"\n'
        'old_width = "8.6"\n'
    )
    position = found["positions"][0]
    assert position["pick"] is None
    assert position["answer"]["unlisted"] > 0.5
    assert found["parts"][0]["order"] is False
    if position["verdict"] == "no-go":
        assert found["parts"][0]["size"] == (
            "of no listed size: order by its dimensions, shaft 36.5 mm, bore 53.4 mm, "
            "old width 8.6 mm"
        )


def test_a_mixed_pair_stands_on_the_card_with_its_partners() -> None:
    found = card('[[bearing]]\nname = "outer"\nmark = ["LM11949", "LM11710"]\n')
    position = found["positions"][0]
    assert (position["verdict"], position["pick"]) == ("no-go", None)
    assert "LM11910" in position["reasons"][0]
    assert found["parts"][0]["order"] is False
    assert found["parts"][0]["size"] == "of a size to be settled"


def test_the_jobs_own_facts_hold_unless_a_position_says_otherwise() -> None:
    head = '[job]\nunit = "in"\nturning = "hub"\noil = "gear oil"\nspeed = "300rpm"\n'
    found = card(
        head
        + '[[bearing]]\nname = "a"\nbore = "0.75"\nod = "1.781"\njournal = "0.7495@micrometer"\n'
        + '[[bearing]]\nname = "b"\nunit = "mm"\nbore = "30"\nod = "62"\nwidth = "17.3"\n'
        + 'turning = "shaft"\njournal = "30.015@micrometer"\n'
        + '[[seal]]\nname = "s"\nshaft = "1.375"\nbore = "2.125"\nold_width = "0.315"\n'
    )
    a, b, s = (named(found, name) for name in "abs")
    assert (a["pick"], b["pick"]) == ("LM11949/LM11910", "30206")
    assert a["answer"]["seats"][0]["class"] != b["answer"]["seats"][0]["class"]
    assert b["answer"]["seats"][0]["class"] == "k6"
    assert any("lip material" in reason for reason in s["reasons"])


def test_the_bench_can_name_its_instrument_once() -> None:
    text = SEAL.format(name="a", more="").replace("@micrometer", "")
    coarse, fine = card(text), card('[job]\ninstrument = "micrometer"\n' + text)
    error = [
        found["positions"][0]["answer"]["readings"][-1]["standard_error_mm"]
        for found in (coarse, fine)
    ]
    assert error[1] < error[0]


def test_the_blank_sheet_with_one_reading_gives_a_card() -> None:
    assert 'bore = []           # of the cone' in BLANK_SHEET  # fmt: skip
    text = BLANK_SHEET.replace("shaft = []", 'shaft = "34.95"', 1)
    found = card(text)
    seal, bearing = found["positions"]
    assert seal["verdict"] == "check"
    assert seal["answer"]["candidates"]
    assert bearing["reasons"][0].startswith("not answered: nothing filled in")


def test_a_note_of_the_mechanic_stays_beside_its_position() -> None:
    found = card(SEAL.format(name="a", more='note = "spring was missing"\n'))
    assert "note: spring was missing" in found["positions"][0]["reasons"]


def test_a_seat_of_a_seal_that_fails_has_its_work() -> None:
    found = card(SEAL.format(name="a", more='old_width = "7"\npocket = "6.5@depth-gauge"\n'))
    position = found["positions"][0]
    assert position["verdict"] == "no-go"
    assert any("narrower seal" in work for work in position["work"])


def test_a_bearing_whose_housing_is_worn_out_is_settled_before_it_is_ordered() -> None:
    sheet = """
        [job]
        turning = "hub"
        [[bearing]]
        name = "loose"
        bore = "75.00"
        od = "130.00"
        width = "33.3"
        housing = ["130.10@bore-gauge", "130.11@bore-gauge"]
    """
    card = job_card(parse_sheet(sheet))
    assert card["positions"][0]["pick"] == "32215"
    assert [part["order"] for part in card["parts"]] == [False, False]
    assert card["parts"][1]["what"] == "bush for the worn housing"
    assert card["parts"][1]["size"].startswith("inside 130 mm N7, outside by how far it is bored")


def test_no_sleeve_is_ordered_for_a_seal_that_is_not_decided() -> None:
    sheet = """
        [[seal]]
        name = "open"
        shaft = ["34.96@micrometer", "34.97@micrometer"]
        track = ["34.60@micrometer"]
        bore = "52.02"
    """
    card = job_card(parse_sheet(sheet))
    assert card["positions"][0]["pick"] is None
    assert not any(part["order"] for part in card["parts"])


# --- the way back together -----------------------------------------------------------------------


def steps(found: dict[str, Any]) -> list[str]:
    """The work of the card in its order."""
    return [entry["step"] for entry in found["work"]]


def place(found: dict[str, Any], words: str) -> int:
    """Where a step with these words stands; there is one."""
    (number,) = [n for n, step in enumerate(steps(found)) if words in step]
    return number


def test_work_is_in_the_order_it_is_done() -> None:
    found = card((DEMO / "winch.toml").read_text(encoding="utf-8"))
    order = (
        "bore it out and fit a bush",
        "counterface, by thin sleeve:",
        "Press each ring square",
        "press cold with",
        "Fit the pack",
        "Grease the lip",
        "square within 0.25 mm",
        "A new cotter pin",
        "Fill cold",
    )
    places = [place(found, words) for words in order]
    assert places == sorted(places)


def test_a_thick_sleeve_is_made_before_anything_is_pressed() -> None:
    found = card(
        SEAL.format(name="deep", more='old_width = "7"\ntrack = "33.0@micrometer"\npitted = true\n')
        + '[[press]]\nname = "collar"\nuse = "collar"\ninterface = "60"\nouter = "90"\n'
        'length = "25"\nfit = "H7/r6"\n'
    )
    assert named(found, "deep")["work"][0] == "counterface, by thick sleeve:"
    assert place(found, "counterface, by thick sleeve:") == 0
    pressing = next(n for n, entry in enumerate(found["work"]) if entry["for"] == "collar")
    sleeve = [n for n, s in enumerate(steps(found)) if s in named(found, "deep")["work"]]
    assert max(sleeve) < pressing


PRESSED = """
[[press]]
name = "ring"
use = "{use}"
interface = "60"
outer = "90"
inner = "{inner}"
length = "30"
{more}
"""
BEARING = """
[[bearing]]
name = "bearing"
bore = "30"
od = "62"
width = "17.25"
"""


@pytest.mark.parametrize(("use", "after"), [("collar", True), ("bushing", False), ("cup", False)])
def test_a_collar_goes_on_after_its_bearing_and_what_a_bearing_sits_in_before(
    use: str, after: bool
) -> None:
    found = card(PRESSED.format(use=use, inner="50", more='interference = "0.02"') + BEARING)
    assert (place(found, "press cold with") > place(found, "Press each ring square")) == after


def test_the_work_of_a_press_fit_names_every_way_that_passes() -> None:
    found = card(PRESSED.format(use="collar", inner="50", more='interference = "0.02"'))
    (step,) = [step for step in steps(found) if "press cold" in step]
    assert step.startswith("press cold with up to")
    assert "; or heat the collar to" in step


def test_what_its_parts_do_not_carry_is_not_pressed() -> None:
    more = 'interference = "0.18"\nouter_material = "steel"\ninner_material = "steel"'
    found = card(PRESSED.format(use="collar", inner="40", more=more))
    assert found["verdict"] == "no-go"
    assert found["work"] == []
    assert found["settings"] == []


def test_the_bore_after_pressing_a_fit_is_a_range() -> None:
    found = card(PRESSED.format(use="bushing", inner="50", more='fit = "H7/p6"'))
    pressed = named(found, "ring")["answer"]
    low, high = (round(pressed[limit]["bore_after_mm"], 3) for limit in ("tight", "loose"))
    assert f"bore after pressing {low} mm to {high} mm" in [
        setting["setting"] for setting in found["settings"]
    ]


def test_a_lip_is_moved_when_the_seal_goes_in() -> None:
    found = card((DEMO / "trailer.toml").read_text(encoding="utf-8"))
    moved = place(found, "counterface, by move lip:")
    assert place(found, "Press each ring square") < moved < place(found, "Grease the lip")


def test_like_positions_share_their_fitting_steps() -> None:
    found = card((DEMO / "drum.toml").read_text(encoding="utf-8"))
    fitted = found["work"][place(found, "Grease the lip")]
    assert fitted["for"] == "drive-end seal, free-end seal"
    assert "The shaft turns: the cones go tight onto the shaft" in " ".join(steps(found))
    assert any("Vehicle workshop manual" in source for source in found["sources"])


def test_nothing_is_fitted_where_nothing_was_answered() -> None:
    assert card('[[seal]]\nname = "a"\n')["work"] == []


def test_what_is_no_step_is_a_caution() -> None:
    found = card((DEMO / "winch.toml").read_text(encoding="utf-8"))
    assert not any("not heat" in s or "eyways" in s for s in steps(found))
    sleeved = named(found, "drum-side seal")
    assert "Do not heat the sleeve." in sleeved["cautions"]
    assert any("A thin sleeve is not heated and not fitted over" in c for c in found["cautions"])
    # Both rows are there in their own words.
    assert sum(c.startswith(("Do not heat", "Do not fit a")) for c in sleeved["cautions"]) == 2


def test_the_cautions_of_a_whole_hub_can_be_read() -> None:
    found = card((DEMO / "winch.toml").read_text(encoding="utf-8"))["cautions"]
    assert len(found) <= 20
    for words in ("own manual", "lock and chock", "steel hammer", "orque wrench", "flame"):
        assert sum(words in caution for caution in found) == 1
    assert found[0].startswith("The machine's own manual")
    assert found[1].startswith("Block and chock")


# --- readings to take again ----------------------------------------------------------------------


@pytest.mark.parametrize(
    "bore", ['"52.02"', '["52.02", "52.03"]', '"52.045@bore-gauge"', '"2.05in"']
)
@pytest.mark.parametrize("width", ['old_width = "7"\n', ""])
def test_a_coarse_bore_is_asked_for_once(bore: str, width: str) -> None:
    found = card(f'[[seal]]\nname = "a"\nshaft = "34.95@micrometer"\nbore = {bore}\n{width}')
    position = found["positions"][0]
    coarse = any(
        check["what"] == "seal bore" and check["read_again"]
        for check in position["answer"]["checks"]
    )
    asked = [e for e in found["read_again"] if e["reading"] == "bore"]
    assert len(asked) == (1 if coarse else len(asked)) <= 1
    if coarse and "bore-gauge" not in bore:
        assert asked[0]["instrument"] == "bore-gauge"
    if any("too coarse" in reason and "bore" in reason for reason in position["reasons"]):
        assert coarse


# --- units ---------------------------------------------------------------------------------------


def test_oil_in_inches_with_the_shaft_of_a_metric_seal() -> None:
    seal = '[[seal]]\nname = "s"\nunit = "mm"\nshaft = "34.95"\nbore = "52.02"\nold_width = "7"\n'
    found = card('[job]\nunit = "in"\n' + seal + '[oil]\ndiameter = "5"\nlength = "6"\n')
    oil = named(found, "oil")["answer"]
    # A cylinder of 127 mm by 152.4 mm, half full.
    assert oil["cavity_l"] == pytest.approx(1.9305, abs=1e-3)
    assert oil["volume_l"] == pytest.approx(0.9653, abs=1e-3)
    assert "on a shaft of 35 mm" in " ".join(oil["reasons"])


def test_an_inch_sheet_has_its_settings_in_inches_too() -> None:
    shims = (
        '[[shims]]\nname = "cap"\nmethod = "free-gap"\nmeasured = "0.024@feeler"\n'
        'position = "cap"\nuse = "planetary-hub"\ncondition = "new"\nhave = "0.010x4"\n'
    )
    found = card('[job]\nunit = "in"\n' + shims)
    setting = found["settings"][0]["setting"]
    assert "2 x 0.0100 in (0.254 mm): 0.0200 in (0.508 mm)" in setting
    assert found["parts"][0]["size"] == "0.0100 in (0.254 mm)"
    metric = card(shims.replace("0.024", "0.61").replace("0.010x4", "0.254x4"))
    assert " in (" not in metric["settings"][0]["setting"]


def test_a_bushing_in_an_inch_sheet_has_its_bore_in_inches() -> None:
    found = card(
        '[job]\nunit = "in"\n[[press]]\nname = "bush"\nuse = "bushing"\ninterface = "2"\n'
        'outer = "3"\ninner = "1.75"\nlength = "1.5"\ninterference = "0.002"\n'
    )
    (bore,) = [e["setting"] for e in found["settings"] if "bore after" in e["setting"]]
    assert " in (" in bore


def test_readings_of_a_setting_are_averaged_and_take_the_instrument_of_the_sheet() -> None:
    text = (
        '[job]\ninstrument = "micrometer"\n'
        '[[press]]\nname = "bushing"\nuse = "bushing"\ninterface = [60.01, "59.99"]\nouter = 90\n'
        "inner = 34\npin = 33.95\nlength = 30\ninterference = 0.02\n"
        "[oil]\ndiameter = [199.995, 200.005]\nlength = 100\nshaft = 60\n"
    )
    press, oil = job_card(parse_sheet(text))["positions"]
    assert press["verdict"] == "go"
    assert press["answer"]["interference_mm"] == 0.02
    assert any("interface: 2 readings, 60 mm" in reason for reason in press["reasons"])
    assert oil["answer"]["cavity_l"] == pytest.approx(3.1416, abs=1e-4)


@pytest.mark.parametrize("table", ["[closing]\n", "[closing]\ncotter_through = 35\n"])
def test_a_closing_that_can_not_be_answered_is_no_go_ahead(table: str) -> None:
    (closing,) = job_card(parse_sheet(table))["positions"]
    assert closing["verdict"] == "check"
    assert closing["answer"] is None
    assert closing["reasons"][0].startswith("not answered: ")


CAP = (
    '[[shims]]\nname = "{name}"\nmethod = "end-play"\nmeasured = "0.30@{tool}"\n'
    'target = "0.04..0.08mm"\nposition = "cap"\nfitted = "0.20x3,0.10x2"\n'
)


def shim_parts(found: dict[str, Any]) -> list[tuple[str, str, int, bool, bool]]:
    """The shims on the parts list."""
    keys = ("what", "size", "quantity", "order", "on_shelf")
    return [tuple(p[k] for k in keys) for p in found["parts"] if p["what"].startswith("shim")]


def test_a_shim_that_is_lacking_is_on_the_parts_list() -> None:
    found = card(CAP.format(name="cap", tool="indicator"))
    assert found["verdict"] == "check"
    assert shim_parts(found) == [("shim to buy", "0.25 mm", 1, True, False)]
    # A tape may send for the wrong one.
    tape = card(CAP.format(name="cap", tool="tape"))
    assert shim_parts(tape) == [("shim to buy", "0.25 mm", 1, False, False)]
    assert [entry["instrument"] for entry in tape["read_again"]] == ["indicator"]


def test_a_shim_on_the_shelf_is_taken_once() -> None:
    both = CAP.format(name="one", tool="indicator") + CAP.format(name="two", tool="indicator")
    found = card(both + '[shelf]\nshims = ["0.05x1"]\n')
    assert ("shim", "0.05 mm", 1, True, True) in shim_parts(found)
    assert [p["verdict"] for p in found["positions"]] == ["go", "check"]
    enough = card(both + '[shelf]\nshims = ["0.05=0.051x2"]\n')
    assert [p["verdict"] for p in enough["positions"]] == ["go", "go"]


def test_a_shim_to_add_needs_no_old_pack() -> None:
    found = card(
        '[[shims]]\nname = "cap"\nmethod = "end-play"\nmeasured = "0.01"\n'
        'target = "0.04..0.08"\nposition = "cap"\nhave = "0.05x4"\n'
    )
    assert found["settings"][0]["setting"] == "shims 1 x 0.05 mm: 0.05 mm"


def test_a_nut_set_wheel_leaves_the_shims_on_the_shelf() -> None:
    found = card(
        '[[shims]]\nname = "wheel"\nmethod = "end-play"\nmeasured = "0.08"\n'
        'use = "trailer-wheel"\n[shelf]\nshims = ["0.05x4"]\n'
    )
    assert found["verdict"] == "go"
    # What holds is not set anew.
    assert not any("Back the nut off" in step for step in steps(found))
    assert shim_parts(found) == []


def test_a_fill_that_is_no_go_is_not_a_setting_to_make() -> None:
    found = card('[oil]\nvolume = "4l"\nfill = "0.7"\nshaft = "80"\n')
    setting = found["settings"][0]["setting"]
    assert setting.startswith("fill to 50 % of the cavity, 2.00 l")
    assert setting.endswith("not to 70 %")


# --- nothing is guessed, nothing is bought too early ----------------------------------------------


WORN = """
[[seal]]
name = "one"
shaft = ["89.98@micrometer", "89.97@micrometer"]
track = ["89.60@micrometer", "89.62@micrometer"]
bore = ["120.03@bore-gauge", "120.05@bore-gauge"]
old_width = "12.1"
bare_shaft = true
"""


def test_a_seal_is_ordered_with_its_material() -> None:
    seat = 'old_width = "7"\nrpm = "300rpm"\npressure = "0bar"\n'
    hot = card(SEAL.format(name="a", more=f'{seat}oil = "EP gear oil"\noil_temp = "125C"\n'))
    (part,) = hot["parts"]
    assert (part["material"], part["order"]) == ("of HNBR, FKM or PTFE", True)
    assert "35 x 52 x 7, of HNBR, FKM or PTFE, for a" in " ".join(card_text(hot).split())
    # Where no material is sure yet the size alone is no order.
    unsure = card(SEAL.format(name="a", more=seat))
    (part,) = unsure["parts"]
    assert (part["order"], unsure["verdict"]) == (False, "check")


def test_one_size_with_another_lip_is_another_line() -> None:
    seat = 'old_width = "7"\nrpm = "300rpm"\npressure = "0bar"\noil = "EP gear oil"\n'
    found = card(
        SEAL.format(name="hot", more=f'{seat}oil_temp = "125C"\n')
        + SEAL.format(name="cool", more=f'{seat}oil_temp = "50C"\n')
    )
    assert [part["for"] for part in found["parts"]] == [["hot"], ["cool"]]


def test_seals_of_no_listed_size_are_lines_of_their_own() -> None:
    odd = '[[seal]]\nname = "{name}"\nshaft = "{shaft}@micrometer"\nbore = "127.4@bore-gauge"\n'
    found = card(odd.format(name="one", shaft="99.96") + odd.format(name="two", shaft="98.7"))
    assert [(p["quantity"], "shaft 9" in p["size"]) for p in found["parts"]] == [(1, True)] * 2


def test_a_sleeve_with_its_edge_on_the_chamfer_is_not_ordered() -> None:
    at_end = WORN + 'groove_width = "2"\nlip_at = "4"\n'
    assert "thin sleeve" in {part["what"] for part in card(at_end)["parts"]}
    on_chamfer = card(at_end + 'shaft_end = "85.5"\n')
    assert "thin sleeve" not in {part["what"] for part in on_chamfer["parts"]}


def test_nothing_of_a_seal_that_does_not_go_there_is_ordered() -> None:
    good = card(WORN)
    assert {part["what"] for part in good["parts"] if part["order"]} == {
        "lip seal",
        "thin sleeve",
        "metal-filled epoxy",
    }
    proud = card(f'{WORN}pocket = "6"\n')
    assert proud["positions"][0]["verdict"] == "no-go"
    # What its work takes stands on the list all the same, as settled first.
    assert [(part["what"], part["order"]) for part in proud["parts"]] == [
        ("lip seal", False),
        ("thin sleeve", False),
        ("metal-filled epoxy", False),
    ]
    pressed = card(f'{WORN}rpm = "100rpm"\npressure = "3bar"\n')
    assert pressed["positions"][0]["answer"]["duty"]["verdict"] == "no-go"
    assert not any(part["order"] for part in pressed["parts"])


def test_what_waits_does_not_hold_up_the_same_part_elsewhere() -> None:
    other = WORN.replace('"one"', '"two"') + 'rpm = "100rpm"\npressure = "3bar"\n'
    found = [p for p in card(WORN + other)["parts"] if p["what"] == "lip seal"]
    assert [(p["for"], p["quantity"], p["order"]) for p in found] == [
        (["one"], 1, True),
        (["two"], 1, False),
    ]


def test_a_doubtful_reading_is_to_be_taken_again_and_no_caution() -> None:
    found = card(f'{WORN}groove_depth = "0.37@depth-gauge"\n')
    again = {entry["reading"]: entry["reason"] for entry in found["read_again"]}
    assert "whole difference" in again["groove-depth"]
    assert not any("whole difference" in caution for caution in found["cautions"])
    drag = card(
        '[[shims]]\nname = "hub"\nmethod = "drag"\npull = "200N"\nradius = "200mm"\n'
        'target = "20..25N.m"\nposition = "cap"\n'
    )
    (entry,) = drag["read_again"]
    assert (entry["for"], entry["reading"]) == ("hub", "radius")


SHIMMED = """
[job]
unit = "mm"
[[shims]]
name = "caps"
quantity = {quantity}
method = "free-gap"
measured = "0.52@feeler"
position = "cap"
use = "planetary-hub"
condition = "new"
{more}
"""


@pytest.mark.parametrize(
    "where", ['have = "0.20x2, 0.10x9"', '[shelf]\nshims = ["0.20x2, 0.10x9"]']
)
def test_several_packs_share_the_shims_that_there_are(where: str) -> None:
    one, two, three = (card(SHIMMED.format(quantity=n, more=where)) for n in (1, 2, 3))

    def taken(found: dict[str, Any]) -> dict[str, int]:
        return {part["size"]: part["quantity"] for part in found["parts"]}

    assert taken(one) == {"0.2 mm": 2}
    # One of 0.2 mm each, and two of 0.1 mm.
    assert taken(two) == {"0.2 mm": 2, "0.1 mm": 4}
    # There are two of 0.2 mm for three, and three of 0.1 mm each do not reach.
    assert not any(p["on_shelf"] for p in three["parts"] if p["size"] == "0.2 mm")
    assert any("equal share" in reason for reason in two["positions"][0]["reasons"])


def test_what_was_taken_is_said_with_its_position() -> None:
    found = card(
        f'{WORN}[[press]]\nname = "ring"\ninterface = "60"\nouter = "90"\nlength = "25"\n'
        'fit = "H7/r6"\nouter_material = "steel"\ncondition = "dry"\n'
        '[oil]\nvolume = "4l"\n'
    )
    said = {(entry["for"], entry["assumption"]) for entry in found["assumptions"]}
    assert said == {
        ("ring", "the material of the inner part was not given: steel is taken"),
        (
            "ring",
            "no bore of the inner part was given: it is taken as solid; a hollow one holds less",
        ),
        ("ring", "no room temperature was given: 20 C is taken"),
        ("one", "pressure was not given: that of the head-space, 0.26 bar, is taken"),
        ("oil", "no fill was given: the usual 50 % is taken"),
        ("oil", "the temperature when it is filled was not given: 20 C is taken"),
        ("oil", "the temperature at work was not given: 80 C is taken"),
        (
            "oil",
            "no speed was given: one up to 1000 rpm and 2.8 m/s is taken; a faster lip holds less",
        ),
        ("oil", "the shaft was not given: 90.483 mm, that of one, with its sleeve, is taken"),
    }
    for entry in found["assumptions"]:
        assert entry["assumption"] in named(found, entry["for"])["reasons"]


def test_a_collar_of_unknown_steel_that_would_yield_waits_for_its_material() -> None:
    found = card(
        '[[press]]\nname = "ring"\nuse = "collar"\ninterface = "60"\nouter = "90"\n'
        'length = "25"\ninterference = "0.15"\n'
    )
    position = named(found, "ring")
    assert position["verdict"] == "check"
    assert position["work"] == []
    assert found["settings"] == []
    assert [entry["reading"] for entry in found["read_again"]] == ["material of the collar"]


@pytest.mark.parametrize(
    ("job", "more", "refused"),
    [
        ('unit = "in"\ntemperature = "140"', "", "[job] temperature 140"),
        ('unit = "in"', 'oil_temp = "140"\n', "oil_temp 140"),
        ('unit = "mm"', 'oil_temp = "180"\n', "oil_temp 180"),
        ('temperature = "180"', "", "[job] temperature 180"),
        ('unit = "mm"', 'unit = "in"\noil_temp = "140"\n', "oil_temp 140"),
        ('unit = "in"\npressure = "5"', "", "[job] pressure 5"),
    ],
)
def test_a_bare_temperature_or_pressure_that_may_be_either_is_asked(
    job: str, more: str, refused: str
) -> None:
    seal = '[[seal]]\nname = "one"\nshaft = "89.98mm"\nbore = "120.03mm"\nold_width = "12.1mm"\n'
    (position,) = card(f"[job]\n{job}\n{seal}{more}")["positions"]
    assert position["answer"] is None
    assert refused in position["reasons"][0]
    assert "can be read as" in position["reasons"][0]


def test_the_jobs_temperature_is_in_the_unit_of_the_job() -> None:
    seal = '[[seal]]\nname = "one"\nunit = "in"\nshaft = "1.3750"\nbore = "2.125"\n'
    (position,) = card(f'[job]\ntemperature = "70"\nspeed = "100rpm"\n{seal}')["positions"]
    assert position["answer"]["duty"]["oil_temp_c"] == 70.0


def test_a_bushing_that_binds_has_its_reaming_among_the_work() -> None:
    sheet = (
        '[[press]]\nname = "b"\nuse = "bushing"\ninterface = "40"\nouter = "80"\n'
        'inner = "{inner}@bore-gauge"\nlength = "30"\ninterference = "0.03"\n'
        'pin = "33.97@micrometer"\n'
    )
    tight = card(sheet.format(inner="34"))
    assert "ream or hone it to 34.004 mm" in tight["positions"][0]["work"][1]
    assert len(card(sheet.format(inner="34.04"))["positions"][0]["work"]) == 1


def test_a_card_speaks_of_keys_and_not_of_options() -> None:
    found = card(
        '[[press]]\nname = "a"\nuse = "collar"\ninterface = "60"\nouter = "90"\n'
        'length = "25"\ninterference = "0.15"\n'
        '[[shims]]\nname = "b"\nmethod = "free-gap"\nmeasured = "0.5@feeler"\nposition = "cap"\n'
        '[oil]\nvolume = "4l"\nfill = "0.8"\n'
    )
    said = [reason for position in found["positions"] for reason in position["reasons"]]
    said += [entry["reason"] for entry in found["read_again"]]
    assert any("outer_material" in line for line in said)
    assert any("give have" in line for line in said)
    assert not any("--" in line for line in said)
