"""Models of any size, written as text and quickly: the bays of `big_bays` again and again.

A million elements take about half a minute and little memory, and what must be found of them is
known: what must be found of each bay.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from tests.builders.big_bays import BAY_M, BAYS
from tests.builders.big_stencil import (
    BAYS_A_STOREY,
    BAYS_ALONG,
    GUID_KEPT,
    Out,
    Stencil,
    code_of,
    kind_of,
    name_of,
    stencil_of,
)
from tests.builders.expect import Expected, expect
from tests.builders.guids import guid_of

STOREY_M = 4.0
_HEADER = """ISO-10303-21;
HEADER;
FILE_DESCRIPTION(('ViewDefinition [ReferenceView]'),'2;1');
FILE_NAME('{name}','2026-01-01T00:00:00',(''),(''),'model builders','model builders','');
FILE_SCHEMA(('IFC4'));
ENDSEC;
DATA;
"""
_FOOTER = "ENDSEC;\nEND-ISO-10303-21;\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What was written: the bays from the first on, and the number of their elements."""

    first_bay: int
    bays: int
    elements: int

    def expected(self) -> Expected:
        """Everything that must be found of conduit and boxes."""
        parts = [_expected(number) for number in range(self.first_bay, self.first_bay + self.bays)]
        return Expected(
            runs=tuple(run for part in parts for run in part.runs),
            boxes=tuple(box for part in parts for box in part.boxes),
            entries=tuple(entry for part in parts for entry in part.entries),
            loose=tuple(end for part in parts for end in part.loose),
            axes_known=True,
            guids={key: guid for part in parts for key, guid in part.guids.items()},
        )


def write_big_model(path: Path, elements: int, *, first_bay: int = 0) -> Made:
    """Write a model of at least so many elements, half of them conduit and boxes.

    Models of one project begin each at the bay after the last one's.
    """
    with path.open("w", encoding="ascii", newline="\n", buffering=1 << 20) as file:
        out = Out(file)
        file.write(_HEADER.format(name=path.name))
        stencils = [stencil_of(bay, out) for bay in BAYS]
        made = _write_storeys(out, stencils, elements, first_bay)
        for type_id, entities in out.of_type.items():
            guid = guid_of(f"typed {type_id} from {first_bay}")
            out.write(f"IFCRELDEFINESBYTYPE('{guid}',$,$,$,({','.join(entities)}),#{type_id})")
        file.write(_FOOTER)
    return made


def _write_storeys(out: Out, stencils: Sequence[Stencil], elements: int, first_bay: int) -> Made:
    project = next(key for key in out.shared if key.startswith("IFCPROJECT("))
    building, placement = _write_building(out, out.shared[project])
    storeys: list[int] = []
    written = 0
    bay = first_bay
    while written < elements:
        number = bay // BAYS_A_STOREY
        storey, parent = _write_storey(out, number, placement)
        storeys.append(storey)
        held: list[str] = []
        spaces: list[str] = []
        while written < elements and bay // BAYS_A_STOREY == number:
            stencil, base = stencils[kind_of(bay)], out.next_id
            out.file.write(stencil.filled(bay, base=base, parent=parent))
            out.next_id += stencil.size
            held += [f"#{base + own}" for own in stencil.elements]
            spaces.append(f"#{base + stencil.space}")
            for type_id, entities in stencil.of_type:
                out.of_type[type_id] += [f"#{base + own}" for own in entities]
            written += len(stencil.elements)
            bay += 1
        _close_storey(out, number, storey, held, spaces)
    guid = guid_of("storeys of the building")
    listed = ",".join(f"#{storey}" for storey in storeys)
    out.write(f"IFCRELAGGREGATES('{guid}',$,$,$,#{building},({listed}))")
    return Made(first_bay=first_bay, bays=bay - first_bay, elements=written)


def _axes(out: Out, z_mm: float = 0.0) -> int:
    point = out.write(f"IFCCARTESIANPOINT((0.,0.,{z_mm:.1f}))")
    return out.write(f"IFCAXIS2PLACEMENT3D(#{point},$,$)")


