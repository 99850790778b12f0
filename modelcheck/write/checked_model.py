"""NAME.checked.ifc: the text of the input with our property sets added, all else byte for byte."""

from __future__ import annotations

from base64 import b64encode
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from hashlib import sha256
from io import BytesIO
from math import inf, radians
from pathlib import Path
from string import ascii_lowercase, ascii_uppercase, digits
from typing import BinaryIO

import ifcopenshell
import ifcopenshell.util.unit

from modelcheck.errors import InputFileError
from modelcheck.units import M_PER_CM
from modelcheck.write.ifc_psets import MARK, PropertySet, Value
from modelcheck.write.step_text import (
    Argument,
    Enum,
    Ref,
    Span,
    Typed,
    copy_kept,
    copy_rest,
    end_of_data,
    holds,
    line_end,
    spans_of,
    statement,
)

_FREE_BITS = ~(0xF << 76 | 0b11 << 62)  # of a UUID; the others tell version and variant
_UUID_BITS = 5 << 76 | 0b10 << 62
_LETTERS = bytes.maketrans(  # those of Base64 to those of a GlobalId
    f"{ascii_uppercase}{ascii_lowercase}{digits}+/".encode(),
    f"{digits}{ascii_uppercase}{ascii_lowercase}_$".encode(),
)
_UNIT_OF = {
    "IfcLengthMeasure": "LENGTHUNIT",
    "IfcPlaneAngleMeasure": "PLANEANGLEUNIT",
    "IfcVolumeMeasure": "VOLUMEUNIT",
}
_OWNED = "IFC2X3"  # schema in which an owner history must be given


@dataclass(frozen=True, slots=True, kw_only=True)
class Splice:
    """How property sets come into the text of a model: all that is asked of the opened one."""

    note: str = ""  # why the text is written anew rather than added to; empty: it is added to
    earlier: frozenset[int] = frozenset()  # instances that an earlier check added: they go
    spans: tuple[Span, ...] = ()  # where their statements are
    schema: str
    greatest: int  # instance number of those that stay
    owner: int | None  # first owner history, where one must be given
    per_unit: Mapping[str, float]  # factor of the model's own unit to SI, by measure

    @classmethod
    def of(
        cls,
        model: ifcopenshell.file,
        *,
        note: str = "",
        earlier: frozenset[int] = frozenset(),
        spans: tuple[Span, ...] = (),
    ) -> Splice:
        """Ask `model`."""
        greatest, owners = model.get_max_id(), []
        if spans:
            greatest = max(
                (name for name in model.entity_names() if name not in earlier), default=0
            )
        if model.schema == _OWNED:
            owners = [each.id() for each in model.by_type("IfcOwnerHistory")]
        return cls(
            note=note,
            earlier=earlier,
            spans=spans,
            schema=model.schema,
            greatest=greatest,
            owner=min(owners, default=None),
            per_unit={measure: _unit_scale(model, unit) for measure, unit in _UNIT_OF.items()},
        )


def splice_of(text_path: Path, model: ifcopenshell.file) -> Splice:
    """How property sets come into the text at `text_path`.

    Parameters
    ----------
    text_path : Path
        The text that `model` was opened from; only read.
    model : ifcopenshell.file
        Only read.
    """
    earlier, spans = _Earlier(), tuple[Span, ...]()
    with text_path.open("rb") as text:
        if holds(text, MARK.encode()):
            earlier = _Earlier.of(model)
        if earlier.step_ids:
            spans = tuple(spans_of(text, earlier.step_ids))
        is_usual = end_of_data(text) is not None and len(spans) == len(earlier.step_ids)
    if earlier.is_shared:
        note = "property sets of an earlier check are used elsewhere too"
    elif not is_usual:
        note = "the layout of its text is unusual"
    else:
        note = ""
    return Splice.of(model, note=note, earlier=earlier.step_ids, spans=spans)


def write_checked_model(
    text_path: Path, target: Path, *, splice: Splice, sets: Iterable[PropertySet]
) -> None:
    """Write the model at `text_path` with `sets` to `target`; the sets of an earlier check go.

    Parameters
    ----------
    text_path : Path
        Of the text; only read.
    target : Path
    splice : Splice
        Of this text.
    sets : iterable of PropertySet
        For elements of this model.
    """
    written = partial(_write_spliced, target=target, text_path=text_path, sets=sets)
    if not splice.note:
        with text_path.open("rb") as text:
            written(text, splice=splice)
        return
    anew = ifcopenshell.open(str(text_path), ".ifc")
    for step_id in splice.earlier:
        anew.remove(anew.by_id(step_id))  # type: ignore[arg-type]
    written(BytesIO(anew.to_string().encode()), splice=Splice.of(anew))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Earlier:
    """Instances that an earlier check added."""

    step_ids: frozenset[int] = frozenset()
    is_shared: bool = False  # something else refers to one of them

    @classmethod
    def of(cls, model: ifcopenshell.file) -> _Earlier:
        ours = [each for each in model.by_type("IfcPropertySet") if _is_ours(each)]
        relations, others = set(), False
        held: Counter[int] = Counter()
        for each in ours:
            held.update(part.id() for part in each.HasProperties or ())
            for user in model.get_inverse(each):
                is_relation = user.is_a("IfcRelDefinesByProperties")
                if is_relation and user.RelatingPropertyDefinition == each:
                    relations.add(user.id())
                else:
                    others = True
        only_ours = {
            step_id
            for step_id, uses in held.items()
            if model.get_total_inverses(model.by_id(step_id)) == uses
        }
        sets = {each.id() for each in ours}
        return cls(step_ids=frozenset(sets | relations | only_ours), is_shared=others)


