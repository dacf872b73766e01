"""`scripts/check_data`: the shipped tables pass, and every kind of fault is found and placed."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
SCRIPT = ROOT / "scripts" / "check_data"
PROVENANCE = [
    {"name": "source", "type": "string", "constraints": {"required": True}},
    {
        "name": "evidence",
        "type": "string",
        "constraints": {"required": True, "enum": ["seen", "memory", "invented"]},
    },
]


def check(data: Path) -> tuple[int, str, str]:
    """Run the script over a data folder: (exit status, stdout, stderr)."""
    done = subprocess.run(
        [sys.executable, str(SCRIPT), str(data)], capture_output=True, text=True, check=False
    )
    return done.returncode, done.stdout, done.stderr


def field(name: str, kind: str = "number", **constraints: Any) -> dict[str, Any]:
    """A field of a descriptor."""
    return {"name": name, "type": kind, "constraints": constraints}


class Folder:
    """A subject's folder with one table, to be spoilt in one way at a time."""

    def __init__(self, data: Path, subject: str) -> None:
        self.data = data
        self.path = data / subject
        self.path.mkdir(parents=True)
        self.descriptor: dict[str, Any] = {
            "name": subject,
            "title": "A subject",
            "sources": [{"key": "std", "title": "A standard", "edition": "1999"}],
            "resources": [
                {
                    "name": "sizes",
                    "path": "sizes.csv",
                    "title": "Sizes",
                    "usedBy": ["fitcheck"],
                    "schema": {"fields": [], "primaryKey": []},
                }
            ],
        }

    @property
    def resource(self) -> dict[str, Any]:
        """The descriptor of the table."""
        return self.descriptor["resources"][0]

    def fields(self, *fields: dict[str, Any], key: list[str]) -> None:
        """Give the table its columns; source and evidence are added."""
        self.resource["schema"] = {"fields": [*fields, *PROVENANCE], "primaryKey": key}

    def check(self, *rows: str, header: str | None = None) -> list[str]:
        """Write the files and check them; gives the faults, without the closing count."""
        names = [f["name"] for f in self.resource["schema"]["fields"]]
        lines = [header if header is not None else ",".join(names), *rows]
        self.write("\n".join(lines) + "\n")
        return self.faults()

    def write(self, text: str) -> None:
        """Write descriptor and table."""
        (self.path / "datapackage.json").write_text(json.dumps(self.descriptor), encoding="utf-8")
        (self.path / "sizes.csv").write_bytes(text.encode("utf-8"))

    def faults(self) -> list[str]:
        """The faults of the files as they are."""
        status, _, err = check(self.data)
        faults = err.splitlines()[:-1]
        assert status == (1 if faults else 0)
        return faults


@pytest.fixture
def subject(tmp_path: Path) -> Callable[[str], Folder]:
    """Make a subject's folder below a new data folder."""
    return lambda name: Folder(tmp_path / "data", name)


@pytest.fixture
def seals(subject: Callable[[str], Folder]) -> Folder:
    """A table of seals with a good descriptor."""
    folder = subject("seals")
    folder.fields(
        field("shaft_mm", required=True, minimum=1, maximum=500),
        field("bore_mm", required=True),
        field("width_mm"),
        field("system", "string", enum=["metric", "none"]),
        field("lips", "integer"),
        field("spring", "boolean"),
        field("mark", "string", pattern="[A-Z]+"),
        key=["shaft_mm", "bore_mm"],
    )
    return folder


GOOD = "35,52,7,metric,1,true,AB,std,seen"


def test_the_shipped_tables_pass() -> None:
    status, out, err = check(ROOT / "data")
    assert err == ""
    assert status == 0
    assert "seals/din3760: " in out


def test_a_good_table_gives_one_line_with_its_counts(seals: Folder) -> None:
    seals.check(GOOD, "35,55,,,,,,std,memory", "35,56,,none,,,,std,memory")
    assert check(seals.data) == (0, "seals/sizes: 3 rows, 1 seen, 2 memory\n", "")


