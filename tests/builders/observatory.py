"""The scenario of the samples: the yard and the buildings of a small observatory.

Nothing of it exists. All four models stand on one site that is turned and lifted, so that they
are one project: a run goes from the yard into the control house, and the dome and the generator
shed stand on either side of the yard. What each box is there to show
stands in ``sample_models/README.md``. Grid lines stand in the model of the yard only.
"""

from __future__ import annotations

from dataclasses import replace

from tests.builders.layout import Layout, moves
from tests.builders.plant import AtBox, AtPoint, Branch, Circuit, Grid, Plant, Room, Storey
from tests.builders.space import Frame

SITE = Frame.turned((312.0, 148.0, 1240.0), about="zx", degrees_=(25.0, 2.0))
DOME_SITE = SITE @ Frame.turned((-30.0, 0.0, 0.0))
SHED_SITE = SITE @ Frame.turned((45.0, 0.0, 0.0))
_GRID = Grid(
    along_x={"A": 0.0, "B": 9.0, "C": 18.0, "D": 27.0},
    along_y={str(number): 9.0 * (number - 5) for number in range(1, 12)},
    low=(-40.0, -4.0),
    high=(58.0, 31.0),
)
_GROUND = Storey(name="Ground floor", level_m=0.0)
_CROSSING = (24.0, 20.0, -0.6)  # where the yard ends and the control house begins


def _circuit(name: str, letter: str, first: int, last: int) -> Circuit:
    """Circuit of the routes of one letter from one number to another."""
    routes = tuple(f"{letter}-{number}" for number in range(first, last + 1))
    return Circuit(name=name, routes=routes)


def yard() -> Plant:
    """Handholes in two duct banks, of 4 in and of 3 in conduit."""
    made = Layout("Observatory yard", "PVC40")
    level = -0.6
    made.box("HH-1", (0, 0, level), (0.9, 0.75, 0.6))
    made.box("HH-2", (9, 0, level), (0.82, 0.75, 0.6))
    made.box("HH-3", (18, 0, level), (0.75, 0.75, 0.6))
    made.box("HH-4", (18.45, 9, level), (0.6, 0.75, 0.6))
    made.box("HH-5", (27, 9.62, level), (0.75, 0.9, 0.6))
    made.box("HH-6", (16, 10.2, level), (0.9, 0.75, 0.6))
    made.box("HH-7", (8, 10.2, level), (0.9, 0.75, 0.6))
    made.feed("Y-1", "4", ("HH-1", "-x", -0.25, 0), "PT-1")
    made.join("Y-2", "4", ("HH-1", "+x", -0.25, 0), ("HH-2", "-x", -0.25, 0))
    made.join("Y-3", "4", ("HH-2", "+x", -0.25, 0), ("HH-3", "-x", -0.25, 0))
    made.join("Y-4", "4", ("HH-3", "+y", 0.25, 0), ("HH-4", "-y", -0.2, 0))
    made.join("Y-5", "4", ("HH-4", "+x", 0.25, 0), ("HH-5", "-x", -0.37, 0))
    made.join("Y-6", "4", ("HH-5", "-x", 0.37, 0), ("HH-6", "+x", -0.21, 0))
    made.join("Y-7", "4", ("HH-6", "-x", -0.21, 0), ("HH-7", "+x", -0.21, 0))
    below = ("HH-7", "-z", -0.28, -0.21)
    corner, end = moves(made.mouth(below)[0], ("z", -1.5), ("x", -3.0))
    made.route("Y-8", "4", AtBox(*below), AtPoint(end, cap=True), [corner])
    _yard_of_3_inch(made, level)
    return replace(
        made.plant(),
        storeys=(Storey(name="Yard", level_m=0.0),),
        grid=_GRID,
        circuits=(
            _circuit("Main feeder", "Y", 1, 8),
            _circuit("House feeder", "Y", 9, 12),
            _circuit("Yard lighting", "Y", 13, 14),
        ),
    )


