"""Boxes: measured by their body, with what properties and settings say of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from modelcheck.geometry.box_measure import Component, MeasuredBox, measure_box
from modelcheck.model.element import ElementRef, Enclosure, Triangle
from modelcheck.read.box_properties import BoxFacts, inside_of, walls_facing
from modelcheck.read.conduits import body_faces, triangles_of
from modelcheck.read.recognised import Kind, Recognised
from modelcheck.read.shapes import Drawn
from modelcheck.read.solids import faces_of

_NECK_M = 0.003

Part = tuple[str, Drawn]  # name of a part and what it is drawn with


def enclosure_of(
    drawn: Drawn,
    parts: Sequence[Part],
    facts: BoxFacts,
    *,
    ref: ElementRef,
    recognised: Recognised,
    ported_to: tuple[tuple[str, int], ...],
) -> Enclosure:
    """The record of one box; without a readable body only what is said of it."""
    measured = _measured(drawn, parts)
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
    if measured is None:
        told = inside_of((None, None, None), facts)
        return replace(
            said,
            inside_m=told.inside_m,
            size_from=told.size_from,
            assumptions=(*facts.assumptions, *told.assumptions, "its body can't be measured"),
        )
    return _with_body(said, measured, drawn, facts)


def _with_body(said: Enclosure, measured: MeasuredBox, drawn: Drawn, facts: BoxFacts) -> Enclosure:
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
        size_conflict=told.conflict,
        cover=cover or measured.cover,
        cover_from=facts.cover_from if cover else measured.cover_from,
        triangles=_extra_triangles(measured, drawn, is_measured=is_measured),
        assumptions=(
            *facts.assumptions,
            *told.assumptions,
            *(measured.assumptions if told.size_from in ("body", "") else ()),
        ),
    )


def _extra_triangles(
    measured: MeasuredBox, drawn: Drawn, *, is_measured: bool
) -> tuple[Triangle, ...]:
    """Body of what is more than a box: round, a conduit body, or with a neck or hub."""
    faces = body_faces(drawn)
    if is_measured and faces:
        corners = np.vstack([face[0] for face in faces]) - np.array(measured.origin)
        local = corners @ np.array(measured.axes).T
        low, high = np.array(measured.outside_low_m), np.array(measured.outside_high_m)
        if not ((local < low - _NECK_M) | (local > high + _NECK_M)).any():
            return ()
    return triangles_of(faces)


def _measured(drawn: Drawn, parts: Sequence[Part]) -> MeasuredBox | None:
    components = [
        Component(faces=faces_of(each), name=name)
        for name, shape in (("", drawn), *parts)
        for each in shape.solids
    ]
    if not components:
        components = [Component(faces=list(each.faces)) for each in drawn.bounds]
    try:
        return measure_box(components, drawn.matrix[:3, :3].T.copy()) if components else None
    except ValueError:
        return None
