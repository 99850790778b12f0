"""Whereabouts as they come into the tables."""

import csv

from tests.builders.habits import TIDY
from tests.builders.scenes import first_plant
from tests.builders.write_ifc import draw
from tests.run_program import assert_form_holds, check
from tests.unit.read.test_whereabouts import NEAREST, add_grid

COLUMNS = ["storey", "storey_elevation_m", "height_m", "space", "grid", "system", "trade"]


def rows_of(folder, name):
    with (folder / name).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def circuit(writer):
    add_grid(writer)
    group = writer.root(
        "IfcDistributionSystem", "circuit", Name="C-7", PredefinedType="POWERGENERATION"
    )
    related = [writer.by_id["PB-1"], *(each for name, each in writer.by_id.items() if "R1" in name)]
    writer.root("IfcRelAssignsToGroup", "in circuit", RelatedObjects=related, RelatingGroup=group)


def test_every_finding_box_and_run_has_its_place_to_the_right_of_what_was_there(tmp_path):
    model, out = tmp_path / "plant.ifc", tmp_path / "out"
    draw(first_plant(), TIDY, more=circuit).pen.file.write(str(model))
    check([model], out)
    assert_form_holds(out, [model])
    findings = rows_of(out, "findings.csv")
    boxes = {row["name"]: row for row in rows_of(out, "boxes.csv")}
    runs = rows_of(out, "runs.csv")
    for row in (*findings, *boxes.values(), *runs):
        assert row["storey"] == "BuildingStorey"
        assert "/" in row["grid"]
    named = {name: row["grid"] for name, row in boxes.items()}
    assert sorted(named.values()) == sorted(NEAREST.values())
    of_circuit = [row for row in boxes.values() if row["system"] == "C-7"]
    assert [row["trade"] for row in of_circuit] == ["powergeneration"]
    assert {row["height_m"] for row in of_circuit} == {"2.000"}
    assert "C-7" in {row["system"] for row in runs}
    assert "C-7" in {row["system"] for row in findings if row["check"].startswith("bends")}
    for table in (findings, runs, [*boxes.values()]):
        columns = [*table[0]]
        first = columns.index("storey")
        assert columns[first : first + len(COLUMNS)] == COLUMNS
