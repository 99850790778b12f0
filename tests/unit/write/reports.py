"""Reports made by hand for the tests of the writers."""

from modelcheck.model.element import Bend, ElementRef, Enclosure, NotUnderstood, RacewaySize
from modelcheck.model.finding import Finding, Outcome
from modelcheck.model.report import BoxRow, EntryRow, InputFile, Report, RunRow
from modelcheck.model.run import Entry, Run, RunEnd
from modelcheck.model.settings import Settings

MODEL = "plant.ifc"
SIZE = RacewaySize(
    raceway_type="EMT", trade_size_in="2", metric_designator=53, size_from="property"
)


def ref(guid, step_id=0, *, name="", ifc_class="IfcCableCarrierSegment", model=MODEL):
    return ElementRef(model=model, guid=guid, name=name, ifc_class=ifc_class, step_id=step_id)


BOX = ref("0BOX", 10, name="PB-1", ifc_class="IfcJunctionBox")
CONDUIT = ref("1CON", 20, name="C-101")
ELBOW = ref("2ELB", 21, ifc_class="IfcCableCarrierFitting")


def finding(**changes):
    values = {
        "check": "angle-pull-distance",
        "outcome": Outcome.FAIL,
        "subject": BOX,
        "elements": (CONDUIT,),
        "required": 371.96,
        "provided": 300.0,
        "unit": "mm",
        "code": "cec",
        "edition": "2024",
        "clause": "12-3036 2)c)i)",
        "working": "6 x 53 + 53 = 371 mm",
        "assumptions": ("4 AWG or larger", "a; b"),
        "message": "Make the box 72 mm longer.",
        "at": (1.0, -0.0001, 2.5),
    }
    return Finding(**(values | changes))


def bends_finding(**changes):
    values = {
        "check": "bends-between-pull-points",
        "outcome": Outcome.PASS,
        "subject": CONDUIT,
        "elements": (CONDUIT, ELBOW),
        "required": 360.0,
        "provided": 90.0,
        "unit": "deg",
        "message": "Within the limit.",
    }
    return finding(**(values | changes))


def run(**changes):
    values = {
        "name": "R1",
        "elements": (CONDUIT, ELBOW),
        "start": RunEnd(kind="box", point=(0.0, 0.0, 0.0), ref=BOX),
        "end": RunEnd(kind="open", point=(1.0, 0.0, 0.0)),
        "size": SIZE,
        "length_m": 1.23456,
        "bends": (Bend(angle_deg=90.0, radius_m=0.3, at=(0.0, 0.0, 0.0), element=ELBOW),),
    }
    return Run(**(values | changes))


def run_row(**changes):
    values = {"run": run(), "limit_deg": 360.0, "bend_total_deg": 90.0, "outcome": "pass"}
    return RunRow(**(values | changes))


def box_row(**changes):
    values = {
        "enclosure": Enclosure(
            ref=BOX, inside_m=(0.6, 0.45, None), size_from="body", cover=("+z",)
        ),
        "entry_count": 1,
        "outcome": "fail",
    }
    return BoxRow(**(values | changes))


def entry_row(**changes):
    entry = Entry(box=BOX, conduit=CONDUIT, wall="-x", u_m=-0.04, v_m=0.0, size=SIZE, run="R1")
    return EntryRow(**({"entry": entry, "carries": ("F1", "F2")} | changes))


def report(**changes):
    values = {
        "inputs": (InputFile(model=MODEL, path="/a/plant.ifc", sha256="ab" * 32, schema="IFC4"),),
        "settings": Settings(),
        "findings": (finding(), bends_finding()),
        "runs": (run_row(),),
        "boxes": (box_row(),),
        "entries": (entry_row(),),
        "not_understood": (NotUnderstood(ref=ref("3BAD", 30), reason="it has no body"),),
        "unchecked_figures": ("12-3036 2)c)i): factor 6 (from memory)",),
    }
    return Report(**(values | changes))
