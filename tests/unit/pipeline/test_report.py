from dataclasses import replace
from pathlib import Path

from modelcheck.pipeline.report import numbered
from modelcheck.pipeline.results import checked_names
from tests.unit.write.reports import BOX, CONDUIT, bends_finding, finding, ref


def test_rows_are_sorted_by_model_check_subject_and_elements():
    rows = [
        bends_finding(),
        finding(check="entry-spacing"),
        finding(subject=replace(BOX, guid="0AAA")),
        finding(subject=replace(BOX, model="a.ifc")),
        finding(elements=(ref("0CON"), CONDUIT)),
        finding(),
    ]
    ordered = numbered(rows, set())
    assert ordered == numbered(rows[::-1], set())
    keys = [
        (each.subject.model, each.check, each.subject.guid, ";".join(each.element_guids))
        for each in ordered
    ]
    assert keys == sorted(keys)


def test_rows_about_the_same_elements_are_told_apart():
    rows = numbered([finding(at=(2.0, 0.0, 0.0)), finding(at=(1.0, 0.0, 0.0))], set())
    assert len({each.id for each in rows}) == 2
    assert [each.at[0] for each in rows] == [1.0, 2.0]


def test_an_id_outlives_a_renamed_file_a_moved_wall_and_other_words():
    (row,) = numbered([finding()], set())
    moved = finding(
        subject=replace(BOX, model="b.ifc"), required=1.0, message="Other.", at=(9.0, 9.0, 9.0)
    )
    assert numbered([moved], set())[0].id == row.id
    assert numbered([finding(code="nec", edition="2023")], set())[0].id == row.id
    assert numbered([finding(elements=(ref("OTHER"),))], set())[0].id != row.id


def test_the_file_is_in_the_id_only_where_a_global_id_occurs_in_two():
    twin = finding(subject=replace(BOX, model="b.ifc"))
    rows = numbered([finding(), twin], {BOX.guid})
    assert len({each.id for each in rows}) == 2
    assert numbered([twin], {BOX.guid})[0].id == rows[0].id
    assert numbered([twin], {CONDUIT.guid})[0].id == rows[0].id
    assert numbered([twin], set())[0].id == numbered([finding()], set())[0].id


def test_checked_models_are_named_for_their_inputs():
    assert checked_names(["plant.ifc", "b.checked.ifc", "C.IFC", "d.ifczip", "e"]) == {
        "plant.ifc": "plant.checked.ifc",
        "b.checked.ifc": "b.checked.ifc",
        "C.IFC": "C.checked.ifc",
        "d.ifczip": "d.checked.ifc",
        "e": "e.checked.ifc",
    }


def test_no_two_checked_models_have_one_name_and_none_leaves_the_folder():
    names = checked_names(["m.ifc", "m.checked.ifc", "M.ifc", "a/m.ifc", "../m.ifc", "..", ".ifc"])
    assert len({name.lower() for name in names.values()}) == 7
    assert all(Path(name).name == name for name in names.values())
    assert names["a/m.ifc"] == "a_m.checked.ifc"