def _yard_of_3_inch(made: Layout, level: float) -> None:
    made.box("HH-8", (0, 20, level), (0.61, 0.6, 0.6))
    made.box("HH-9", (9, 20.2, level), (0.7, 0.9, 0.6))
    made.box("HH-10", (18, 20.2, level), (0.5, 0.9, 0.6))
    made.box("HH-11", (9.1, 26, level), (0.4, 0.4, 0.45))
    made.box("HH-12", (18.1, 26.1, level), (0.3, 0.3, 0.45))
    made.feed("Y-9", "3", ("HH-8", "-x", 0, 0), "PT-2")
    made.join("Y-10", "3", ("HH-8", "+x", 0, 0), ("HH-9", "-x", -0.2, 0))
    made.join("Y-11", "3", ("HH-9", "+x", -0.2, 0), ("HH-10", "-x", -0.2, 0))
    end = ("HH-10", "+x", -0.2, 0)
    made.route("Y-12", "3", AtBox(*end), AtPoint(_CROSSING))
    made.join("Y-13", "2", ("HH-9", "+y", 0, 0), ("HH-11", "-y", -0.1, 0))
    made.join("Y-14", "2", ("HH-11", "+x", 0.1, 0), ("HH-12", "-x", 0, 0))
    made.join("Y-15", "2", ("HH-10", "+y", 0, 0), ("HH-12", "-y", -0.1, 0))


def control_house() -> Plant:
    """Boxes on three walls, their covers to the front."""
    made = Layout("Observatory control house", "EMT")
    front = {"cover": "-y"}
    made.box("CH-1", (26.2, 20, 1.6), (0.75, 0.3, 0.75), **front)
    made.box("CH-2", (30, 20, 1.8), (0.6, 0.3, 0.45), **front)
    made.box("CH-3", (34, 20, 1.6), (0.56, 0.3, 0.6), **front)
    made.box("CH-4", (30, 20, 1.2), (0.75, 0.3, 0.6), **front)
    made.route("C-1", "3", AtPoint(_CROSSING), AtBox("CH-1", "-z", -0.2, 0),
               [(26.0, 20.0, -0.6)], raceway_type="PVC40")  # fmt: skip
    made.join("C-2", "3", ("CH-1", "+x", 0, 0.2), ("CH-2", "-x", 0, 0))
    made.join("C-3", "3", ("CH-2", "+x", 0, 0), ("CH-3", "-x", 0, 0.2))
    made.join("C-4", "3", ("CH-3", "-x", 0, -0.2), ("CH-4", "+x", 0, 0.2))
    made.feed("C-5", "3", ("CH-4", "-z", -0.25, 0), "LP-1", reach_m=0.6)
    made.box("CH-5", (26, 24, 1.6), (0.75, 0.25, 0.75), **front)
    made.box("CH-6", (30, 24, 1.5), (0.75, 0.25, 0.75), **front)
    made.join("C-6", "2", ("CH-5", "+x", 0, -0.3), ("CH-6", "-x", 0, -0.2))
    made.join("C-7", "1-1/2", ("CH-5", "+x", 0, 0.1), ("CH-6", "-x", 0, 0.2))
    made.feed("C-8", "2", ("CH-5", "+z", -0.3, 0), "TP-1", reach_m=0.8)
    made.stub("C-9", "1-1/2", ("CH-5", "+z", 0.1, 0), reach_m=0.5, cap=True)
    made.feed("C-10", "2", ("CH-6", "+z", 0.2, 0), "TP-2", reach_m=0.8)
    made.stub("C-11", "1-1/2", ("CH-6", "+z", 0.1, 0), reach_m=0.5, cap=True)
    _control_house_back_wall(made)
    return replace(
        made.plant(),
        storeys=(_GROUND, Storey(name="Loft", level_m=2.35)),
        rooms=(
            Room(number="101", name="Switch room", corners=((24.5, 18.5, 0.0), (39.0, 21.5, 2.3))),
            Room(number="102", name="Control room", corners=((24.5, 21.5, 0.0), (39.0, 25.5, 2.3))),
            Room(number="103", name="Workshop", corners=((24.5, 25.5, 0.0), (39.0, 28.5, 2.3))),
            Room(number="201", name="Loft", corners=((23.5, 18.5, 2.35), (39.0, 28.5, 3.6))),
        ),
        circuits=(
            _circuit("House feeder", "C", 1, 5),
            _circuit("Telescope control", "C", 6, 11),
            _circuit("Workshop power", "C", 12, 14),
            _circuit("House lighting", "C", 15, 16),
        ),
    )


