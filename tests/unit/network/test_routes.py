from dataclasses import replace

import pytest

from modelcheck.errors import AmbiguousReferenceError
from modelcheck.model.element import Conduit, ElementRef, Enclosure, RacewaySize, Role
from modelcheck.model.pull import Conductors, ScheduleRow
from modelcheck.model.run import Entry, Network, Run, RunEnd
from modelcheck.network.routes import box_entries, carry

SIZE = RacewaySize(trade_size_in="2", metric_designator=53, size_from="property")


class Plant:
    """Boxes A, B … and runs between them, each of two conduits with an elbow: c1a, c1e, c1b."""

    def __init__(self):
        self.refs = {}
        self.boxes, self.conduits, self.runs, self.entries = [], [], [], []

    def ref(self, name, **changes):
        if name not in self.refs:
            number = len(self.refs) + 1
            values = {"model": "m.ifc", "guid": f"guid-{name}", "name": name, "step_id": number}
            self.refs[name] = ElementRef(**(values | changes))
        return self.refs[name]

    def box(self, *names):
        self.boxes += [Enclosure(ref=self.ref(name)) for name in names]
        return self

    def run(self, number, start, end, *, elements=(), at=((0.0, 0.0, 0.0), (9.0, 0.0, 0.0))):
        name = f"R{number}"
        made = [self.ref(f"c{number}{part}") for part in "aeb"]
        self.conduits += [Conduit(ref=ref, role=Role.SEGMENT, size=SIZE, ends=()) for ref in made]
        ends = []
        for place, point, conduit in ((start, at[0], made[0]), (end, at[1], made[-1])):
            kind, where = place if isinstance(place, tuple) else ("box", place)
            ref = self.ref(where) if where else None
            ends.append(RunEnd(kind=kind, point=point, ref=ref))
            if kind == "box":
                entry = Entry(
                    box=ref, conduit=conduit, wall="-x", u_m=0, v_m=0, size=SIZE, run=name, at=point
                )
                self.entries.append(entry)
        passing = [self.ref(each) for each in elements]
        self.runs.append(
            Run(name=name, elements=(*made, *passing), start=ends[0], end=ends[1], size=SIZE)
        )
        return self

    def carry(self, *rows):
        network = Network(runs=tuple(self.runs), entries=tuple(self.entries))
        return Answer(self, network, carry(rows, "PULLS.csv", network, self.conduits, self.boxes))


class Answer:
    def __init__(self, plant, network, carried):
        self.plant, self.network, self.carried = plant, network, carried

    def at(self, box):
        """Per pull at a box: its name and the runs by which it enters and leaves."""
        key = self.plant.refs[box].key
        pulls = self.carried.box_pulls[key]
        if pulls is None:
            return None
        own = box_entries(self.network)[key]
        runs = [self.network.entries[number].run for number in own]
        return [(pull.name, tuple(runs[place] for place in pull.entries)) for pull in pulls]

    def pull(self, box, number=0):
        return self.carried.box_pulls[self.plant.refs[box].key][number]


def row(route, *, pull="F1", line=2, **changes):
    conductors = Conductors(
        size=changes.pop("size", "250 kcmil"),
        count=changes.pop("count", 3),
        role=changes.pop("role", ""),
    )
    return ScheduleRow(
        line=line, pull=pull, conductors=conductors, route=tuple(route.split(";")), **changes
    )


@pytest.fixture
def chain():
    """A -R1- B -R2- C -R3- D, and E alone."""
    return Plant().box(*"ABCDE").run(1, "A", "B").run(2, "B", "C").run(3, "C", "D")


@pytest.mark.parametrize(
    "route",
    [
        pytest.param("c1a;B;c2a", id="box-named"),
        pytest.param("c1a;c2a", id="box-left-out"),
        pytest.param("A;c1a;c1e;c1b;B;c2a;c2b;C", id="everything-named"),
        pytest.param("c2b;c1a", id="other-way-round"),
        pytest.param("guid-c1e;guid-B;guid-c2e", id="by-global-ids"),
        pytest.param("c1a;B;B;c2a", id="box-named-twice"),
    ],
)
def test_a_route_goes_through_whole_runs_and_is_spliced_where_it_begins_and_ends(chain, route):
    answer = chain.carry(row(route))
    assert answer.at("A") == [("F1", ("R1",))]
    assert {frozenset(runs) for _, runs in answer.at("B")} == {frozenset({"R1", "R2"})}
    assert answer.at("C") == [("F1", ("R2",))]
    assert answer.at("D") is None
    assert answer.at("E") is None
    assert set(answer.carried.run_pulls) == {"R1", "R2"}
    assert answer.carried.entry_pulls == {0: ("F1",), 1: ("F1",), 2: ("F1",), 3: ("F1",)}


