"""The large models of scripts/benchmark hold what their writer says, in every habit of a bay."""

import csv
from collections import defaultdict

import ifcopenshell
import ifcopenshell.validate
import pytest

from tests.builders.big_bays import BAYS
from tests.builders.big_model import write_big_model
from tests.builders.big_stencil import GUID_KEPT
from tests.builders.compare import MESHED, differences
from tests.run_program import check

ALL_KINDS = 560  # elements: a bay of each kind is in such a model


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    path = tmp_path_factory.mktemp("big") / "big.ifc"
    return path, write_big_model(path, ALL_KINDS)


def test_it_is_a_valid_model_half_of_conduit(made):
    path, told = made
    file = ifcopenshell.open(path)
    faults = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(file, faults)
    assert faults.statements == []
    elements = [each for each in file.by_type("IfcElement") if each.ContainedInStructure]
    conduit = sum(each.is_a().startswith(("IfcCable", "IfcFlow", "IfcJun")) for each in elements)
    assert told.bays == len(BAYS)
    assert told.elements == len(elements) == 2 * conduit
    assert len({each.GlobalId for each in file.by_type("IfcRoot")}) == len(file.by_type("IfcRoot"))


def test_every_run_and_box_is_found_as_written(made, tmp_path):
    path, told = made
    check([path], tmp_path)
    assert differences(tmp_path, told.expected(), MESHED) == []
    with (tmp_path / "findings.csv").open(encoding="utf-8", newline="") as file:
        found = {(row["check"], row["outcome"]) for row in csv.DictReader(file)}
    assert {
        ("angle-pull-distance", "fail"),
        ("angle-pull-distance", "pass"),
        ("bends-between-pull-points", "fail"),
        ("bends-between-pull-points", "pass"),
    } <= found


def test_no_two_bays_are_equal_but_for_hairs(tmp_path):
    write_big_model(tmp_path / "big.ifc", 2 * ALL_KINDS)
    heights = defaultdict(list)
    for each in ifcopenshell.open(tmp_path / "big.ifc").by_type("IfcElement"):
        at = each.ObjectPlacement.RelativePlacement.Location.Coordinates
        heights[each.GlobalId[GUID_KEPT:]].append(at[2])
    drawn = [tuple(own) for own in heights.values()]
    assert len(set(drawn)) == len(drawn) > len(BAYS)
    assert len({tuple(round(each, 1) for each in own) for own in drawn}) <= len(BAYS)


def test_the_models_of_a_federation_have_bays_of_their_own(tmp_path):
    first = write_big_model(tmp_path / "1.ifc", 100)
    second = write_big_model(tmp_path / "2.ifc", 100, first_bay=first.first_bay + first.bays)
    guids = [
        {each.GlobalId for each in ifcopenshell.open(tmp_path / name).by_type("IfcElement")}
        for name in ("1.ifc", "2.ifc")
    ]
    assert not guids[0] & guids[1]
    assert not set(first.expected().guids.values()) & set(second.expected().guids.values())


def test_the_same_model_has_the_same_bytes(tmp_path):
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        write_big_model(tmp_path / name / "big.ifc", 100)
    assert (tmp_path / "a" / "big.ifc").read_bytes() == (tmp_path / "b" / "big.ifc").read_bytes()