def _control_house_back_wall(made: Layout) -> None:
    front = {"cover": "-y"}
    made.box("CH-7", (26, 28, 1.5), (0.424, 0.2, 0.3), **front)
    made.box("CH-8", (30, 28, 1.5), (0.423, 0.2, 0.3), **front)
    made.box("CH-9", (34, 28, 1.5), (0.45, 0.2, 0.3), **front)
    made.box("CH-10", (38, 28, 1.5), (0.3, 0.15, 0.3), **front)
    made.box("CH-11", (26, 28, 2.6), (0.1, 0.055, 0.1), wall_m=0.002, **front)
    made.feed("C-12", "2", ("CH-7", "-x", 0, 0), "DP-2", reach_m=1.5)
    made.join("C-13", "2", ("CH-7", "+x", 0, 0), ("CH-8", "-x", 0, 0))
    made.join("C-14", "2", ("CH-8", "+x", 0, 0), ("CH-9", "-x", 0, 0))
    made.feed("C-15", "3/4", ("CH-11", "-x", 0, 0), "DP-3", reach_m=1.5)
    made.stub("C-16", "3/4", ("CH-11", "+x", 0, 0), reach_m=2.0, cap=True)


def dome() -> Plant:
    """Rigid conduit round the dome: long bends, a gap, and boxes turned to its slope."""
    made = Layout("Observatory dome", "RMC")
    made.box("DM-1", (0, 0, 1), (0.6, 0.6, 0.3))
    made.box("DM-2", (5, 0, 1), (0.6, 0.6, 0.3))
    made.box("DM-3", (8.3, 3, 1), (0.45, 0.45, 0.25))
    made.box("DM-4", (8.4, 8, 1), (0.5, 0.5, 0.3))
    made.box("DM-5", (12, 8.1, 2.5), (0.5, 0.4, 0.25), turned=(40, 25, 15))
    made.box("DM-6", (14, 10.5, 3.5), (0.31, 0.31, 0.25), turned=(100, -20, 10))
    made.feed("D-1", "2", ("DM-1", "-x", 0, 0), "MC-1")
    start = ("DM-1", "+x", 0, 0)
    loop = moves(made.mouth(start)[0], ("x", 1), ("z", 1), ("x", 1), ("z", -1))
    made.route("D-2", "2", AtBox(*start), AtBox("DM-2", "-x", 0, 0), loop)
    start = ("DM-2", "+x", 0, 0)
    loop = moves(made.mouth(start)[0], ("x", 1), ("z", 1), ("x", 1), ("z", -1), ("x", 1))
    made.route("D-3", "2", AtBox(*start), AtBox("DM-3", "-y", 0, 0), loop)
    made.route("D-4", "2", AtBox("DM-3", "+y", 0, 0), AtPoint((8.3, 5.0, 1.0), near="D-5"))
    made.route("D-5", "2", AtPoint((8.3, 5.03, 1.0), near="D-4"), AtBox("DM-4", "-y", -0.1, 0))
    made.bridge("D-6", "2", ("DM-4", "+x", 0.1, 0), ("DM-5", "-x", -0.1, 0), reach_m=0.8)
    made.bridge("D-7", "2", ("DM-5", "+y", 0.15, 0), ("DM-6", "-x", -0.1, 0), reach_m=0.8)
    made.feed("D-8", "2", ("DM-6", "+y", 0, 0), "SH-1")
    _dome_floor(made)
    return replace(
        made.plant(),
        storeys=(_GROUND, Storey(name="Observing floor", level_m=2.2)),
        rooms=(
            Room(number="D1", name="Pier room", corners=((-4.0, -1.5, 0.0), (7.0, 12.0, 2.2))),
            Room(number="D2", name="Drive room", corners=((7.0, -1.5, 0.0), (15.5, 12.0, 2.2))),
            Room(number="D3", name="Dome", corners=((-4.0, -1.5, 2.2), (15.5, 12.0, 6.0))),
        ),
        circuits=(
            _circuit("Dome drive", "D", 1, 8),
            _circuit("Shutter", "D", 9, 10),
            _circuit("Dome lighting", "D", 11, 14),
        ),
    )


def _dome_floor(made: Layout) -> None:
    made.box("DM-7", (0, 5, 1), (0.5, 0.6, 0.3))
    made.box("DM-8", (0, 9, 1), (0.3, 0.3, 0.3), cover="")
    made.feed("D-9", "1-1/4", ("DM-7", "+x", -0.2, 0), "MC-2")
    made.stub("D-10", "1", ("DM-7", "+x", 0.2, 0), reach_m=1.2)
    made.feed("D-11", "1", ("DM-8", "-x", -0.05, 0), "MC-3")
    arms = ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0))
    tee = Branch(id="TEE-1", centre=(0.05, 11, 1), arms=arms, trade_size_in="1",
                 raceway_type="RMC")  # fmt: skip
    made.branches.append(tee)
    ends = [AtPoint(tee.mouth(arm), meets=tee.id) for arm in range(3)]
    made.route("D-12", "1", AtBox("DM-8", "+y", 0.05, 0), ends[0])
    made.route("D-13", "1", ends[1], AtPoint((2.0, 11.0, 1.0), cap=True))
    made.route("D-14", "1", ends[2], AtPoint((-2.0, 11.0, 1.0), cap=True))


