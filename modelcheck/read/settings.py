"""SETTINGS.toml and the options, put together."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from modelcheck.errors import RuleInputError
from modelcheck.model.element import RACEWAY_TYPES, WALLS
from modelcheck.model.finding import BOX_CHECKS, RUN_CHECKS
from modelcheck.model.settings import (
    Amendment,
    BoxSettings,
    ConduitSettings,
    Limits,
    Options,
    PropertyNames,
    RuleSwitches,
    Select,
    Settings,
    Tolerances,
)
from modelcheck.read.acceptances import read_acceptances
from modelcheck.read.box_contents import read_contents, read_length_m
from modelcheck.read.pulling_settings import read_pulling
from modelcheck.read.raceway_names import size_named
from modelcheck.read.toml_table import TomlTable, read_toml
from modelcheck.units import M_PER_FOOT, Unit, to_metres

_CODES = ("cec", "nec")
_BASES = ("metric", "inch")
_UNITS = ("mm", "in")
_SWITCHES = {
    "row": ("linked", "all-aligned"),
    "spacing": ("edge", "centre"),
    "spliced_straight": ("both", "angle"),
    "straight_in_row": ("sum", "out"),
    "largest_straight": ("own", "box"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _CodeDefaults:
    edition: str
    basis: str
    units: str


_DEFAULTS = {
    "cec": _CodeDefaults(edition="2024", basis="metric", units="mm"),
    "nec": _CodeDefaults(edition="2023", basis="inch", units="in"),
}


def read_settings(path: Path | None, options: Options) -> Settings:
    """Everything that is set: `options` before the file at `path`, the code's defaults last.

    Raises
    ------
    InputFileError
        If the file can't be read, or a table, key or value of it can't be used.
    """
    top = TomlTable({}, path=Path(), text="") if path is None else read_toml(path)
    settings = Settings(
        **_chosen(top.table("options"), options),
        select=_select(top.table("select")),
        tolerances=_tolerances(top.table("tolerances")),
        properties=_properties(top.table("properties")),
        boxes=tuple((name, _box(table)) for name, table in _named(top, "box")),
        conduits=tuple((name, _conduit(table)) for name, table in _named(top, "conduit")),
        meant_ends=_lone_texts(top.table("ends"), "meant"),
        exclude_systems=_lone_texts(top.table("systems"), "exclude"),
        rules=_switches(top.table("rules")),
        limits=_limits(top.table("limits")),
        pulling=read_pulling(top.table("pulling")) if top.has("pulling") else None,
        makeup_m=_makeup_m(top.table("schedule")),
        amendments=tuple(_amendment(table) for table in top.tables("amendment")),
        boxes_at_hand_m=_boxes_at_hand(top.table("boxes_at_hand")),
        accepted=read_acceptances(top.tables("accepted")),
    )
    top.done()
    return settings


def _named(top: TomlTable, key: str) -> tuple[tuple[str, TomlTable], ...]:
    """Tables below `key`, one an element: ``[box."PB-1"]``."""
    table = top.table(key)
    return tuple((name, table.table(name)) for name in table)


def _chosen(table: TomlTable, options: Options) -> dict[str, Any]:
    _refuse_unknown(options)
    own_code, edition = table.choice("code", _CODES), table.text("edition")
    basis, units = table.choice("basis", _BASES), table.choice("units", _UNITS)
    is_strict = table.flag("strict")
    table.done()
    code = options.code or own_code or "cec"
    if own_code not in (None, code):
        edition = ""  # it is one of the other code
    default = _DEFAULTS[code]
    return {
        "code": code,
        "edition": options.edition or edition or default.edition,
        "basis": options.basis or basis or default.basis,
        "units": options.units or units or default.units,
        "strict": options.strict or bool(is_strict),
    }


def _refuse_unknown(options: Options) -> None:
    """Refuse what the command line would not let through."""
    known = {"code": _CODES, "basis": _BASES, "units": _UNITS}
    for name, choices in known.items():
        value = getattr(options, name)
        if value is not None and value not in choices:
            raise RuleInputError(f"{name} is {value!r}, it must be {' or '.join(choices)}")


def _select(table: TomlTable) -> Select:
    select = Select(**{key: table.text(key) or None for key in ("conduit", "fitting", "box")})
    table.done()
    if select != Select():
        from modelcheck.read.selection import check_query  # noqa: PLC0415 - loads slowly

        for key in table:
            check_query(table, key)
    return select


def _tolerances(table: TomlTable) -> Tolerances:
    default = Tolerances()
    given = {key: read_length_m(table, key) for key in ("join", "enter", "near")}
    table.done()
    tolerances = Tolerances(
        join_m=default.join_m if given["join"] is None else given["join"],
        enter_m=default.enter_m if given["enter"] is None else given["enter"],
        near_m=default.near_m if given["near"] is None else given["near"],
    )
    if tolerances.near_m < max(tolerances.join_m, tolerances.enter_m):
        raise table.error("near must be at least as much as join and enter")
    return tolerances


def _properties(table: TomlTable) -> PropertyNames:
    names = ("trade_size", "raceway_type", "cover", "width", "height", "depth", "marked_for")
    properties = PropertyNames(**{name: table.texts(name) for name in (*names, "volume")})
    table.done()
    return properties


def _box(table: TomlTable) -> BoxSettings:
    box = BoxSettings(
        inside_m=_inside_m(table),
        cover=table.texts("cover", WALLS),
        marked_for=table.text("marked_for"),
        contents=read_contents(table),
    )
    table.done()
    return box


def _inside_m(table: TomlTable) -> tuple[float, float, float] | None:
    if table.has("inside_mm") and table.has("inside_in"):
        raise table.error("is also given in mm, give one of the two", key="inside_in")
    unit: Unit = "in" if table.has("inside_in") else "mm"
    key = f"inside_{unit}"
    inside = table.numbers(key, 3)
    if inside is None:
        return None
    if min(inside) <= 0:
        raise table.error("has a size that is not more than 0", key=key)
    x_m, y_m, z_m = (to_metres(size, unit) for size in inside)
    return x_m, y_m, z_m


def _boxes_at_hand(table: TomlTable) -> tuple[tuple[float, float, float], ...]:
    """Sizes to choose from, in both units or either."""
    units: tuple[Unit, ...] = ("mm", "in")
    sizes = []
    for unit in units:
        key = f"inside_{unit}"
        for inside in table.number_rows(key, 3):
            if min(inside) <= 0:
                raise table.error("has a size that is not more than 0", key=key)
            side_m, other_m, depth_m = (to_metres(size, unit) for size in inside)
            sizes.append((side_m, other_m, depth_m))
    table.done()
    return tuple(sizes)


def _conduit(table: TomlTable) -> ConduitSettings:
    trade_size, designator = table.text("trade_size_in"), table.whole("metric_designator")
    try:
        size = size_named(trade_size, designator)
    except RuleInputError as error:
        key = "trade_size_in" if designator is None else "metric_designator"
        raise table.error(str(error), key=key) from None
    conduit = ConduitSettings(
        trade_size_in=size.trade_size_in if size else "",
        raceway_type=table.choice("raceway_type", RACEWAY_TYPES) or "",
    )
    table.done()
    return conduit


def _lone_texts(table: TomlTable, key: str) -> tuple[str, ...]:
    """List at `key`, the only key of `table`."""
    texts = table.texts(key)
    table.done()
    return texts


def _switches(table: TomlTable) -> RuleSwitches:
    default = RuleSwitches()
    chosen = {
        name: table.choice(name, options) or getattr(default, name)
        for name, options in _SWITCHES.items()
    }
    allowance_deg = table.number("bend_allowance_deg", least=0)
    table.done()
    return RuleSwitches(**chosen, bend_allowance_deg=allowance_deg or default.bend_allowance_deg)


def _limits(table: TomlTable) -> Limits:
    length_m, length_ft = table.positive("run_length_m"), table.positive("run_length_ft")
    if length_m is not None and length_ft is not None:
        raise table.error("is also given in metres, give one of the two", key="run_length_ft")
    limits = Limits(
        run_length_m=length_m if length_ft is None else length_ft * M_PER_FOOT,
        pull_point_bends_deg=table.positive("pull_point_bends_deg"),
        telecom_systems=table.texts("telecom_systems"),
    )
    table.done()
    return limits


def _makeup_m(table: TomlTable) -> float:
    makeup_m = read_length_m(table, "makeup")
    table.done()
    return makeup_m or 0.0


def _amendment(table: TomlTable) -> Amendment:
    for key in ("check", "code", "value", "clause", "source", "adopted_by"):
        if not table.has(key):
            raise table.error(f"must give its {key}")
    amendment = Amendment(
        check=table.choice("check", (*BOX_CHECKS, *RUN_CHECKS)) or "",
        code=table.choice("code", _CODES) or "",
        value=table.positive("value") or 0.0,
        clause=table.text("clause"),
        source=table.text("source"),
        adopted_by=table.text("adopted_by"),
    )
    table.done()
    return amendment
