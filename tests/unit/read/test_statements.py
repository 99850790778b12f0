"""Statements of a text and the copies that they allow; invented texts, nothing of the trade."""

import ifcopenshell
import numpy as np
import pytest

from modelcheck.read import statements
from modelcheck.read.attributes import attribute
from modelcheck.read.content import content_of
from modelcheck.read.copies import Copies, Copy
from modelcheck.read.statements import statements_of

HEAD = """ISO-10303-21;
HEADER;
FILE_DESCRIPTION((''),'2;1');
FILE_NAME('','',(''),(''),'','','');
FILE_SCHEMA(('IFC4'));
ENDSEC;
DATA;
"""
FOOT = "ENDSEC;\nEND-ISO-10303-21;\n"


def text_of(*lines):
    return "".join([HEAD, *(f"{line}\n" for line in lines), FOOT]).encode()


def references(text):
    found = statements_of(text)
    return {
        (int(found.ids[user]), int(found.ids[used]))
        for user, used in zip(found.users, found.used, strict=True)
    }


CHAIN = (
    "#1=IFCCARTESIANPOINT((0.,0.));",
    "#2=IFCCARTESIANPOINT((1.,0.));",
    "#7=IFCPOLYLINE((#1,#2,#1));",
)


def test_each_reference_is_told_with_who_refers_and_to_what():
    assert references(text_of(*CHAIN)) == {(7, 1), (7, 2)}


@pytest.mark.parametrize(
    "lines",
    [
        (CHAIN[2], CHAIN[1], CHAIN[0]),
        tuple(line.replace("=", " = ") for line in CHAIN),
        ("".join(CHAIN),),
        tuple(line.replace("(#1", "(\n  #1") for line in CHAIN),
        tuple(f"{line}\r" for line in CHAIN),
    ],
    ids=["any-order", "blanks", "one-line", "broken-lines", "carriage-returns"],
)
def test_the_habit_of_writing_changes_no_reference(lines):
    assert references(text_of(*lines)) == {(7, 1), (7, 2)}


def test_what_stands_in_a_string_is_no_reference_and_no_statement():
    named = "#9=IFCLABEL('it''s #1 and\n#2=IFCLABEL(#7);\n#3');"
    assert references(text_of(*CHAIN, named)) == {(7, 1), (7, 2)}


@pytest.mark.parametrize(
    "line",
    [
        "#8=IFCPOLYLINE((#1,#3));",
        "#2=IFCCARTESIANPOINT((2.,0.));",
        "#0=IFCCARTESIANPOINT((2.,0.));",
        "/* #8=IFCPOLYLINE((#1,#7)); */",
        "#8=IFCPOLYLINE((#1,# 2));",
        "#123456789012=IFCPOLYLINE((#1,#2));",
    ],
    ids=["dangling", "twice", "naught", "comment", "blank-in-number", "long-number"],
)
def test_nothing_is_told_of_a_text_that_leaves_a_doubt(line):
    assert statements_of(text_of(*CHAIN, line)) is None


def test_a_text_without_statements_tells_nothing():
    assert statements_of(text_of()) is None


@pytest.mark.parametrize("size", [1, 40, 100])
def test_the_answer_does_not_hang_on_how_much_is_looked_at_together(monkeypatch, size):
    lines = [*CHAIN, "#9=IFCLABEL('a\nb #1');", "#30=IFCPOLYLINE((#2,#1));"]
    monkeypatch.setattr(statements, "_PIECE", size)
    assert references(text_of(*lines)) == {(7, 1), (7, 2), (30, 2), (30, 1)}


def test_a_tree_counts_an_instance_as_often_as_it_is_met():
    found = statements_of(text_of(*CHAIN, "#8=IFCGEOMETRICSET((#7,#7,#2));"))
    assert found.trees().tolist() == [1.0, 1.0, 4.0, 10.0]


@pytest.mark.parametrize(
    "lines",
    [
        ("#8=IFCCSGSOLID(#8);",),
        ("#8=IFCCSGSOLID(#9);", "#9=IFCCSGSOLID(#8);"),
    ],
    ids=["itself", "each-other"],
)
def test_references_in_a_circle_forbid_copies(lines):
    found = statements_of(text_of(*CHAIN, *lines))
    assert found.trees() is None
    assert Copies.by(found).uncopied is None


def test_a_chain_that_is_too_deep_forbids_copies():
    deep = [f"#{k}=IFCCSGSOLID(#{k - 1});" for k in range(8, 600)]
    assert Copies.by(statements_of(text_of(*CHAIN, *deep))).uncopied is None


def test_what_would_grow_beyond_measure_is_not_copied():
    """Each holds the one before it twice: thirty of them make a thousand million."""
    lines = [f"#{k}=IFCBOOLEANRESULT(.UNION.,#{k - 1},#{k - 1});" for k in range(8, 40)]
    text = text_of(*CHAIN, *lines)
    copies, file = Copies.by(statements_of(text)), ifcopenshell.file.from_string(text.decode())
    assert isinstance(copies.of(file.by_id(9)), Copy)
    assert copies.of(file.by_id(39)) == file.by_id(39)


@pytest.fixture
def pipe():
    text = text_of(
        *CHAIN,
        "#10=IFCDIRECTION((0.,0.,1.));",
        "#11=IFCARBITRARYOPENPROFILEDEF(.CURVE.,$,#7);",
        "#12=IFCSURFACEOFLINEAREXTRUSION(#11,$,#10,2.);",
    )
    file = ifcopenshell.file.from_string(text.decode())
    return Copies.by(statements_of(text)), file.by_id(12)


def test_a_copy_answers_as_its_instance_does(pipe):
    copies, entity = pipe
    copy = copies.of(entity)
    assert isinstance(copy, Copy)
    assert (copy.Depth, copy.Position) == (2.0, None)
    assert copy.SweptCurve.Curve.Points[1].Coordinates == (1.0, 0.0)
    assert attribute(copy.ExtrudedDirection, "DirectionRatios") == (0.0, 0.0, 1.0)
    assert copy.is_a() == entity.is_a()
    for ifc_class in ("IfcSweptSurface", "IfcSurface", "IfcPolyline"):
        assert copy.is_a(ifc_class) == entity.is_a(ifc_class)
    with pytest.raises(AttributeError, match="IfcSurfaceOfLinearExtrusion has no attribute Length"):
        _ = copy.Length


def test_copies_of_equal_values_have_one_content(pipe):
    copies, entity = pipe
    assert content_of(copies.of(entity)) == content_of(copies.of(entity))
    assert content_of(copies.of(entity)) != content_of(copies.of(entity.SweptCurve))


def test_trees_of_many_statements_are_those_of_a_walk():
    """Random references backwards, against counting one by one."""
    draw = np.random.default_rng(3)
    targets = {k: draw.integers(1, k, size=draw.integers(0, 4)).tolist() for k in range(2, 60)}
    lines = [
        f"#{k}=IFCGEOMETRICSET(({','.join(f'#{t}' for t in to)}));" for k, to in targets.items()
    ]
    found = statements_of(text_of("#1=IFCDIRECTION((1.,0.));", *lines))
    walked = {1: 1}
    for k, to in targets.items():
        walked[k] = 1 + sum(walked[t] for t in to)
    assert found.trees().tolist() == [walked[k] for k in range(1, 60)]