def _write_building(out: Out, project: int) -> tuple[int, int]:
    """Site and building; gives the ids of the building and of its placement."""
    whole, parent = project, "$"
    for name, values in (("Site", ",$,$,$,$,$"), ("Building", ",$,$,$")):
        placement = out.write(f"IFCLOCALPLACEMENT({parent},#{_axes(out)})")
        head = f"'{guid_of(f'big {name}')}',$,'{name}',$,$,#{placement},$,$,.ELEMENT."
        own = out.write(f"IFC{name.upper()}({head}{values})")
        guid = guid_of(f"big {name} in")
        out.write(f"IFCRELAGGREGATES('{guid}',$,$,$,#{whole},(#{own}))")
        whole, parent = own, f"#{placement}"
    return whole, placement


def _write_storey(out: Out, number: int, parent: int) -> tuple[int, int]:
    height_mm = 1000 * STOREY_M * number
    placement = out.write(f"IFCLOCALPLACEMENT(#{parent},#{_axes(out, height_mm)})")
    head = f"'{guid_of(f'storey {number}')}',$,'Level {number}',$,$,#{placement}"
    storey = out.write(f"IFCBUILDINGSTOREY({head},$,$,.ELEMENT.,{height_mm:.1f})")
    return storey, placement


def _close_storey(
    out: Out, number: int, storey: int, held: Sequence[str], spaces: Sequence[str]
) -> None:
    """What the storey holds, its spaces and its grid."""
    held = [*held, f"#{_write_grid(out, number)}"]
    for name, text in (
        ("IFCRELCONTAINEDINSPATIALSTRUCTURE", f"({','.join(held)}),#{storey}"),
        ("IFCRELAGGREGATES", f"#{storey},({','.join(spaces)})"),
    ):
        out.write(f"{name}('{guid_of(f'{name} {storey}')}',$,$,$,{text})")


def _write_grid(out: Out, number: int) -> int:
    """Grid lines between the bays."""
    reach = 1000 * BAYS_ALONG * max(BAY_M)
    axes: list[list[str]] = [[], []]
    for along, step in enumerate(BAY_M):
        for line in range(BAYS_ALONG + 1):
            at = 1000 * step * line
            ends = [(at, 0.0), (at, reach)] if along == 0 else [(0.0, at), (reach, at)]
            points = [out.write(f"IFCCARTESIANPOINT(({x:.1f},{y:.1f}))") for x, y in ends]
            curve = out.write(f"IFCPOLYLINE((#{points[0]},#{points[1]}))")
            axis = out.write(f"IFCGRIDAXIS('{line}',#{curve},.T.)")
            axes[along].append(f"#{axis}")
    guid = guid_of(f"grid {number}")
    u, v = (",".join(each) for each in axes)
    return out.write(f"IFCGRID('{guid}',$,'Grid',$,$,$,$,({u}),({v}),$,$)")


@cache
def _expected_of(kind: int) -> Expected:
    return expect(BAYS[kind].plant, BAYS[kind].habit)


def _expected(number: int) -> Expected:
    """What must be found of one bay: that of its kind, under other names and GlobalIds."""
    part = _expected_of(kind_of(number))

    def guid(text: str) -> str:
        return text[:GUID_KEPT] + code_of(number) if text else ""

    def guids(texts: Sequence[str]) -> tuple[str, ...]:
        return tuple(guid(text) for text in texts)

    def name(text: str) -> str:
        return text.replace("@", name_of(number))

    return Expected(
        runs=tuple(
            replace(
                run,
                id=name(run.id),
                element_guids=guids(run.element_guids),
                start_guid=guid(run.start_guid),
                end_guid=guid(run.end_guid),
            )
            for run in part.runs
        ),
        boxes=tuple(
            replace(box, id=name(box.id), box_guid=guid(box.box_guid)) for box in part.boxes
        ),
        entries=tuple(
            replace(
                entry,
                box_guid=guid(entry.box_guid),
                conduit_guid=guid(entry.conduit_guid),
                run=name(entry.run),
            )
            for entry in part.entries
        ),
        loose=tuple(replace(end, element_guids=guids(end.element_guids)) for end in part.loose),
        axes_known=part.axes_known,
        guids={name(key): guid(own) for key, own in part.guids.items()},
    )
