"""Boxes: measured by their body, with what properties and settings say of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from weakref import WeakKeyDictionary

import numpy as np

from modelcheck.geometry.box_measure import Component, MeasuredBox, measure_box
from modelcheck.geometry.frames import Array, moved, rigid_inverse
from modelcheck.geometry.mesh import Face
from modelcheck.model.element import ElementRef, Enclosure
from modelcheck.read.box_properties import BoxFacts, inside_of, walls_facing
from modelcheck.read.conduits import body_faces, triangles_of
from modelcheck.read.recognised import Kind, Recognised
from modelcheck.read.shapes import Drawing, Drawn
from modelcheck.read.solids import carried, faces_of

_NECK_M = 0.003

Part = tuple[str, Drawn]  # name of a part and what it is drawn with


@dataclass(frozen=True, slots=True)
class BoxBody:
    """Body of a box, measured in the frame of its element."""

    measured: MeasuredBox | None
    reaches_out: bool = False  # it has a neck or hub beyond the walls

    @property
    def lacking(self) -> str:
        """Which face of it must be missing; empty if none is."""
        return self.measured.doubt if self.measured and self.measured.is_boxlike else ""


class BoxBodies:
    """Bodies of the boxes of one file; those drawn alike are measured once."""

    def __init__(self) -> None:
        self._known: WeakKeyDictionary[Drawing, BoxBody] = WeakKeyDictionary()

    def of(self, drawn: Drawn, parts: Sequence[Part]) -> BoxBody:
        """Body of a box and of its parts."""
        if parts:
            return _measured(drawn, parts)
        if drawn.own not in self._known:
            self._known[drawn.own] = _measured(drawn, ())
        return self._known[drawn.own]


def enclosure_of(
    drawn: Drawn,
    body: BoxBody,
    facts: BoxFacts,
    *,
    ref: ElementRef,
    recognised: Recognised,
    ported_to: tuple[tuple[str, int], ...],
) -> Enclosure:
    """The record of one box; without a readable body only what is said of it."""
    origin = drawn.matrix[:3, 3]
    said = Enclosure(
        ref=ref,
        origin=(float(origin[0]), float(origin[1]), float(origin[2])),
        cover=facts.cover,
        cover_from=facts.cover_from,
        is_conduit_body=recognised.kind is Kind.CONDUIT_BODY,
        is_wireway=recognised.is_wireway,
        marked_for=facts.marked_for,
        contents=facts.contents,
        system=facts.system,
        ported_to=ported_to,
        only_if_entered=recognised.only_if == "entered",
    )
    if body.measured is None:
        told = inside_of((None, None, None), facts)
        return replace(
            said,
            inside_m=told.inside_m,
            size_from=told.size_from,
            assumptions=(*facts.assumptions, *told.assumptions, "its body can't be measured"),
        )
    box = _with_body(said, _placed(body.measured, drawn.matrix), facts)
    is_measured = body.measured.is_boxlike and not said.is_conduit_body
    if is_measured and not body.reaches_out:
        return box
    return replace(box, triangles=triangles_of(body_faces(drawn)), has_flat_walls=is_measured)


def _placed(measured: MeasuredBox, matrix: Array) -> MeasuredBox:
    """`measured` where its element stands."""
    x, y, z = moved(matrix, np.array(measured.origin)).tolist()
    axes = (np.array(measured.axes) @ matrix[:3, :3].T).tolist()
    first, second, third = ((axis[0], axis[1], axis[2]) for axis in axes)
    return replace(measured, origin=(x, y, z), axes=(first, second, third))


def _with_body(said: Enclosure, measured: MeasuredBox, facts: BoxFacts) -> Enclosure:
    """A box with what its body adds to what is said of it."""
    is_measured = measured.is_boxlike and not said.is_conduit_body
    own = measured.inside_m if is_measured else (None, None, None)
    told = inside_of(own, facts, is_hollow=measured.is_hollow)
    cover = facts.cover or walls_facing(facts.cover_faces, measured.axes)
    return replace(
        said,
        origin=measured.origin,
        axes=measured.axes,
        inside_m=told.inside_m,
        outside_low_m=measured.outside_low_m,
        outside_high_m=measured.outside_high_m,
        size_from=told.size_from,
        size_conflict=told.conflict or ("" if told.size_from == "settings" else measured.divided),
        cover=cover or measured.cover,
        cover_from=facts.cover_from if cover else measured.cover_from,
        assumptions=(
            *facts.assumptions,
            *told.assumptions,
            *(measured.assumptions if told.size_from in ("body", "") else ()),
        ),
    )


def _measured(drawn: Drawn, parts: Sequence[Part]) -> BoxBody:
    """Measure what is drawn of a box and its parts, in its own frame."""
    components = [Component(faces=faces_of(each)) for each in drawn.own.solids]
    for name, part in parts:
        apart = rigid_inverse(drawn.matrix) @ part.matrix
        components += [
            Component(faces=faces_of(carried(each, apart)), name=name) for each in part.own.solids
        ]
    if not components:
        components = [Component(faces=list(each.faces)) for each in drawn.own.bounds]
    try:
        measured = measure_box(components, np.eye(3)) if components else None
    except ValueError:
        measured = None
    if measured is None:
        return BoxBody(None)
    own = [face for each in drawn.own.solids or drawn.own.bounds for face in faces_of(each)]
    return BoxBody(measured, reaches_out=_reaches_out(own, measured))


def _reaches_out(faces: Sequence[Face], measured: MeasuredBox) -> bool:
    """True if faces of a box lie beyond its outside, more than a gasket does."""
    if not faces:
        return False
    corners = np.vstack([face[0] for face in faces]) - np.array(measured.origin)
    local = corners @ np.array(measured.axes).T
    low, high = np.array(measured.outside_low_m), np.array(measured.outside_high_m)
    return bool(((local < low - _NECK_M) | (local > high + _NECK_M)).any())