def test_a_route_of_one_run_begins_and_ends_in_its_boxes(chain):
    answer = chain.carry(row("c2e"))
    assert (answer.at("B"), answer.at("C")) == ([("F1", ("R2",))], [("F1", ("R2",))])


def test_runs_that_end_open_or_at_equipment_carry_it_without_a_box():
    plant = Plant().box("A").run(1, ("equipment", "panel"), "A").run(2, "A", ("open", None))
    answer = plant.carry(row("panel;c1a;A;c2a"))
    assert answer.at("A") == [("F1", ("R1", "R2"))]
    assert set(answer.carried.run_pulls) == {"R1", "R2"}


def test_a_route_goes_on_through_a_branch():
    plant = Plant().box("A", "B").run(1, "A", ("branch", "tee")).run(2, ("branch", "tee"), "B")
    answer = plant.carry(row("c1a;c2a"))
    assert (answer.at("A"), answer.at("B")) == ([("F1", ("R1",))], [("F1", ("R2",))])


def test_a_tag_that_all_elements_of_one_run_bear_means_the_run(chain):
    for part in "aeb":
        number = next(
            n for n, each in enumerate(chain.conduits) if each.ref is chain.refs[f"c1{part}"]
        )
        tagged = replace(chain.conduits[number].ref, tag="C-101")
        chain.conduits[number] = replace(chain.conduits[number], ref=tagged)
    assert chain.carry(row("C-101")).at("A") == [("F1", ("R1",))]


def test_a_conduit_through_a_box_means_both_its_runs():
    plant = Plant().box(*"ABCD").run(1, "A", "B").run(2, "B", "C").run(3, "C", "D")
    through = plant.ref("long")
    plant.conduits.append(Conduit(ref=through, role=Role.SEGMENT, size=SIZE, ends=()))
    plant.runs[:2] = [replace(run, elements=(*run.elements, through)) for run in plant.runs[:2]]
    for route in ("long;c3a", "c3a;long", "long", "c1a;long;c3b", "A;long;c2a;D"):
        if route.endswith("D"):
            with pytest.raises(AmbiguousReferenceError, match="jumps from 'c2a' to 'D'"):
                plant.carry(row(route))
            continue
        answer = plant.carry(row(route))
        assert {frozenset(runs) for _, runs in answer.at("B")} == {frozenset({"R1", "R2"})}


def test_rows_of_one_pull_are_put_together(chain):
    answer = chain.carry(
        row("c1a;c2a", system="UPS"),
        row("c2a;B;c1b", line=3, size="1/0 AWG", role="neutral", voltage_v=600.0),
        row("c1a;c2a", line=4, pull="F2", count=2, trade_size_in="2"),
    )
    pull = answer.pull("B")
    assert [each.size for each in pull.conductors] == ["250 kcmil", "1/0 AWG"]
    assert (pull.system, pull.voltage_v) == ("UPS", 600.0)
    assert [each.name for each in answer.carried.run_pulls["R1"]] == ["F1", "F2"]
    assert answer.carried.run_pulls["R1"][1].trade_size_in == "2"
    assert answer.carried.entry_pulls[0] == ("F1", "F2")


def test_count_zero_is_a_spare(chain):
    answer = chain.carry(row("c1a;c2a", count=0))
    pull = answer.pull("B")
    assert (pull.is_spare, pull.conductors) == (True, ())
    assert answer.carried.entry_pulls[0] == ("F1",)


def test_a_row_of_none_in_a_pull_of_some_adds_nothing(chain):
    answer = chain.carry(row("c1a"), row("c1a", line=3, count=0, role="bonding"))
    assert not answer.pull("A").is_spare
    assert len(answer.pull("A").conductors) == 1


def test_an_unknown_count_is_no_spare(chain):
    assert not chain.carry(row("c1a", count=None)).pull("A").is_spare


def test_a_splice_on_the_way_is_told(chain):
    answer = chain.carry(row("c1a;c3a".replace(";", ";c2a;"), spliced_at=("C",)))
    assert not answer.pull("B").spliced
    assert answer.pull("C").spliced
    assert not answer.pull("A").spliced


