"""What a model and the settings say of a box beside its body."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from modelcheck.model.element import WALLS, BoxContents, Vector
from modelcheck.model.settings import BoxSettings, Settings
from modelcheck.read.box_filling import read_box_filling, with_settings
from modelcheck.read.box_sizes import (
    Dimension,
    Inside,
    MatchedInside,
    Role,
    dimensions,
    match_inside,
)
from modelcheck.read.mapping import entries, plain_words, ranked
from modelcheck.read.properties import Properties, setting_of
from modelcheck.read.property_values import Entity, PropertyValue, plain_name

_UPRIGHT = 0.985  # a wall within 10 degrees of level faces up or down
_LETTERS = re.compile(r"[a-z]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxFacts:
    """What is said of one box; what nothing says is empty or None."""

    inside_m: tuple[float, float, float] | None = None  # of the settings, along the box's axes
    said: tuple[Dimension, ...] = ()  # inside sizes by properties, not yet along axes
    cover: tuple[str, ...] = ()  # walls
    cover_faces: tuple[str, ...] = ()  # "+up", "-up": where the wall faces, see `walls_facing`
    cover_from: str = ""  # settings or property
    marked_for: str = ""
    contents: BoxContents = field(default_factory=BoxContents)
    system: str = ""
    assumptions: tuple[str, ...] = ()


class BoxProperties:
    """Reads the facts of the boxes of one file."""

    def __init__(self, properties: Properties, settings: Settings) -> None:
        self._properties = properties
        self._set = dict(settings.boxes)
        names = settings.properties
        self._volume_names = names.volume
        self._cover = ranked("cover", names.cover)
        self._marked_for = ranked("marked_for", names.marked_for)
        roles: tuple[tuple[Role, tuple[str, ...]], ...] = (
            ("width", names.width),
            ("height", names.height),
            ("depth", names.depth),
        )
        self._sides = {plain_name(name): role for role, given in roles for name in given}

    def of(self, element: Entity) -> BoxFacts:
        """Facts of one box: the settings stand before its properties, these before its type's."""
        values = sorted(
            self._properties.of(element).values(),
            key=lambda value: (value.source, value.set_name, value.name),
        )
        setting = setting_of(element, self._set) or BoxSettings()
        said, size_notes = dimensions(
            values, unit_m=self._properties.length_unit_m, named=self._sides
        )
        walls, faces, cover_notes = self._cover_of(values)
        contents, content_notes = read_box_filling(values, volume_names=self._volume_names)
        return BoxFacts(
            inside_m=setting.inside_m,
            said=said,
            cover=setting.cover or walls,
            cover_faces=() if setting.cover else faces,
            cover_from="settings" if setting.cover else "property" if walls or faces else "",
            marked_for=setting.marked_for or self._marking(values),
            contents=with_settings(contents, setting.contents),
            system=self._properties.system_of(element),
            assumptions=(
                *(() if setting.inside_m else size_notes),
                *(() if setting.cover else cover_notes),
                *content_notes,
            ),
        )

    def _cover_of(
        self, values: Sequence[PropertyValue]
    ) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
        """Walls, or where they face, by the first property that says it, and what can't be told."""
        notes: list[str] = []
        for value in _ranked(values, self._cover):
            text = ";".join(value.texts)
            if walls := walls_in(text):
                return walls, (), tuple(notes)
            if faces := faces_in(text):
                return (), faces, tuple(notes)
            if _names_side(text):
                notes.append(f"{value.label} says {text!r}: write the wall as +x, -x … of the box")
        return (), (), tuple(notes)

    def _marking(self, values: Sequence[PropertyValue]) -> str:
        texts = [value.texts[0] for value in _ranked(values, self._marked_for) if value.texts]
        return texts[0] if texts else ""


def inside_of(body_m: Inside, facts: BoxFacts, *, is_hollow: bool = False) -> MatchedInside:
    """Inside size along the axes of the body: the settings', else the properties', else its own.

    Parameters
    ----------
    body_m : tuple of 3 float or None
        Inside of the body along its axes; None where it can't be measured. [m]
    facts : BoxFacts
    is_hollow : bool
        True where `body_m` lies between drawn inner faces, see `match_inside`.
    """
    if facts.inside_m is not None:
        return MatchedInside(inside_m=facts.inside_m, size_from="settings")
    return match_inside(body_m, facts.said, is_hollow=is_hollow)


def walls_in(text: str) -> tuple[str, ...]:
    """Walls that `text` lists (``+z``, ``Z-; +x``); nothing if it has anything else in it."""
    signs = text.casefold().replace("\u2212", "-")
    pieces = [piece for piece in re.split(r"[\s;,/&]+|(?<![a-z])and(?![a-z])", signs) if piece]
    walls = [piece if piece in WALLS else piece[::-1] for piece in pieces]
    return tuple(dict.fromkeys(walls)) if all(wall in WALLS for wall in walls) else ()


def faces_in(text: str) -> tuple[str, ...]:
    """Where the walls face that `text` names and nothing else: ``+up``, ``-up``."""
    words = _LETTERS.findall(plain_words(text))
    sides = entries("cover_words")
    if any(word not in (*sides["neutral"], *sides["+up"], *sides["-up"]) for word in words):
        return ()
    return tuple(face for face in ("+up", "-up") if any(word in sides[face] for word in words))


def _names_side(text: str) -> bool:
    return any(
        word in entries("cover_words")["own"] for word in _LETTERS.findall(plain_words(text))
    )


def walls_facing(faces: Sequence[str], axes: tuple[Vector, Vector, Vector]) -> tuple[str, ...]:
    """Walls of a box with these axes that face up or down; those that none does are left out.

    Parameters
    ----------
    faces : sequence of str
        ``+up`` or ``-up``.
    axes : tuple of 3 vectors
        Unit vectors in project coordinates. [-]
    """
    walls = []
    for face in faces:
        up = 1.0 if face == "+up" else -1.0
        for letter, axis in zip("xyz", axes, strict=True):
            if abs(axis[2]) >= _UPRIGHT:
                walls.append(("+" if axis[2] * up > 0 else "-") + letter)
    return tuple(walls)


def _ranked(values: Sequence[PropertyValue], names: Mapping[str, int]) -> list[PropertyValue]:
    named = [value for value in values if plain_name(value.name) in names]
    return sorted(named, key=lambda value: names[plain_name(value.name)])
