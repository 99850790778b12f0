"""Boxes: measured by their body, with what properties and settings say of them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from modelcheck.geometry.box_measure import Component, MeasuredBox, measure_box
from modelcheck.geometry.frames import Array
from modelcheck.model.element import ElementRef, Enclosure, Point
from modelcheck.read.box_properties import BoxFacts, inside_of, walls_facing
from modelcheck.read.conduits import body_triangles
from modelcheck.read.recognised import Kind, Recognised
from modelcheck.read.shapes import Drawn
from modelcheck.read.solids import Swept, faces_along

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
    is_body = recognised.kind is Kind.CONDUIT_BODY
    if measured is None:
        told = inside_of((None, None, None), facts)
        origin = drawn.matrix[:3, 3]
        return Enclosure(
            ref=ref,
            origin=(float(origin[0]), float(origin[1]), float(origin[2])),
            inside_m=told.inside_m,
            size_from=told.size_from,
            cover=facts.cover,
            cover_from=facts.cover_from,
            is_conduit_body=is_body,
            is_wireway=recognised.is_wireway,
            marked_for=facts.marked_for,
            contents=facts.contents,
            system=facts.system,
            ported_to=ported_to,
            only_if_entered=recognised.only_if == "entered",
            assumptions=(*facts.assumptions, *told.assumptions, "its body can't be measured"),
        )
    return _of_body(measured, drawn, facts, ref=ref, recognised=recognised, ported_to=ported_to)


def _of_body(
    measured: MeasuredBox,
    drawn: Drawn,
    facts: BoxFacts,
    *,
    ref: ElementRef,
    recognised: Recognised,
    ported_to: tuple[tuple[str, int], ...],
) -> Enclosure:
    is_body = recognised.kind is Kind.CONDUIT_BODY
    own = (None, None, None) if is_body or not measured.is_boxlike else measured.inside_m
    told = inside_of(own, facts, is_hollow=measured.is_hollow)
    cover = facts.cover or walls_facing(facts.cover_faces, measured.axes)
    cover_from = facts.cover_from if cover else ""
    if not cover:
        cover, cover_from = measured.cover, measured.cover_from
    return Enclosure(
        ref=ref,
        origin=measured.origin,
        axes=measured.axes,
        inside_m=told.inside_m,
        outside_low_m=measured.outside_low_m,
        outside_high_m=measured.outside_high_m,
        size_from=told.size_from,
        size_conflict=told.conflict,
        cover=cover,
        cover_from=cover_from,
        is_conduit_body=is_body,
        is_wireway=recognised.is_wireway,
        marked_for=facts.marked_for,
        contents=facts.contents,
        system=facts.system,
        ported_to=ported_to,
        triangles=_extra_triangles(measured, drawn, is_body=is_body),
        only_if_entered=recognised.only_if == "entered",
        assumptions=(
            *facts.assumptions,
            *told.assumptions,
            *(measured.assumptions if told.size_from in ("body", "") else ()),
        ),
    )


def _extra_triangles(
    measured: MeasuredBox, drawn: Drawn, *, is_body: bool
) -> tuple[tuple[Point, Point, Point], ...]:
    """Body of what is more than a box: round, a conduit body, or with a neck or hub."""
    triangles = body_triangles(drawn)
    if is_body or not measured.is_boxlike:
        return triangles
    corners = np.array(triangles).reshape(-1, 3) - np.array(measured.origin)
    local = corners @ np.array(measured.axes).T
    low, high = np.array(measured.outside_low_m), np.array(measured.outside_high_m)
    sticks_out = bool(((local < low - _NECK_M) | (local > high + _NECK_M)).any())
    return triangles if sticks_out else ()


def _measured(drawn: Drawn, parts: Sequence[Part]) -> MeasuredBox | None:
    components = [*_components("", drawn, is_part=False)]
    for name, shape in parts:
        components += _components(name, shape, is_part=True)
    if not components:
        components = [Component(faces=list(each.faces)) for each in drawn.bounds]
    try:
        return measure_box(components, _axes(drawn)) if components else None
    except ValueError:
        return None


def _components(name: str, drawn: Drawn, *, is_part: bool) -> list[Component]:
    return [
        Component(
            faces=faces_along(each) if isinstance(each, Swept) else list(each.faces),
            name=name,
            is_part=is_part,
        )
        for each in drawn.solids
    ]


def _axes(drawn: Drawn) -> Array:
    return drawn.matrix[:3, :3].T.copy()
