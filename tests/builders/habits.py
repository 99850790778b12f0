"""How an exporter draws a plant: each field is one axis that the answer must not hang on."""

from __future__ import annotations

from dataclasses import dataclass, field

from tests.builders.pieces import Cut
from tests.builders.space import IDENTITY, Frame

TURNED = Frame.turned((40.0, -25.0, 6.0), about="zyx", degrees_=(37.0, 8.0, -5.0))
FAR = Frame.turned((24_525_600.0, 6_876_900.0, 55.0), about="z", degrees_=(30.0,))


@dataclass(frozen=True, slots=True, kw_only=True)
class Habit:
    """One way to export a plant; the values of each axis stand in `AXES`."""

    name: str = ""
    schema: str = "IFC4"
    unit: str = "mm"
    angle: str = "radian"
    element_class: str = "carrier"
    box_class: str = "junction-box"
    segment_body: str = "extrusion"
    elbow_body: str = "revolve"
    box_body: str = "boolean"
    cover: str = "open"  # how the removable side shows
    placement: str = "local"
    motion: Frame = field(default=IDENTITY)  # pose of the plant in the world
    ports: str = "nested"
    port_z: str = "out"
    port_off_m: float = 0.0  # from the end that they belong to, square to the run
    port_links: str = "exact"
    size: str = "text"
    cut: Cut = field(default=Cut())
    also: str = "nothing"  # which representation stands beside the body
    contexts: str = "main"  # whether representations have a context of their own
    grouping: str = "storey"  # what contains the elements
    says_elevation: bool = False  # whether a storey tells its height beside its placement
    circuit_class: str = "IfcDistributionSystem"
    strangers: bool = False  # walls, trays and pipes beside and across the conduits
    reverse: bool = False  # write the instances in the opposite order

    @property
    def says_raceway(self) -> bool:
        """True if the raceway type stands in the file."""
        return self.size != "diameter"

    @property
    def named_by_type(self) -> bool:
        """True if only the type of an element tells its size."""
        return self.size in ("type", "type-set")

    @property
    def is_meshed(self) -> bool:
        """True if round things are drawn as facets, so that figures are a little off."""
        faceted = {"brep", "mesh", "polygons", "surface", "chords", "advanced"}
        return bool(faceted & {self.segment_body, self.elbow_body})


AXES: dict[str, tuple[object, ...]] = {
    "schema": ("IFC4", "IFC2X3", "IFC4X3"),
    "unit": ("mm", "m", "ft", "in"),
    "angle": ("radian", "degree", "missing", "inverted"),
    "element_class": ("carrier", "carrier-typed", "flow", "flow-untyped", "proxy"),
    "box_class": (
        "junction-box", "flow-fitting", "flow-controller", "chamber", "proxy", "terminal",
    ),
    "segment_body": (
        "extrusion", "extrusion-back", "hollow", "arbitrary", "arbitrary-hollow", "across",
        "disk", "disk-hollow", "cylinder", "brep", "surface", "mesh", "polygons", "advanced",
        "halves", "mapped", "scaled", "stretched", "mirrored", "clipped", "axis", "bounds",
    ),
    "elbow_body": (
        "revolve", "revolve-hollow", "disk", "disk-composite", "chords", "brep", "surface",
        "mesh", "polygons", "advanced", "mapped", "scaled", "mirrored", "axis",
    ),
    "box_body": (
        "boolean", "brep", "plates", "assembly", "block", "block-outer", "mesh", "polygons",
        "surface", "sheet", "knockouts", "flange", "mapped",
    ),
    "cover": ("open", "plate", "lid", "property", "part", "none"),
    "placement": ("local", "world", "nested"),
    "motion": ("home", "turned", "far"),
    "ports": ("nested", "none", "relation", "segments", "single", "unplaced", "typed"),
    "port_z": ("out", "flow", "across", "any"),
    "port_off_m": (0.0, 0.03),
    "port_links": ("exact", "doubled", "phantom", "missing"),
    "size": (
        "text", "inches", "dn", "number", "md", "integer", "length", "length-inch", "list",
        "bounded", "enumerated", "type-set", "name", "type", "profile", "diameter",
    ),
    "elbows": ("fitting", "in-segment", "mitre"),
    "joints": ("exact", "gap", "spigot", "coupling", "coupling-over", "coupling-into"),
    "box_end": ("inner", "outer", "middle", "far"),
    "connectors": (False, True),
    "through": (False, True),
    "also": ("nothing", "axis", "box"),
    "contexts": ("main", "sub"),
    "grouping": ("storey", "space", "assembly"),
    "strangers": (False, True),
    "reverse": (False, True),
}  # fmt: skip
MOTIONS = {"home": IDENTITY, "turned": TURNED, "far": FAR}
CUT_AXES = ("elbows", "joints", "box_end", "connectors", "through")
_NEW_BODIES = ("mesh", "polygons", "advanced")
_PROFILED = ("extrusion", "extrusion-back", "hollow", "arbitrary", "arbitrary-hollow")
_BODILESS = ("axis", "bounds")


