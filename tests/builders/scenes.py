"""Plants that the tests draw in many habits."""

from __future__ import annotations

from tests.builders.plant import AtBox, AtPoint, Box, Branch, Equipment, Plant, Route
from tests.builders.space import Frame, Point


def first_plant() -> Plant:
    """Straight, angle and U pulls, a back entry, exactly 360 degrees, open and closed ends."""
    boxes = (
        Box(id="PB-1", inside_m=(0.9, 0.6, 0.3), frame=Frame.turned((0.0, 0.0, 2.0))),
        Box(id="PB-2", inside_m=(0.75, 0.6, 0.3), frame=Frame.turned((6.0, 0.0, 2.0))),
        Box(
            id="PB-3",
            inside_m=(0.5, 0.4, 0.25),
            cover=("-y",),
            frame=Frame.turned((0.0, 4.0, 2.0)),
        ),
        Box(
            id="PB-4",
            inside_m=(0.6, 0.45, 0.2),
            frame=Frame.turned((8.0, 5.0, 3.0), about="zyx", degrees_=(30.0, 20.0, 10.0)),
        ),
    )
    turned = boxes[3]
    mouth, out = turned.mouth("-x", 0.05, 0.02)
    away = tuple(a + 1.8 * b for a, b in zip(mouth, out, strict=True))
    routes = (
        # straight through PB-1
        Route(
            id="R1",
            trade_size_in="3",
            start=AtBox("PB-1", "+x", -0.1, 0.08),
            end=AtBox("PB-2", "-x", -0.1, 0.08),
        ),
        # a U pull: leaves PB-2 by +y and comes back by +y
        Route(
            id="R2",
            trade_size_in="2",
            start=AtBox("PB-2", "+y", -0.275, -0.08),
            corners=((5.725, 2.0, 1.92), (6.275, 2.0, 1.92)),
            end=AtBox("PB-2", "+y", 0.275, -0.08),
        ),
        # angle: PB-1 by +y to PB-3 by -x, into the wall opposite nothing
        Route(
            id="R3",
            trade_size_in="1-1/2",
            start=AtBox("PB-1", "-x", 0.1, 0.05),
            corners=((-1.5, 0.1, 2.05), (-1.5, 4.02, 2.05)),
            end=AtBox("PB-3", "-x", 0.02, 0.05),
        ),
        # into the back of PB-1, opposite its cover, four quarter bends: exactly 360 degrees
        Route(
            id="R4",
            trade_size_in="2",
            start=AtBox("PB-1", "-z", 0.2, 0.2),
            corners=((0.2, 0.2, 0.5), (0.2, 1.5, 0.5), (2.0, 1.5, 0.5), (2.0, 1.5, 2.0)),
            end=AtPoint((2.0, 4.0, 2.0), cap=True),
        ),
        # an open end after two 45 degree bends
        Route(
            id="R5",
            trade_size_in="1",
            start=AtBox("PB-3", "+x", 0.0, 0.0),
            corners=((1.5, 4.0, 2.0), (2.0, 4.5, 2.0)),
            end=AtPoint((2.0, 5.5, 2.0)),
            raceway_type="RMC",
        ),
        # five quarter bends: over the limit; its end nearly meets the next one
        Route(
            id="R7",
            trade_size_in="1-1/4",
            start=AtBox("PB-2", "+x", -0.1, 0.08),
            corners=(
                (7.5, -0.1, 2.08),
                (7.5, 1.5, 2.08),
                (7.5, 1.5, 0.8),
                (9.0, 1.5, 0.8),
                (9.0, 1.5, 2.5),
            ),
            end=AtPoint((10.0, 1.5, 2.5), near="R8"),
        ),
        Route(
            id="R8",
            trade_size_in="1-1/4",
            start=AtPoint((10.03, 1.5, 2.5), near="R7"),
            end=AtPoint((12.0, 1.5, 2.5), cap=True),
        ),
        # out of the box that is turned about all three axes, to a panel
        Route(
            id="R6",
            trade_size_in="2-1/2",
            start=AtBox("PB-4", "-x", 0.05, 0.02),
            end=AtPoint(away, meets="LP-1"),
        ),
    )
    panel = Equipment(
        id="LP-1",
        size_m=(0.4, 0.5, 0.6),
        frame=turned.frame @ Frame.turned((-0.3 - 1.8 - 0.2, 0.05, 0.02)),
    )
    tee = Branch(
        id="T-1",
        centre=(-3.0, 0.0, 2.0),
        arms=((1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
        trade_size_in="3/4",
    )
    routes += (
        Route(
            id="R9",
            trade_size_in="3/4",
            start=AtBox("PB-1", "-x", 0.0, 0.0),
            end=AtPoint(tee.mouth(0), meets="T-1"),
        ),
        Route(
            id="R10",
            trade_size_in="3/4",
            start=AtPoint(tee.mouth(2), meets="T-1"),
            end=AtPoint((-3.0, 1.5, 2.0), cap=True),
        ),
        Route(
            id="R11",
            trade_size_in="3/4",
            start=AtPoint(tee.mouth(1), meets="T-1"),
            corners=((-5.0, 0.0, 2.0),),
            end=AtPoint((-5.0, 0.0, 0.5)),
            raceway_type="EMT",
        ),
    )
    return Plant(
        name="First plant",
        boxes=boxes,
        routes=routes,
        equipment=(panel,),
        branches=(tee,),
        walls=(((3.0, 0.0, 2.0), (0.2, 3.0, 3.0)), ((-5.0, 0.0, 0.4), (1.0, 1.0, 0.2))),
        trays=(((3.0, -0.1, 1.7), (5.0, 0.3, 0.1)),),
    )


def facing_boxes(
    *, first: Point = (0.6, 0.6, 0.3), second: Point = (0.6, 0.6, 0.3)
) -> tuple[Box, Box]:
    """Two boxes that face each other, 4 m apart."""
    return (
        Box(id="PB-1", inside_m=first, frame=Frame.turned((0.0, 0.0, 0.0))),
        Box(id="PB-2", inside_m=second, frame=Frame.turned((4.0, 0.0, 0.0))),
    )


def between(route_id: str = "R1", size: str = "2", *, reduced_to: str = "") -> Route:
    """A straight run from one of the facing boxes to the other."""
    return Route(
        id=route_id,
        trade_size_in=size,
        start=AtBox("PB-1", "+x"),
        end=AtBox("PB-2", "-x"),
        reduced_to=reduced_to,
    )