def _is_ours(property_set: ifcopenshell.entity_instance) -> bool:
    return bool((property_set.Name or "").startswith(MARK))


def _write_spliced(
    text: BinaryIO,
    target: Path,
    *,
    text_path: Path,
    splice: Splice,
    sets: Iterable[PropertySet],
) -> None:
    """Write `text`, of the file at `text_path`, without what goes and with `sets`."""
    end, ending = end_of_data(text), line_end(text)
    if end is None:
        raise InputFileError("this file was changed while it was checked", path=text_path)
    with target.open("wb") as handle:
        greatest = copy_kept(text, handle, end=end, gone=splice.spans, greatest=splice.greatest)
        lines = _Additions(splice, greatest).lines([*sets])
        handle.writelines(f"{line}{ending}".encode("ascii") for line in lines)
        copy_rest(text, handle, end=end)


class _Additions:
    """Statements of property sets, numbered on from the greatest number of the model."""

    def __init__(self, splice: Splice, greatest: int) -> None:
        self._splice = splice
        self._last = greatest
        self._properties: dict[tuple[str, str, Value], Ref] = {}  # alike: written once
        self._uses: Counter[str] = Counter()

    def lines(self, sets: Sequence[PropertySet]) -> Iterator[str]:
        """Statements of every set and of the relation that gives it to its elements."""
        owner: Ref | None = None
        if sets and self._splice.schema == _OWNED:
            if self._splice.owner is None:
                yield from self._owner_lines()
            owner = Ref(self._splice.owner or self._last)
        for each in sets:
            yield from self._set_lines(each, owner)

    def _set_lines(self, each: PropertySet, owner: Ref | None) -> Iterator[str]:
        held = []
        for name, value in each.properties:
            key = (each.name, name, value)
            if key not in self._properties:
                # its set's name as description: a property out of its set can still be told
                typed = self._typed(value)
                yield self._line("IfcPropertySingleValue", name, each.name, typed, None)
                self._properties[key] = Ref(self._last)
            held.append(self._properties[key])
        about = "\n".join([each.name, *sorted(ref.guid for ref in each.elements)])
        self._uses[about] += 1
        about += f"\n{self._uses[about]}"
        yield self._line(
            "IfcPropertySet", _guid(f"set\n{about}"), owner, each.name, None, tuple(held)
        )
        yield self._line(
            "IfcRelDefinesByProperties",
            _guid(f"relation\n{about}"),
            owner,
            each.name,
            None,
            tuple(Ref(ref.step_id) for ref in each.elements),
            Ref(self._last),
        )

    def _typed(self, value: Value) -> Typed:
        """Value in the unit that the model has for its measure."""
        if not isinstance(value.value, float) or value.measure not in self._splice.per_unit:
            return Typed(value.measure, value.value)
        si_value = value.value
        if value.measure == "IfcPlaneAngleMeasure":
            si_value = radians(value.value)
        elif value.measure == "IfcVolumeMeasure":
            si_value = value.value * M_PER_CM**3
        return Typed(value.measure, si_value / self._splice.per_unit[value.measure])

    def _owner_lines(self) -> Iterator[str]:
        yield self._line("IfcPerson", None, "modelcheck", None, None, None, None, None, None)
        person = Ref(self._last)
        yield self._line("IfcOrganization", None, "modelcheck", None, None, None)
        organization = Ref(self._last)
        yield self._line("IfcPersonAndOrganization", person, organization, None)
        user = Ref(self._last)
        yield self._line("IfcApplication", organization, "1", "modelcheck", "modelcheck")
        application = Ref(self._last)
        yield self._line(
            "IfcOwnerHistory", user, application, None, Enum("ADDED"), None, None, None, 0
        )

    def _line(self, ifc_class: str, *arguments: Argument) -> str:
        self._last += 1
        return statement(self._last, ifc_class, arguments)


def _unit_scale(model: ifcopenshell.file, unit: str) -> float:
    """Factor of the model's own unit to SI; 1 where it has none or a damaged one."""
    try:
        scale = float(ifcopenshell.util.unit.calculate_unit_scale(model, unit))
    except (ValueError, IndexError, TypeError, AttributeError, ArithmeticError, RuntimeError):
        return 1.0
    return scale if 0.0 < scale < inf else 1.0


def _guid(about: str) -> str:
    """Make the GlobalId that the same content always gets: a UUID of version 5 in 22 letters."""
    digest = sha256(about.encode("utf-8", "replace")).digest()[:16]
    number = int.from_bytes(digest, "big") & _FREE_BITS | _UUID_BITS
    return b64encode((number << 12).to_bytes(18, "big")).translate(_LETTERS)[:22].decode("ascii")