def habit_of(values: dict[str, object], name: str = "") -> Habit:
    """Make a habit of one value of `AXES` an axis; those left out are tidy."""
    cut = Cut(**{axis: values[axis] for axis in CUT_AXES if axis in values})  # type: ignore[arg-type]
    rest = {axis: value for axis, value in values.items() if axis not in CUT_AXES}
    rest["motion"] = MOTIONS[str(values.get("motion", "home"))]
    return Habit(name=name, cut=cut, **rest)  # type: ignore[arg-type]


def contradictions(habit: Habit) -> list[str]:
    """Say why nobody could draw, or nobody could read, a plant in this habit."""
    old = habit.schema == "IFC2X3"
    bodies = (habit.segment_body, habit.elbow_body, habit.box_body)
    curved = habit.cut.elbows == "in-segment"
    profiled = habit.segment_body in _PROFILED and (
        not curved or habit.elbow_body in ("revolve", "revolve-hollow")
    )
    no_width = habit.segment_body in (*_BODILESS, "across") or (
        curved and habit.elbow_body in _BODILESS
    )
    said = {
        "IFC2X3 has no such class": old
        and (habit.element_class.startswith("carrier") or habit.box_class == "junction-box"),
        "IFC2X3 has no such body": old
        and (habit.elbow_body == "disk" or any(body in _NEW_BODIES for body in bodies)),
        "a bounding box shows no turned conduit": habit.segment_body == "bounds"
        and habit.placement == "world",
        "no diameter is drawn": habit.size == "diameter" and no_width,
        "no profile is drawn": habit.size == "profile" and not profiled,
        "a solid block is not open": habit.cover == "open"
        and habit.box_body in ("block", "block-outer"),
        "in a box of plates only a part named so is the cover": habit.cover in ("plate", "lid")
        and habit.box_body in ("plates", "knockouts", "flange"),
        "no lid is drawn on an assembly": habit.cover == "lid" and habit.box_body == "assembly",
        "only an assembly has parts": (habit.cover == "part") != (habit.box_body == "assembly")
        and habit.cover == "part",
        "an untyped element has no type to name": habit.named_by_type
        and habit.element_class == "flow-untyped",
        "one long element has no joints": curved and habit.cut.joints != "exact",
        "mitred pieces have no couplings": habit.cut.elbows == "mitre"
        and habit.cut.joints != "exact",
        "a conduit that goes through has no connector": habit.cut.through
        and (habit.cut.connectors or curved),
        "a connector ends at the wall": habit.cut.connectors
        and habit.cut.box_end in ("middle", "far"),
        "there is no port to place": habit.ports in ("none", "typed", "unplaced")
        and (habit.port_z, habit.port_off_m) != ("out", 0.0),
        "there is no port to connect": habit.ports in ("none", "typed")
        and habit.port_links != "exact",
        "types of flow elements own no ports": habit.ports == "typed"
        and (old or habit.element_class not in ("carrier-typed", "flow")),
        "only distribution elements are related to ports": not old
        and habit.ports == "relation"
        and "proxy" in (habit.element_class, habit.box_class),
        "what has no body has nothing beside it": habit.also != "nothing"
        and any(body in _BODILESS for body in bodies),
        "IFC2X3 does not nest ports": old and habit.ports in ("nested", "segments", "typed"),
    }
    return [reason for reason, holds in said.items() if holds]


TIDY = Habit(name="tidy-ifc4")
SOLID = Habit(name="solid-ifc4", box_body="block", cover="property")
OLD_TYPED = Habit(
    name="typed-ifc2x3",
    schema="IFC2X3",
    unit="m",
    angle="degree",
    element_class="flow",
    box_class="flow-fitting",
    box_body="brep",
    ports="relation",
    port_z="flow",
    size="length",
)
