"""Press fits and shimmed settings on the job card: heat of the job, parts, contradictions."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.job.card import job_card
from fitcheck.job.sheet import parse_sheet
from fitcheck.report.card_text import card_text
from fitcheck.report.card_workbook import part_place
from fitcheck.report.inch_text import in_inches

CUP = (
    '[[press]]\nname = "cup"\nuse = "cup"\ninterface = "110"\nouter = "150"\ninner = "96"\n'
    'length = "24"\ninterference = "0.04"\nouter_material = "cast-aluminium"\n'
)
COLLAR = (
    '[[press]]\nname = "collar"\nuse = "collar"\ninterface = "60"\nouter = "90"\nlength = "20"\n'
)
PLAY = (
    '[[shims]]\nname = "{name}"\nmethod = "end-play"\nmeasured = "0.24@indicator"\n'
    'position = "{place}"\ntarget = "0.03..0.10mm"\nfitted = "0.50x1,0.20x2,0.10x2"\n'
)
GAP = (
    '[[shims]]\nname = "end cap"\nmethod = "free-gap"\nmeasured = "0.85@feeler"\n'
    'position = "cap"\nhave = "0.75x1"\n'
)


def only(text: str, *, job: str = "") -> dict[str, Any]:
    """The card of a sheet with one position, and that position."""
    card = job_card(parse_sheet(f"[job]\n{job}\n{text}"))
    return {**card["positions"][0], "card": card}


def said(found: dict[str, Any], words: str) -> bool:
    return any(words in reason for reason in found["reasons"])


def test_the_heat_of_the_job_counts_for_a_press_fit() -> None:
    found = only(CUP, job='temperature = "80C"')
    assert found["verdict"] == "no-go"
    assert said(found, "in service nothing holds")
    assert said(found, "that of the job, 80 C, is taken")
    assert found["settings"] == []
    own = only(f'{CUP}service_temp = "30C"\n', job='temperature = "80C"')
    assert own["verdict"] == "go"
    assert not said(own, "that of the job")


def test_without_any_heat_nothing_is_said_to_hold_in_service() -> None:
    found = only(CUP)
    assert found["verdict"] == "check"
    assert not any("in service" in entry["setting"] for entry in found["settings"])
    assert any("cold, as fitted" in entry["setting"] for entry in found["settings"])
    alike = only(f'{COLLAR}interference = "0.03"\n')
    assert any("in service" in entry["setting"] for entry in alike["settings"])


def test_a_part_that_a_drawing_gives_is_ordered_and_a_measured_one_lies_there() -> None:
    (got,) = only(f'{COLLAR}fit = "H7/s6"\nquantity = 2\nheat_cap = "200C"\n')["parts"]
    assert (got["what"], got["quantity"], got["order"], got["on_shelf"]) == (
        *("collar", 2, True, False),
    )
    assert got["size"] == "bore 60 mm H7, outside 90 mm, 20 mm long"
    read = f'{COLLAR}interference = "0.03mm@micrometer"\nheat_cap = "200C"\n'
    faces = 'measured_hole = "60.00@bore-gauge"\nmeasured_shaft = "60.03@micrometer"\n'
    for measured in (read, f'{COLLAR}interference = "0.03"\n{faces}'):
        card = only(measured)["card"]
        (there,) = card["parts"]
        assert (there["order"], there["on_shelf"], there["on_bench"]) == (False, True, True)
        assert part_place(there) == "as measured, on the bench"
        assert "[as measured, on the bench] 1 x collar" in card_text(card)
        assert "[on shelf]" not in card_text(card)
    # A bare figure is one from a drawing; nobody measured a part.
    (bare,) = only(f'{COLLAR}interference = "0.03"\n')["parts"]
    assert (bare["order"], bare["on_shelf"], bare["on_bench"]) == (True, False, False)
    assert bare["size"].endswith("20 mm long, for 0.03 mm of interference")
    # The axle was measured, and the collar is still to be got.
    axle = only(f'{COLLAR}interference = "0.03"\nmeasured_shaft = "60.03@micrometer"\n')
    assert [part["order"] for part in axle["parts"]] == [True]
    (waits,) = only(f'{COLLAR}fit = "H7/k6"\n')["parts"]
    assert (waits["order"], waits["on_shelf"]) == (False, False)
    assert only(CUP)["parts"] == []


def test_a_bushing_is_listed_by_its_bore_and_the_class_of_its_outside() -> None:
    bushing = (
        '[[press]]\nname = "bush"\nuse = "bushing"\ninterface = "50"\nouter = "90"\n'
        'inner = "42.05@bore-gauge"\nlength = "40"\nfit = "H7/r6"\n'
    )
    (part,) = only(bushing)["parts"]
    assert part["what"] == "bushing"
    assert part["size"] == "bore 42.05 mm, outside 50 mm r6, 40 mm long"


@pytest.mark.parametrize("inches", [False, True])
def test_work_and_setting_give_one_force(inches: bool) -> None:
    found = only(f'{COLLAR}fit = "H7/p6"\n')
    found = in_inches(found) if inches else found
    (force,) = [e["setting"] for e in found["settings"] if "press force" in e["setting"]]
    assert force.removeprefix("press force at most ") in " ".join(found["work"])


HOT = 'span = "120"\nhousing = "light-alloy"\n'


def test_the_heat_of_the_job_counts_for_a_setting_in_a_housing() -> None:
    play = PLAY.format(name="cap", place="cap")
    found = only(play + HOT, job='temperature = "80C"')
    assert found["answer"]["end_play_growth_mm"] == pytest.approx(0.0706, abs=1e-3)
    assert found["verdict"] == "check"
    assert said(found, "that of the job, 80 C, is taken")
    assert only(play, job='temperature = "80C"')["verdict"] == "go"
    open_ = only(f'{play}housing = "light-alloy"\n', job='temperature = "80C"')
    assert open_["verdict"] == "check"
    assert open_["read_again"][0]["reading"] == "span"
    assert only(f'{play}housing = "steel"\n', job='temperature = "80C"')["verdict"] == "go"


def test_end_play_and_preload_under_one_cap_contradict() -> None:
    card = job_card(parse_sheet(GAP + PLAY.format(name="hub play", place="cap")))
    gap, play = card["positions"]
    assert (gap["verdict"], play["verdict"]) == ("check", "check")
    assert said(gap, "hub play sits under a cap that holds the cup too and sets end play")
    assert said(play, "end cap sits under a cap that holds the cup too and sets preload")
    apart = job_card(parse_sheet(GAP + PLAY.format(name="hub play", place="retainer")))
    assert [position["verdict"] for position in apart["positions"]] == ["go", "go"]
    alike = PLAY.format(name="left", place="cap") + PLAY.format(name="right", place="cap")
    assert not any(said(p, "too and sets") for p in job_card(parse_sheet(alike))["positions"])


SEAL = (
    '[[seal]]\nname = "{name}"\nbare_shaft = true\nshaft = "{shaft}@micrometer"\n'
    'bore = ["{bore}@bore-gauge", "{bore}@bore-gauge"]\nold_width = "{width}"\n{more}'
)
GEAR_OIL = 'oil = "gear oil"\nspeed = "60rpm"\ntemperature = "80C"\n'


def lip(oil: str, *, shaft: str = "94.96", more: str = "", job: str = GEAR_OIL) -> dict[str, Any]:
    """A seal of 95 x 120 x 12, or of another shaft, with the oil of its hub."""
    size = {"94.96": ("120.02", "12"), "44.96": ("62.02", "8")}[shaft]
    seal = SEAL.format(name="lip", shaft=shaft, bore=size[0], width=size[1], more=more)
    return only(f"{seal}{oil}", job=job)


@pytest.mark.parametrize(
    ("oil", "pressure", "verdict"),
    [
        ('[oil]\nvolume = "3l"\nfrom_temp = "20C"\n', 0.2609, "go"),
        ('[oil]\nvolume = "3l"\nfrom_temp = "20C"\nfill = "70%"\n', 0.3400, "no-go"),
        ('[oil]\nvolume = "3l"\nvented = true\n', 0.0, "go"),
        ("", None, "check"),
        ('[oil]\nvolume = "3l"\nfill = "upside down"\n', None, "check"),
        # Filled to the brim there is no head-space that could have a pressure.
        ('[oil]\nvolume = "3l"\nfill = "100%"\n', None, "check"),
    ],
    ids=["half", "seventy", "vented", "none", "unreadable", "full"],
)
def test_the_head_space_of_the_oil_reaches_the_lips(
    oil: str, pressure: float | None, verdict: str
) -> None:
    duty = lip(oil)["answer"]["duty"]["pressure"]
    assert duty["verdict"] == verdict
    assert duty["pressure_bar"] == (None if pressure is None else pytest.approx(pressure, abs=1e-4))


@pytest.mark.parametrize(
    ("fill", "why"),
    [
        ("upside down", "the oil can't be answered (fill upside down: "),
        ("100%", "the oil leaves no head-space"),
    ],
    ids=["unreadable", "full"],
)
def test_a_head_space_that_is_not_taken_is_said_at_the_lip(fill: str, why: str) -> None:
    found = lip(f'[oil]\nvolume = "3l"\nfill = "{fill}"\n')
    start = "pressure was not given, and that of the head-space was not taken: "
    assert said(found, start + why)
    assert not found["assumptions"]
    assert not said(lip(f'[oil]\nvolume = "3l"\nfill = "{fill}"\n', job=PRESSED), start)


PRESSED = f'{GEAR_OIL}pressure = "0bar"\n'


def test_a_pressure_that_was_given_goes_before_that_of_the_head_space() -> None:
    oil = '[oil]\nvolume = "3l"\nfrom_temp = "20C"\n'
    own = lip(oil, more='pressure = "0.1bar"\n')
    assert own["answer"]["duty"]["pressure"]["pressure_bar"] == 0.1
    job = lip(oil, job=f'{GEAR_OIL}pressure = "0bar"\n')
    assert job["answer"]["duty"]["pressure"]["pressure_bar"] == 0.0
    assert not job["assumptions"]
    (taken,) = lip(oil)["assumptions"]
    assert taken == "pressure was not given: that of the head-space, 0.26 bar, is taken"
    assert said(lip(oil), taken)


def test_half_full_passes_where_seventy_per_cent_does_not_for_seal_and_oil_alike() -> None:
    for fill, shaft, verdict in (
        ("50%", "94.96", "go"),
        ("70%", "94.96", "no-go"),
        ("70%", "44.96", "go"),
        ("90%", "44.96", "no-go"),
    ):
        found = lip(f'[oil]\nvolume = "3l"\nfrom_temp = "20C"\nfill = "{fill}"\n', shaft=shaft)
        (oil,) = [p for p in found["card"]["positions"] if p["kind"] == "oil"]
        assert found["answer"]["duty"]["pressure"]["verdict"] == verdict, (fill, shaft)
        # The usual fill is a matter of the oil alone.
        assert (oil["verdict"] == "no-go") == (verdict == "no-go")


def test_the_material_of_a_housing_that_nobody_gave_is_said() -> None:
    bearing = (
        '[[bearing]]\nname = "inner"\nmark = "30208"\nbore = "40"\nod = "80"\n{}turning = "hub"\n'
    )
    housing = 'housing = ["79.97@bore-gauge", "79.972@bore-gauge"]\n'
    found = only(bearing.format(housing))
    assert found["assumptions"] == ["the material of the housing was not given: steel is taken"]
    named = only(bearing.format(f'{housing}housing_material = "steel"\n'))
    assert named["assumptions"] == only(bearing.format(""))["assumptions"] == []


@pytest.mark.parametrize(
    ("part", "places"),
    [
        (
            '[[bearing]]\nname = "it"\nmark = "30208"\nbore = "40"\nod = "80"\nturning = "hub"\n'
            'journal = "39.90@micrometer"\nhousing = ["80.12@bore-gauge", "80.11@bore-gauge"]\n',
            {
                "part with the worn journal": "as the machine's manual lists it",
                "bush for the worn housing": "inside 80 mm N7, outside by how far it is bored out",
            },
        ),
        (
            SEAL.format(name="it", shaft="34.96", bore="52.31", width="7", more=""),
            {"bush for the worn seal bore": "inside 52 mm, outside by how far"},
        ),
        (
            '[[bushing]]\nname = "it"\nshaft = "19.97@micrometer"\nlength = "19.9"\n'
            'housing = ["26.112@bore-gauge", "26.114@bore-gauge"]\n',
            {"bush for the worn housing": "inside 26 mm, outside by how far"},
        ),
    ],
    ids=["bearing", "seal", "bushing"],
)
def test_a_worn_seat_lists_what_mends_it_to_be_settled(part: str, places: dict[str, str]) -> None:
    card = only(part)["card"]
    mends = {p["what"]: p for p in card["parts"] if "worn" in p["what"]}
    assert set(mends) == set(places)
    for what, size in places.items():
        assert size in mends[what]["size"]
        assert (mends[what]["order"], mends[what]["for"]) == (False, ["it"])


def test_a_pack_from_a_doubtful_gap_is_no_step_yet() -> None:
    crooked = GAP.replace('"0.85@feeler"', '["0.80@feeler", "0.92@feeler"]')
    found = only(crooked)
    (step,) = [step for step in found["work"] if "the pack" in step]
    assert step.startswith("Only after the gap is measured again: fit the pack, 1 x 0.75 mm")
    assert "only after the gap is measured again" in found["settings"][0]["setting"]
    assert found["read_again"][0]["reading"] == "gap"
    (sound,) = [step for step in only(GAP)["work"] if "the pack" in step]
    assert sound.startswith("Fit the pack, 1 x 0.75 mm")
    tape = only(GAP.replace("@feeler", "@tape"))
    assert "only after the gap is measured again" in tape["settings"][0]["setting"]


def test_a_pack_from_one_that_does_not_add_up_is_no_step_yet() -> None:
    old = 'pack_measured = "1.30@micrometer"\n'
    found = only(PLAY.format(name="set", place="cap") + old)
    assert "only after each shim of the pack is measured" in found["settings"][0]["setting"]


LIGHT = (
    '[[bearing]]\nname = "inner"\nmark = "32016X"\nbore = "80"\nod = "125"\nwidth = "29"\n'
    'housing = ["{read}@bore-gauge", "{read}@bore-gauge", "{read}@bore-gauge"]\n'
    'housing_material = "{material}"\n'
)


@pytest.mark.parametrize(
    ("read", "job", "material", "verdict", "words"),
    [
        (
            "124.92",
            'turning = "hub"\ntemperature = "80C"',
            "light-alloy",
            "check",
            "clearance is left",
        ),
        ("124.92", 'turning = "hub"\ntemperature = "60C"', "light-alloy", "go", "tight are left"),
        ("124.92", 'turning = "hub"', "light-alloy", "check", "as nobody gave it"),
        ("124.92", 'turning = "hub"\ntemperature = "140C"', "light-alloy", "check", "no cup is"),
        ("125.00", 'turning = "shaft"\ntemperature = "80C"', "light-alloy", None, ""),
        ("124.98", 'turning = "hub"\ntemperature = "80C"', "steel", None, ""),
    ],
    ids=["loose", "left", "taken", "none", "standing", "steel"],
)
def test_a_light_alloy_hub_lets_go_of_its_cup_when_it_warms(
    read: str, job: str, material: str, verdict: str | None, words: str
) -> None:
    found = only(LIGHT.format(read=read, material=material), job=job)
    assert said(found, "a light-alloy hub takes") == bool(words)
    if words:
        assert (found["verdict"], said(found, words)) == (verdict, True)


def test_a_pack_whose_range_the_heat_leaves_is_no_step_yet() -> None:
    found = only(PLAY.format(name="cap", place="cap") + HOT, job='temperature = "80C"')
    (step,) = [step for step in found["work"] if "the pack" in step]
    assert step.startswith("Only after it is asked whether the range is meant cold or warm: fit")


@pytest.mark.parametrize(
    ("pull", "place", "step"),
    [
        ("200N", "", "Loosen the nut in small steps, turn it both ways"),
        ("40N", "", "Tighten the nut in small steps"),
        ("200N", "cap", "Add the thinnest shim there is"),
        ("200N", "behind-cup", "Remove the thinnest shim there is"),
        ("100N", "cap", ""),
    ],
    ids=["loosen", "tighten", "add", "remove", "stays"],
)
def test_a_drag_outside_its_range_is_work(pull: str, place: str, step: str) -> None:
    found = only(
        f'[[shims]]\nname = "hub"\nmethod = "drag"\npull = "{pull}"\nradius = "200mm"\n'
        f'target = "15..25N.m"\nposition = "{place}"\n'
    )
    assert len(found["work"]) == bool(step)
    assert all(line.startswith(step) for line in found["work"])


def test_a_bush_for_an_inch_hub_names_no_class() -> None:
    card = only(
        '[[bearing]]\nname = "it"\nmark = ["HM218248", "HM218210"]\nturning = "hub"\n'
        'housing = ["5.7980in@bore-gauge", "5.7978in@bore-gauge"]\n'
    )["card"]
    (bush,) = [p for p in card["parts"] if p["what"] == "bush for the worn housing"]
    assert bush["size"].startswith("inside 146.975 mm, outside by how far it is bored out")


def test_nothing_is_pressed_before_faces_that_disagree_are_measured_again() -> None:
    loose = 'measured_hole = "60.03@bore-gauge"\nmeasured_shaft = "60.00@micrometer"\n'
    found = only(f'{COLLAR}interference = "0.03"\n{loose}')
    assert found["verdict"] == "check"
    assert found["settings"] == []
    assert found["work"] == [
        "Only after the hole and the shaft are measured again: fit it, as a new card then says"
    ]
    agree = only(f'{COLLAR}interference = "0.03"\n{loose.replace("60.03", "59.97")}')
    assert any("press cold with up to" in step for step in agree["work"])
    assert len(agree["settings"]) == 2


DRAG = (
    '[[shims]]\nname = "hub"\nmethod = "drag"\npull = "200N"\nradius = "200mm"\n'
    'target = "15..25N.m"\nposition = "cap"\nfitted = "0.50x1,0.20x2"\n'
)


def test_the_shim_that_a_drag_adds_stands_among_the_parts() -> None:
    found = only(f'{DRAG}quantity = 2\nhave = ["0.20x4,0.10x4"]\n')
    assert found["work"] == [
        "Add the thinnest shim there is, 0.1 mm, turn it both ways, and read the running torque "
        "again"
    ]
    (shim,) = found["parts"]
    assert (shim["what"], shim["size"], shim["quantity"]) == ("shim", "0.1 mm", 2)
    assert (shim["order"], shim["on_shelf"]) == (False, True)
    (open_,) = only(DRAG)["parts"]
    assert (open_["order"], open_["on_shelf"]) == (False, False)
    assert "the thinnest there is" in open_["size"]
    taken = only(DRAG.replace("200N", "40N"))
    assert (taken["parts"], "0.2 mm" in taken["work"][0]) == ([], True)


def test_a_shim_that_a_drag_adds_is_gone_for_the_next_setting() -> None:
    lead = (
        '[[shims]]\nname = "next"\nmethod = "lead"\nmeasured = "0.11@micrometer"\n'
        'position = "retainer"\n'
    )
    shelf = '[shelf]\nshims = ["0.10x1,0.20x1"]\n'
    _, after = job_card(parse_sheet(f"{DRAG}{lead}{shelf}"))["positions"]
    assert after["answer"]["buy"] == [{"thickness_mm": 0.1, "count": 1}]


def test_a_nut_that_holds_has_no_steps_to_set_it() -> None:
    wheel = (
        '[[shims]]\nname = "hub"\nmethod = "end-play"\nuse = "trailer-wheel"\n'
        'measured = "{}@indicator"\n'
    )
    held = only(wheel.format("0.05"))
    assert (held["verdict"], held["work"]) == ("go", [])
    assert "once the nut is locked" in held["settings"][0]["setting"]
    assert any("Back the nut off" in step for step in only(wheel.format("0.30"))["work"])
