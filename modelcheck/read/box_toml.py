"""BOX.toml: boxes described by hand, as the checks take them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from modelcheck.errors import InputFileError, RuleInputError
from modelcheck.model.element import (
    RACEWAY_TYPES,
    WALLS,
    ElementRef,
    Enclosure,
    RacewaySize,
    axis_of,
)
from modelcheck.model.pull import BoxCase, BoxPull, Conductors
from modelcheck.model.run import Entry
from modelcheck.read.box_contents import read_contents
from modelcheck.read.raceway_names import size_named
from modelcheck.read.toml_table import TomlTable, nearest, read_toml
from modelcheck.rules.conductors import conductor, conductor_size, insulations
from modelcheck.units import Unit, to_metres

_ROLES = ("phase", "neutral", "bonding")
_MATERIALS = ("copper", "aluminum")
_INSIDE_COUNT, _AT_COUNT = 3, 2


def read_boxes(path: Path) -> tuple[BoxCase, ...]:
    """Boxes of the file at `path`, in its order.

    Raises
    ------
    InputFileError
        If the file can't be read, or a key, wall, size or name can't be used; the box and the
        entry are named.
    """
    top = read_toml(path)
    tables = top.tables("box")
    top.done()
    if not tables:
        raise top.error("there is no box: describe each under [[box]]")
    cases = tuple(_case(table, number) for number, table in enumerate(tables, start=1))
    names = [case.enclosure.ref.name for case in cases]
    for place, name in enumerate(names):
        if name in names[:place]:
            raise tables[place].error(f"is {name!r} a second time, give it its own", key="name")
    return cases


def _case(table: TomlTable, number: int) -> BoxCase:
    name = table.text("name", f"box {number}")
    with _told(f"box {name!r}"):
        box = _enclosure(table, name, number)
        entries = tuple(
            _entry(each, box, place) for place, each in enumerate(table.tables("entry"))
        )
        _check_names(table, entries)
        pulls = _pulls(table.tables("pull"), entries)
        table.done()
    return BoxCase(enclosure=box, entries=entries, pulls=pulls)


@contextmanager
def _told(where: str) -> Iterator[None]:
    """Name `where` in an error about it."""
    try:
        yield
    except InputFileError as error:
        prefix = error.path if error.line is None else f"{error.path}:{error.line}"
        message = str(error).removeprefix(f"{prefix}: ")
        if not message.startswith("in "):
            message = f"in {where}: {message}"
        elif where not in message:
            message = f"in {where}, {message.removeprefix('in ')}"
        raise InputFileError(message, path=error.path, line=error.line) from None


def _enclosure(table: TomlTable, name: str, number: int) -> Enclosure:
    return Enclosure(
        ref=ElementRef(model=table.path.name, guid=name, name=name, step_id=number),
        inside_m=_inside_m(table),
        cover=table.texts("cover", WALLS),
        is_conduit_body=bool(table.flag("conduit_body")),
        is_wireway=bool(table.flag("wireway")),
        marked_for=table.text("marked_for"),
        contents=read_contents(table),
        system=table.text("system"),
    )


def _inside_m(table: TomlTable) -> tuple[float | None, float | None, float | None]:
    inside, key = _lengths_m(table, "inside", _INSIDE_COUNT)
    if inside is None:
        return (None, None, None)
    if min(inside) <= 0:
        raise table.error("has a size that is not more than 0", key=key)
    return (inside[0], inside[1], inside[2])


def _lengths_m(table: TomlTable, key: str, count: int) -> tuple[tuple[float, ...] | None, str]:
    """Lengths at ``key_mm`` or ``key_in`` in metres, and the key they stand at."""
    if table.has(f"{key}_mm") and table.has(f"{key}_in"):
        raise table.error("is also given in mm, give one of the two", key=f"{key}_in")
    unit: Unit = "in" if table.has(f"{key}_in") else "mm"
    lengths = table.numbers(f"{key}_{unit}", count)
    if lengths is None:
        return None, f"{key}_mm"
    return tuple(to_metres(length, unit) for length in lengths), f"{key}_{unit}"


def _entry(table: TomlTable, box: Enclosure, place: int) -> Entry:
    name = table.text("name")
    with _told(f"entry {name!r}" if name else f"entry {place + 1}"):
        wall, size = table.choice("wall", WALLS), _size(table)
        at_m, key = _lengths_m(table, "at", _AT_COUNT)
        is_cable = bool(table.flag("cable"))
        table.done()  # a misspelt key first, it may be the one that is missing
        if not name:
            raise table.error("must give its name")
        if wall is None:
            raise table.error(f"must give its wall, one of {', '.join(WALLS)}")
        if not size.known:
            raise table.error("must give its trade_size_in or its metric_designator")
        if at_m is not None:
            _check_on_wall(table, key, at_m, wall, box)
    return Entry(
        box=box.ref,
        conduit=ElementRef(model=box.ref.model, guid=name, name=name, step_id=place + 1),
        wall=wall,
        u_m=None if at_m is None else at_m[0],
        v_m=None if at_m is None else at_m[1],
        size=size,
        is_cable=is_cable,
    )


def _size(table: TomlTable) -> RacewaySize:
    trade_size, designator = table.text("trade_size_in"), table.whole("metric_designator")
    raceway_type = table.choice("raceway_type", RACEWAY_TYPES) or ""
    try:
        size = size_named(trade_size, designator)
    except RuleInputError as error:
        key = "trade_size_in" if designator is None else "metric_designator"
        raise table.error(str(error), key=key) from None
    if size is None:
        return RacewaySize(raceway_type=raceway_type)
    return RacewaySize(
        raceway_type=raceway_type,
        trade_size_in=size.trade_size_in,
        metric_designator=size.metric_designator,
        size_from="settings",
    )


def _check_on_wall(
    table: TomlTable, key: str, at_m: Sequence[float], wall: str, box: Enclosure
) -> None:
    sides = [length for axis, length in enumerate(box.inside_m) if axis != axis_of(wall)]
    for offset_m, side_m in zip(at_m, sides, strict=True):
        if side_m is not None and abs(offset_m) > side_m / 2:
            raise table.error(
                f"lies off the wall: at most {side_m / 2:g} m from its middle that way", key=key
            )


def _check_names(table: TomlTable, entries: Sequence[Entry]) -> None:
    names = [entry.conduit.name for entry in entries]
    for place, name in enumerate(names):
        if name in names[:place]:
            raise table.error(f"entry {name!r} stands twice, give each entry its own name")


def _pulls(tables: Sequence[TomlTable], entries: Sequence[Entry]) -> tuple[BoxPull, ...] | None:
    """Pulls by name; conductors of several tables of one name go the same way."""
    pulls: dict[str, BoxPull] = {}
    for number, table in enumerate(tables, start=1):
        name = table.text("name", f"pull {number}")
        with _told(f"pull {name!r}"):
            pull = _pull(table, name, entries)
            first = pulls.get(name)
            if first is not None and set(first.entries) != set(pull.entries):
                raise table.error(f"{name!r} has other entries above", key="entries")
        pulls[name] = pull if first is None else _joined(first, pull)
    return tuple(pulls.values()) or None


def _joined(first: BoxPull, more: BoxPull) -> BoxPull:
    return replace(
        first,
        conductors=(*first.conductors, *more.conductors),
        spliced=first.spliced or more.spliced,
        is_spare=first.is_spare and more.is_spare,
    )


def _pull(table: TomlTable, name: str, entries: Sequence[Entry]) -> BoxPull:
    known = [entry.conduit.name for entry in entries]
    named, conductors = table.texts("entries"), _conductors(table)
    pull = BoxPull(
        name=name,
        entries=tuple(dict.fromkeys(known.index(each) for each in named if each in known)),
        conductors=conductors,
        spliced=bool(table.flag("spliced")),
        is_spare=any(each.count == 0 for each in conductors),
        system=table.text("system"),
        voltage_v=table.number("voltage_v", least=0),
    )
    table.done()
    if not named:
        raise table.error("must give its entries")
    for each in named:
        if each not in known:
            raise table.error(
                f"names {each!r}, which is no entry of the box{nearest(each, known)}", key="entries"
            )
    return pull


def _conductors(table: TomlTable) -> tuple[Conductors, ...]:
    size, insulation = table.text("conductor_size"), table.text("insulation")
    count, role = table.whole("count"), table.choice("role", _ROLES) or ""
    material = table.choice("material", _MATERIALS) or ""
    if size and conductor_size(size) is None:
        raise table.error(
            f"is {size!r}, it must be a size such as 4 AWG, 1/0 AWG or 250 kcmil",
            key="conductor_size",
        )
    word = insulation.split()[0].upper() if insulation else ""
    known = [name.upper() for name in insulations()]
    if word and word not in (*known, "COMPACT"):
        raise table.error(
            f"is {insulation!r}, which the conductor table doesn't have{nearest(word, known)};"
            f" known: {', '.join(insulations())}",
            key="insulation",
        )
    if size and word and conductor(size, insulation) is None:
        raise table.error(
            f"is {insulation!r}, which the conductor table doesn't have in {size}", key="insulation"
        )
    if not (size or insulation or role or count is not None):
        return ()
    return (
        Conductors(size=size, insulation=insulation, count=count, material=material, role=role),
    )