@pytest.mark.parametrize(
    ("row", "place", "message"),
    [
        ("x,52,7,,,,,std,seen", 1, 'shaft_mm: "x" is no number'),
        ("35,+52,7,,,,,std,seen", 2, 'bore_mm: "+52" is no number'),
        ('35,"5,2",7,,,,,std,seen', 2, 'bore_mm: "5,2" is no number'),
        ("35,inf,7,,,,,std,seen", 2, 'bore_mm: "inf" is no number'),
        ("35,52, 7,,,,,std,seen", 3, 'width_mm: " 7" has spaces around it'),
        ("35,52,-,,,,,std,seen", 3, 'width_mm: "-" stands for "not given"; only a blank'),
        ("35,52,7,,,,N/A,std,seen", 7, 'mark: "N/A" stands for "not given"; only a blank'),
        ("35,52,7,inch,,,,std,seen", 4, 'system: "inch" is none of metric, none'),
        ("35,52,7,,1.0,,,std,seen", 5, 'lips: "1.0" is no integer'),
        ("35,52,7,,,yes,,std,seen", 6, 'spring: "yes" is no boolean'),
        ("35,52,7,,,,ab,std,seen", 7, 'mark: "ab" does not match [A-Z]+'),
        ("0.5,52,7,,,,,std,seen", 1, 'shaft_mm: "0.5" is below the minimum 1'),
        ("501,800,7,,,,,std,seen", 1, 'shaft_mm: "501" is above the maximum 500'),
        (",52,7,,,,,std,seen", 1, 'shaft_mm: "" is blank and the column is required'),
        ("35,52,7,,,,,,seen", 8, 'source: "" is blank and the column is required'),
        ("35,52,7,,,,,rumour,seen", 8, 'source: "rumour" is no source of the descriptor'),
        ("35,52,7,,,,,std,read", 9, 'evidence: "read" is none of seen, memory, invented'),
        ("52,35,7,,,,,std,seen", 1, 'shaft_mm: "52" must be < bore_mm, which is "35"'),
        ("35,52,70,,,,,std,seen", 3, 'width_mm: "70" is outside 2 to 40'),
        ("35,520,7,,,,,std,seen", 2, 'bore_mm: "520" is outside 38 to 110'),
    ],
)
def test_a_bad_cell_is_placed_and_named(seals: Folder, row: str, place: int, message: str) -> None:
    faults = seals.check("30,47,7,,,,,std,seen", row)
    assert any(fault.startswith(f"data/seals/sizes.csv:3:{place}: {message}") for fault in faults)


def test_a_key_given_twice_names_both_lines(seals: Folder) -> None:
    assert seals.check(GOOD, GOOD) == [
        "data/seals/sizes.csv:3:1: the key shaft_mm, bore_mm = 35, 52 is on line 2 too"
    ]


def test_a_value_that_must_be_unique_is_found_twice(seals: Folder) -> None:
    seals.resource["schema"]["fields"][6]["constraints"]["unique"] = True
    assert seals.check(GOOD, GOOD.replace("52", "53")) == [
        "data/seals/sizes.csv:3:7: the value mark = AB is on line 2 too"
    ]


def test_a_header_in_another_order_is_found(seals: Folder) -> None:
    header = "bore_mm,shaft_mm,width_mm,system,lips,spring,mark,source,evidence"
    (fault,) = seals.check(GOOD, header=header)
    assert "the header is bore_mm, shaft_mm" in fault


@pytest.mark.parametrize("row", ["35,52", "", GOOD + ","])
def test_a_line_with_other_cells_than_the_header_is_found(seals: Folder, row: str) -> None:
    (fault,) = seals.check(GOOD, row)
    assert fault.startswith("data/seals/sizes.csv:3:1: the line has ")


def test_a_table_without_rows_is_found(seals: Folder) -> None:
    assert seals.check()[0] == "data/seals/sizes.csv:1:1: has no rows"


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (lambda text: text.replace("\n", "\r\n"), "has line ends other than \\n"),
        (lambda text: text.rstrip("\n"), "does not end with a line end"),
        (lambda text: "\ufeff" + text, "starts with a byte-order mark"),
    ],
)
def test_a_file_in_another_form_is_found(
    seals: Folder, spoil: Callable[[str], str], message: str
) -> None:
    seals.check(GOOD)
    seals.write(spoil((seals.path / "sizes.csv").read_text(encoding="utf-8")))
    assert any(fault.endswith(message) for fault in seals.faults())


