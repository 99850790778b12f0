"""Attributes by name: the same as the library's own."""

import ifcopenshell
import pytest

from modelcheck.read.attributes import attribute


@pytest.mark.parametrize("schema", ["IFC2X3", "IFC4", "IFC4X3"])
def test_an_attribute_is_that_of_its_schema(schema):
    file = ifcopenshell.file(schema=schema)
    pipe = file.create_entity("IfcFlowSegment", Name="EMT", Tag="C-1")
    assert (attribute(pipe, "Name"), attribute(pipe, "Tag")) == ("EMT", "C-1")
    assert attribute(pipe, "Representation") is None


def test_what_a_class_lacks_is_an_error_as_with_the_library():
    file = ifcopenshell.file(schema="IFC4")
    point = file.create_entity("IfcCartesianPoint", (0.0, 0.0, 0.0))
    for name in ("Name", "LayerAssignment"):  # one of no point, one that the file doesn't hold
        with pytest.raises(AttributeError, match=name):
            attribute(point, name)
