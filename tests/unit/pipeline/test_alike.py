"""Boxes that are alike are worked once, and each gets the rows that it would get alone."""

from dataclasses import replace
from functools import partial
from random import Random

import pytest

from modelcheck.checks import check_box
from modelcheck.model.element import ElementRef
from modelcheck.pipeline.alike import Alike
from modelcheck.pipeline.fixes import box_fixes
from modelcheck.rules.catalogue import rulebook
from modelcheck.write.csv_tables import finding_cells
from tests.box_cases import CEC, box, case, entry, findings
from tests.unit.layout.random_boxes import means_for, random_box

GUIDS = "0123456789"


def checked_alike():
    asked = []

    def work(each, _):
        asked.append(each)
        return check_box(each, rulebook(CEC), CEC)

    return Alike(work), asked


def rows_of(boxes, the_case, systems=()):
    (rows,) = boxes.rows([(the_case, systems)])
    return rows


def renamed(the_case, lot):
    """The same box elsewhere: other names and GlobalIds, moved by a storey and its noise."""
    refs = {
        each.conduit: ElementRef(
            model="n.ifc",
            guid="".join(lot.choices(GUIDS, k=6)),
            name=lot.choice(["", "EMT 53", f"C-{lot.random()}"]),
            step_id=place,
        )
        for place, each in enumerate(the_case.entries)
    }
    noise_m = 3e-13
    entries = tuple(
        replace(each, conduit=refs[each.conduit], u_m=each.u_m + noise_m, run="R-1")
        for each in the_case.entries
    )
    moved = replace(
        the_case.enclosure,
        ref=ElementRef(model="n.ifc", guid="7", name="PB-7"),
        origin=(1.0, 2.0, 7.5),
    )
    return replace(the_case, enclosure=moved, entries=entries)


def shown(rows):
    """Rows as the tables show them: without the noise of their arithmetic."""
    return [finding_cells(row) for row in rows]


@pytest.mark.parametrize("seed", range(20))
def test_a_box_gets_the_rows_that_it_would_get_alone(seed):
    lot = Random(seed)
    boxes, _ = checked_alike()
    first = random_box(lot)
    for each in (first, renamed(first, lot), renamed(first, lot)):
        assert shown(rows_of(boxes, each)) == shown(findings(each))


@pytest.mark.parametrize("seed", range(2))
def test_a_box_gets_the_proposals_that_it_would_get_alone(seed):
    lot = Random(seed)
    means, systems = means_for(CEC), ("", "", "")
    first = random_box(lot, most=3)
    systems = systems[: len(first.entries)]
    boxes = Alike(partial(box_fixes, means=means))
    rows_of(boxes, first, systems)
    other = renamed(first, lot)
    told, alone = rows_of(boxes, other, systems), box_fixes(other, systems, means)
    assert [(row.message, row.box, row.conduit) for row in told] == [
        (row.message, row.box, row.conduit) for row in alone
    ]


def test_boxes_that_differ_in_name_and_place_only_are_worked_once():
    boxes, asked = checked_alike()
    lot = Random(1)
    one = case(box((400, 400, 200)), entry("A", "+x", "2"), entry("B", "-x", "2"))
    other = replace(renamed(one, lot), entries=one.entries)
    rows_of(boxes, one)
    rows_of(boxes, other)
    rows_of(boxes, replace(one, enclosure=replace(one.enclosure, cover=("-y",))))
    assert len(asked) == 2


@pytest.mark.parametrize("damaged", ["entry", "box", "doubt"])
def test_what_is_damaged_or_in_doubt_is_not_like_what_is_sound(damaged):
    """A damaged box after a sound one that is like it in all else: it must not get its rows."""
    sound = random_box(Random(1))
    spoilt = {
        "entry": replace(
            sound, entries=(replace(sound.entries[0], damage="gone"), *sound.entries[1:])
        ),
        "box": replace(sound, enclosure=replace(sound.enclosure, damage="gone")),
        "doubt": replace(sound, doubt="C-1 ends 30.0 mm short of it"),
    }[damaged]
    alike, _ = checked_alike()
    assert shown(rows_of(alike, sound)) == shown(check_box(sound, rulebook(CEC), CEC))
    assert shown(rows_of(alike, spoilt)) == shown(check_box(spoilt, rulebook(CEC), CEC))
    assert {str(row.outcome) for row in rows_of(alike, spoilt)} <= {"fail", "needs-input"}


def test_a_name_in_the_private_letters_stays_as_it_is():
    boxes, _ = checked_alike()
    unsized = entry("\U000f8000", "+x", None)
    one = case(box((400, 400, 200)), unsized, entry("B", "-x", "2"))
    assert rows_of(boxes, one) == tuple(findings(one))
    assert any("\U000f8000" in row.message for row in rows_of(boxes, one))


def test_what_is_told_of_a_box_in_the_private_letters_stays_as_it_is():
    boxes, asked = checked_alike()
    told = "\U000f0000 and \U000f8001 \\U000f0000"
    one = case(box((400, 400, 200), assumptions=(told,)), *random_box(Random(1)).entries)
    other = renamed(one, Random(2))
    for each in (one, other, one):
        rows = rows_of(boxes, each)
        assert shown(rows) == shown(findings(each))
        assert all(told in row.assumptions for row in rows)
    assert len(asked) == 2


def test_processes_share_boxes_that_differ_and_each_gets_its_own_rows():
    lot = Random(3)
    differing = [random_box(lot) for _ in range(70)]
    wanted = [(each, ()) for each in (*differing, *(renamed(one, lot) for one in differing))]
    alone, _ = checked_alike()
    shared, asked_here = checked_alike()
    assert shared.rows(wanted, workers=2) == alone.rows(wanted)
    assert 0 < len(asked_here) < len(differing)  # of which the other process worked the rest