def test_a_file_in_another_encoding_is_found(seals: Folder) -> None:
    seals.check(GOOD)
    (seals.path / "sizes.csv").write_bytes(b"shaft_mm\n35\ncaf\xe9\n")
    assert seals.faults() == ["data/seals/sizes.csv:3:1: is not UTF-8"]


def test_a_table_that_no_descriptor_lists_is_found(seals: Folder) -> None:
    seals.check(GOOD)
    (seals.path / "spare.csv").write_text("a\n1\n", encoding="utf-8")
    assert seals.faults() == ["data/seals/spare.csv:1:1: is not listed in the descriptor"]


def test_a_folder_without_a_descriptor_is_found(seals: Folder) -> None:
    seals.check(GOOD)
    (seals.path / "datapackage.json").unlink()
    (fault,) = seals.faults()
    assert fault.startswith("data/seals/sizes.csv:1:1: has no descriptor")


def test_a_table_outside_a_folder_is_found(seals: Folder) -> None:
    seals.check(GOOD)
    (seals.data / "loose.csv").write_text("a\n1\n", encoding="utf-8")
    assert seals.faults() == ["data/loose.csv:1:1: stands outside a subject's folder"]


def test_invented_lists_need_no_descriptor(seals: Folder) -> None:
    seals.check(GOOD)
    (seals.data / "demo").mkdir()
    (seals.data / "demo" / "list.csv").write_text("anything\n", encoding="utf-8")
    assert seals.faults() == []


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda d: d.update(name="seal"), "the name is 'seal', the folder seals"),
        (lambda d: d["sources"].append({"key": "x", "title": "X"}), "no row rests on the source x"),
        (lambda d: d["sources"].append(d["sources"][0]), "the source std is listed 2 times"),
        (lambda d: d["sources"][0].update(title=""), "the source std has no title"),
        (lambda d: d["resources"].append(d["resources"][0]), "the table sizes is listed 2 times"),
        (lambda d: d["resources"][0].pop("usedBy"), "sizes: title and usedBy must be given"),
        (lambda d: d["resources"][0].update(path="size.csv"), "sizes: there is no file size.csv"),
        (
            lambda d: d["resources"][0]["schema"].update(primaryKey=["size"]),
            "sizes: primaryKey must list columns of the table",
        ),
        (
            lambda d: d["resources"][0]["schema"]["fields"].pop(),
            "sizes: the required column evidence is missing",
        ),
        (
            lambda d: d["resources"][0]["schema"]["fields"][0].update(type="float"),
            "sizes: shaft_mm has the type 'float'",
        ),
        (
            lambda d: d["resources"][0]["schema"]["fields"][0]["constraints"].update(least=1),
            "sizes: shaft_mm has least, which is not checked here",
        ),
        (
            lambda d: d["resources"][0]["schema"]["fields"].insert(0, field("bore_mm")),
            'sizes: the field name "bore_mm" is blank or given twice',
        ),
        (lambda d: d.pop("sources"), "is no descriptor: KeyError 'sources'"),
    ],
)
def test_a_bad_descriptor_is_named(
    seals: Folder, change: Callable[[dict[str, Any]], object], message: str
) -> None:
    seals.check(GOOD)
    text = (seals.path / "sizes.csv").read_text(encoding="utf-8")
    change(seals.descriptor)
    seals.write(text)
    assert f"data/seals/datapackage.json:1:1: {message}" in seals.faults()


def test_a_descriptor_that_is_no_json_is_placed(seals: Folder) -> None:
    seals.check(GOOD)
    (seals.path / "datapackage.json").write_text('{\n"name": }', encoding="utf-8")
    (fault,) = seals.faults()
    assert fault.startswith("data/seals/datapackage.json:2:1: is no descriptor")


@pytest.fixture
def steps(subject: Callable[[str], Folder]) -> Folder:
    """A table of steps, grouped by grade."""
    folder = subject("grades")
    folder.fields(
        field("grade", "string"),
        field("over_mm"),
        field("incl_mm"),
        field("lower_um"),
        field("upper_um"),
        key=["grade", "over_mm"],
    )
    return folder