def test_a_run_that_comes_back_to_its_box_has_an_entry_for_each_end():
    plant = Plant().box("A", "B").run(1, "A", "B")
    plant.run(2, "B", "B", at=((9.0, 0.0, 0.0), (9.0, 1.0, 0.0))).run(3, "B", ("open", None))
    answer = plant.carry(row("c1a;c2a;c2b;c3a"))
    entries = [pull.entries for pull in answer.carried.box_pulls[plant.refs["B"].key]]
    assert entries == [(0, 1), (2, 3)]
    backwards = plant.carry(row("c1a;c2b;c2a;c3a"))
    entries = [pull.entries for pull in backwards.carried.box_pulls[plant.refs["B"].key]]
    assert entries == [(0, 2), (1, 3)]


@pytest.mark.parametrize(
    ("rows", "line", "sentence"),
    [
        pytest.param([row("c1a;X")], 2, "'X' names no conduit or box", id="nothing"),
        pytest.param([row("c1x")], 2, "near to it: c1", id="nearly"),
        pytest.param([row("c1a;c3a")], 2, "jumps from 'c1a' to 'c3a'", id="jump"),
        pytest.param([row("c1a;D;c2a")], 2, "jumps from 'c1a' to 'D'", id="wrong-box"),
        pytest.param([row("A;B")], 2, "jumps from 'A' to 'B'", id="no-conduit-between"),
        pytest.param([row("A")], 2, "names no conduit between its boxes", id="only-a-box"),
        pytest.param([row("c1a;B;c1b")], 2, "jumps from 'B' to 'c1b'", id="back-by-the-same-run"),
        pytest.param(
            [row("c1a;c2a"), row("c1a", line=3)], 3, "another route on line 2", id="two-routes"
        ),
        pytest.param(
            [row("c1a", system="A"), row("c1a", line=3, system="B")],
            3,
            "another system on line 2",
            id="two-systems",
        ),
        pytest.param([row("c1a", spliced_at=("D",))], 2, "not on its route", id="splice-elsewhere"),
        pytest.param([row("c1a", spliced_at=("c2a",))], 2, "names no box", id="splice-in-a-run"),
    ],
)
def test_a_route_that_cannot_be_is_one_sentence_with_its_row(chain, rows, line, sentence):
    with pytest.raises(AmbiguousReferenceError) as caught:
        chain.carry(*rows)
    assert caught.value.line == line
    assert f"PULLS.csv:{line}: " in str(caught.value)
    assert sentence in str(caught.value)


def test_a_name_of_two_things_gives_both(chain):
    chain.boxes.append(Enclosure(ref=replace(chain.refs["A"], guid="other", step_id=99)))
    with pytest.raises(
        AmbiguousReferenceError, match=r"more than one thing.*guid-A.*other"
    ) as caught:
        chain.carry(row("A;c1a"))
    assert len(caught.value.candidates) == 2
    assert chain.carry(row("guid-A;c1a")).at("A") == [("F1", ("R1",))]


def test_two_runs_side_by_side_need_their_box_named():
    plant = Plant().box("A", "B").run(1, "A", "B").run(2, "A", "B")
    with pytest.raises(AmbiguousReferenceError, match="can be read in 2 ways"):
        plant.carry(row("c1a;c2a"))
    answer = plant.carry(row("c1a;B;c2a"))
    assert answer.at("B") == [("F1", ("R1", "R2"))]
    assert answer.at("A") == [("F1", ("R1",)), ("F1", ("R2",))]
    assert plant.carry(row("c1a;c1b;c2b")).at("B") == [("F1", ("R1", "R2"))]


def test_an_element_of_no_run_is_told(chain):
    chain.conduits.append(Conduit(ref=chain.ref("loose"), role=Role.SEGMENT, size=SIZE, ends=()))
    with pytest.raises(AmbiguousReferenceError, match="'loose' names an element that is in no"):
        chain.carry(row("loose"))


def test_the_same_global_id_in_two_files_is_two_things(chain):
    twin = replace(chain.refs["B"], model="n.ifc")
    chain.boxes.append(Enclosure(ref=twin))
    with pytest.raises(
        AmbiguousReferenceError, match=r"guid-B \(B, m\.ifc\), guid-B \(B, n\.ifc\)"
    ):
        chain.carry(row("c1a;guid-B"))


def test_a_route_of_thousands_of_references_is_walked():
    plant = Plant().box(*(f"B{number}" for number in range(1001)))
    for number in range(1000):
        plant.run(number, f"B{number}", f"B{number + 1}")
    answer = plant.carry(row(";".join(f"c{number}a" for number in range(1000))))
    assert len(answer.carried.run_pulls) == 1000
