import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from modelcheck.rules.raceways import by_trade_size, outside_diameter_m
from tests.box_cases import CEC, NEC, box, case, entry, findings, pull
from tests.unit.checks import brute_force

WALLS = ("-x", "+x", "-y", "+y", "-z")
SIZES = ("1", "1-1/4", "2", "3", "4")
UNIT_M = {"mm": 0.001, "in": 0.0254}
BY_DISTANCE = ("straight-pull-length", "angle-pull-distance", "entry-spacing")


@st.composite
def boxes(draw, most=5):
    count = draw(st.integers(2, most))
    walls = draw(st.lists(st.sampled_from(WALLS), min_size=count, max_size=count))
    entries = [
        entry(
            f"C{n}",
            wall,
            draw(st.sampled_from(SIZES)),
            (draw(st.integers(-8, 8)) * 25.0, draw(st.integers(-3, 3)) * 25.0),
        )
        for n, wall in enumerate(walls)
    ]
    inside = [draw(st.integers(4, 40)) * 25.0 for _ in "xyz"]
    return case(box(tuple(inside)), *entries)


def plain(the_case, chosen):
    unit = "in" if chosen.basis == "inch" else "mm"
    named = [each.size.trade_size_in for each in the_case.entries]
    return brute_force.PlainBox(
        the_case.entries,
        the_case.enclosure.inside_m,
        sizes=[by_trade_size(name).nominal(unit) for name in named],
        diameters_m=[outside_diameter_m("EMT", name) for name in named],
        by_row=chosen.code == "nec",
        back="-z",
    ), UNIT_M[unit]


def keyed(found):
    """Outcomes by the same keys as the second method has."""
    outcomes = {}
    for each in found:
        if each.check in BY_DISTANCE:
            outcomes[key_of(each)] = each.outcome.value
    return outcomes


def key_of(finding):
    if finding.check == "entry-spacing":
        return (finding.check, *sorted(int(each.name[1:]) for each in finding.elements))
    walls = finding.message.split("wall", 1)[1].removeprefix("s ").split()
    wall = walls[0]
    return (finding.check, wall if finding.check == "angle-pull-distance" else wall[1])


@pytest.mark.parametrize("chosen", [CEC, NEC], ids=["wall", "row"])
@settings(max_examples=100)
@given(the_case=boxes())
def test_unknown_pairs_are_weighed_as_if_every_pairing_were_listed(the_case, chosen):
    numbers, unit_m = plain(the_case, chosen)
    pairings = brute_force.pairings_of_all(len(the_case.entries))
    assert keyed(findings(the_case, chosen)) == brute_force.verdicts(numbers, pairings, unit_m)


@st.composite
def scheduled_boxes(draw):
    the_case = draw(boxes(most=4))
    count = len(the_case.entries)
    places = st.lists(st.integers(0, count - 1), min_size=1, max_size=3, unique=True)
    pulls = draw(st.lists(places, min_size=1, max_size=2))
    scheduled = tuple(pull(f"F{n}", *each) for n, each in enumerate(pulls))
    return case(the_case.enclosure, *the_case.entries, pulls=scheduled)


@pytest.mark.parametrize("chosen", [CEC, NEC], ids=["wall", "row"])
@settings(max_examples=100)
@given(the_case=scheduled_boxes())
def test_entries_that_no_pull_names_are_weighed_as_if_all_they_may_do_were_listed(the_case, chosen):
    numbers, unit_m = plain(the_case, chosen)
    pulls = [(each.entries, numbers.sizes) for each in the_case.pulls]
    named = {place for each in the_case.pulls for place in each.entries}
    unnamed = set(range(len(the_case.entries))) - named
    pairings = brute_force.pairings_of_scheduled(len(the_case.entries), pulls, unnamed)
    assert keyed(findings(the_case, chosen)) == brute_force.verdicts(numbers, pairings, unit_m)