def test_steps_follow_each_other_in_each_group(steps: Folder) -> None:
    rows = ["7,,3,0,10", "7,3,6,0,12", "7,6,,0,15", "8,3,6,0,18", "8,6,10,0,22"]
    assert steps.check(*(f"{row},std,seen" for row in rows)) == []


@pytest.mark.parametrize(
    ("rows", "fault"),
    [
        (["7,,3,0,1", "7,4,6,0,1"], '3:2: over_mm: "4" leaves a gap after 3 on line 2'),
        (
            ["7,,3,0,1", "7,2,6,0,1"],
            '3:2: over_mm: "2" overlaps the step that ends at 3 on line 2',
        ),
        (
            ["7,,,0,1", "7,3,6,0,1"],
            '2:3: incl_mm: "" only the last step has no upper limit, but line 3 follows',
        ),
        (["7,6,3,0,1"], '2:2: over_mm: "6" must be < incl_mm, which is "3"'),
        (["7,3,3,0,1"], '2:2: over_mm: "3" must be < incl_mm, which is "3"'),
        (["7,,3,2,1"], '2:4: lower_um: "2" must be <= upper_um, which is "1"'),
    ],
)
def test_steps_that_do_not_follow_are_placed(steps: Folder, rows: list[str], fault: str) -> None:
    assert f"data/grades/sizes.csv:{fault}" in steps.check(*(f"{row},std,seen" for row in rows))


def test_gaps_may_be_declared(steps: Folder) -> None:
    declared = {"over": "over_mm", "incl": "incl_mm", "by": ["grade"], "gaps": True}
    steps.resource["steps"] = declared
    assert steps.check("7,,3,0,1,std,seen", "7,4,6,0,1,std,seen") == []


def test_steps_that_name_no_column_are_found(steps: Folder) -> None:
    steps.resource["steps"] = [{"over": "over_mm", "incl": "incl_mm", "by": ["class"]}]
    (fault,) = steps.check("7,,3,0,1,std,seen")
    assert fault.endswith("steps name columns that the table has not: class")


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ("62,30,17.25,16,14", 'bore_mm: "62" must be < od_mm, which is "30"'),
        ("30,62,17.25,16,19", 'cup_width_mm: "19" must be <= width_mm, which is "17.25"'),
        ("30,62,17.25,61,14", 'cone_width_mm: "61" is outside 0 to 21.5625'),
        ("30,62,172.5,160,14", 'width_mm: "172.5" is outside 0 to 62'),
    ],
)
def test_a_bearing_of_impossible_shape_is_found(
    subject: Callable[[str], Folder], row: str, message: str
) -> None:
    folder = subject("tapered")
    names = ("bore_mm", "od_mm", "width_mm", "cone_width_mm", "cup_width_mm")
    folder.fields(*(field(name) for name in names), key=["bore_mm", "od_mm"])
    assert folder.check("30,62,17.25,16,14,std,seen") == []
    assert any(message in fault for fault in folder.check(f"{row},std,seen"))


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ("36,34.92,35.08,8,10.5", 'shaft_mm: "36" is outside 34.92 to 35.08'),
        ("35,35.08,34.92,8,10.5", 'window_min_mm: "35.08" must be <= window_max_mm'),
        ("35,34.92,35.08,80,10.5", 'width_mm: "80" is outside 0 to 10.5'),
    ],
)
def test_a_sleeve_of_impossible_shape_is_found(
    subject: Callable[[str], Folder], row: str, message: str
) -> None:
    folder = subject("sleeves")
    names = ("shaft_mm", "window_min_mm", "window_max_mm", "width_mm", "overall_mm")
    folder.fields(*(field(name) for name in names), key=["shaft_mm"])
    assert folder.check("35,34.92,35.08,8,10.5,std,invented") == []
    assert any(message in fault for fault in folder.check(f"{row},std,invented"))


def test_a_folder_that_is_not_there_is_wrong_usage(tmp_path: Path) -> None:
    status, _, err = check(tmp_path / "nowhere")
    assert status == 2
    assert "there is no such folder" in err
