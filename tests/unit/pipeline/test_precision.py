from dataclasses import replace

import ifcopenshell
import pytest

from modelcheck.pipeline.precision import with_precision
from modelcheck.read.precision import precision_m
from tests.unit.write.reports import finding


@pytest.mark.parametrize(
    ("provided", "unit", "within_m", "told"),
    [
        pytest.param(372.0, "mm", 0.0, "at the limit to within the arithmetic", id="equal"),
        pytest.param(371.6, "mm", 0.0005, "drawing precision, 0.5 mm", id="short-by-less"),
        pytest.param(372.4, "mm", 0.0005, "drawing precision, 0.5 mm", id="over-by-less"),
        pytest.param(372.6, "mm", 0.0005, "", id="over-by-more"),
        pytest.param(372.01, "in", 0.000254, "drawing precision, 0.01 in", id="inches"),
        pytest.param(None, "mm", 1.0, "", id="not-known"),
        pytest.param(372.0, "deg", 1.0, "", id="no-length"),
    ],
)
def test_a_length_that_is_nearer_to_its_limit_than_the_model_is_drawn_says_so(
    provided, unit, within_m, told
):
    row = replace(finding(), required=372.0, provided=provided, unit=unit)
    found = with_precision(row, within_m)
    assert found.outcome == row.outcome
    assert [text for text in found.assumptions if text not in row.assumptions] == (
        [found.assumptions[-1]] if told else []
    )
    assert told in found.assumptions[-1]


@pytest.mark.parametrize(
    ("precisions", "unit", "expected_m"),
    [
        pytest.param([1e-5], "METRE", 1e-5, id="metres"),
        pytest.param([0.01, 0.1], "MILLI", 1e-4, id="coarsest-of-two-in-millimetres"),
        pytest.param([], "METRE", 0.0, id="no-context"),
        pytest.param([None], "METRE", 0.0, id="none-told"),
        pytest.param([-1.0], "METRE", 0.0, id="no-sound-one"),
    ],
)
def test_the_precision_is_read_in_metres(precisions, unit, expected_m):
    file = ifcopenshell.file(schema="IFC4")
    prefix = "MILLI" if unit == "MILLI" else None
    metre = file.create_entity("IfcSIUnit", None, "LENGTHUNIT", prefix, "METRE")
    units = file.create_entity("IfcUnitAssignment", [metre])
    file.create_entity("IfcProject", ifcopenshell.guid.new(), UnitsInContext=units)
    for each in precisions:
        file.create_entity(
            "IfcGeometricRepresentationContext",
            ContextType="Model",
            CoordinateSpaceDimension=3,
            Precision=each,
        )
    assert precision_m(file) == pytest.approx(expected_m)