def generator_shed() -> Plant:
    """Boxes whose conductors a schedule tells."""
    made = Layout("Observatory generator shed", "EMT")
    front = {"cover": "-y"}
    made.box("GS-1", (0, 0, 1.5), (0.9, 0.3, 0.9), **front)
    made.box("GS-2", (0, 0, -0.6), (0.9, 0.3, 0.55), **front)
    made.box("GS-3", (-4, 0, -0.6), (0.6, 0.3, 0.6), **front)
    sizes = ("3", "2", "1-1/2")
    for number, (size, side, down) in enumerate(zip(sizes, (-0.2, 0, 0.13), (0.3, 0, -0.2),
                                                    strict=True), 1):  # fmt: skip
        made.feed(f"G-{number}", size, ("GS-1", "-x", 0, down), "G-SET")
        made.join(f"G-{number + 3}", size, ("GS-1", "-z", down, 0), ("GS-2", "+z", down, 0))
        made.join(f"G-{number + 6}", size, ("GS-2", "-x", 0, side), ("GS-3", "+x", 0, side))
    made.box("GS-4", (0, 4, 1.5), (0.45, 0.2, 0.45), **front)
    made.box("GS-5", (4, 4, 1.5), (0.36, 0.2, 0.45), **front)
    made.feed("G-10", "2", ("GS-4", "-x", 0, -0.1), "ATS-1")
    made.join("G-11", "2", ("GS-4", "+x", 0, -0.1), ("GS-5", "-x", 0, -0.1))
    made.join("G-12", "2", ("GS-4", "+x", 0, 0.1), ("GS-5", "-x", 0, 0.1))
    made.feed("G-13", "2", ("GS-5", "+z", 0.08, 0), "ATS-2", reach_m=0.8)
    _shed_back_entries(made)
    return replace(
        made.plant(),
        storeys=(Storey(name="Cable trench", level_m=-1.2), _GROUND),
        rooms=(
            Room(number="G1", name="Generator", corners=((-4.5, -2.0, 0.0), (6.0, 2.0, 3.2))),
            Room(number="G2", name="Transfer switch", corners=((-4.5, 2.0, 0.0), (6.0, 6.0, 3.2))),
            Room(number="G3", name="Batteries", corners=((-4.5, 6.0, 0.0), (6.0, 10.0, 3.2))),
            Room(number="G4", name="Store", corners=((-4.5, 10.0, 0.0), (6.0, 18.0, 3.2))),
        ),
        circuits=(
            _circuit("Generator", "G", 1, 9),
            _circuit("Transfer", "G", 10, 13),
            _circuit("Batteries", "G", 14, 16),
            _circuit("Shed lighting", "G", 17, 19),
            _circuit("Shed power", "G", 20, 22),
        ),
    )


def _shed_back_entries(made: Layout) -> None:
    front = {"cover": "-y"}
    made.box("GS-6", (0, 8, 1.5), (0.4, 0.2, 0.4), **front)
    made.box("GS-7", (4, 8, 1.5), (0.5, 0.12, 0.4), **front)
    made.feed("G-14", "2", ("GS-6", "+y", -0.15, 0), "BAT-1", reach_m=0.6)
    made.join("G-15", "2", ("GS-6", "+x", 0, 0), ("GS-7", "-x", 0, 0))
    made.feed("G-16", "2", ("GS-7", "+y", 0.2, 0), "BAT-2", reach_m=0.6)
    small = {**front, "wall_m": 0.002}
    made.box("GS-8", (0, 12, 1.5), (0.1, 0.055, 0.1), **small)
    made.box("GS-9", (3, 12, 1.5), (0.06, 0.04, 0.05), **small)
    made.feed("G-17", "3/4", ("GS-8", "-x", 0, 0), "LP-2")
    made.join("G-18", "3/4", ("GS-8", "+x", 0, 0), ("GS-9", "-x", 0, 0))
    made.feed("G-19", "3/4", ("GS-9", "+x", 0, 0), "LP-3")
    made.box("GS-10", (0, 16, 1.5), (0.45, 0.2, 0.45), **front)
    made.feed("G-20", "2", ("GS-10", "-x", 0, 0), "LP-4")
    made.feed("G-21", "2", ("GS-10", "+x", 0, 0), "LP-5")
    made.stub("G-22", "1-1/2", ("GS-10", "+z", 0, 0), reach_m=1.0, cap=True)
