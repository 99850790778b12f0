"""A report as the page takes it: plain lists and names, each shared text told once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from itertools import islice
from math import isfinite
from typing import Any

from modelcheck.model.element import Enclosure, Point, RacewaySize
from modelcheck.model.finding import AT_MOST, BOX_CHECKS, Finding, Outcome, short_by
from modelcheck.model.fix import ENTRY_CHANGE, Fix
from modelcheck.model.pull import BoxCase
from modelcheck.model.pull_points import PullPointPlan
from modelcheck.model.report import BoxRow, Report, RunRow
from modelcheck.model.run import Run, RunEnd
from modelcheck.model.whereabouts import Whereabouts
from modelcheck.rules.bends import taken_angle_deg
from modelcheck.units import Unit, from_metres
from modelcheck.write.csv_tables import DECIMALS
from modelcheck.write.fixes_table import centre_text, inside_text
from modelcheck.write.pull_points_table import point_text
from modelcheck.write.review.pools import Elements, Pool
from modelcheck.write.review.shapes import base_of, packed_lines, unfolded

MOST_ROWS = 5000  # findings, before those that pass are left out
MOST_DRAWN = 1500  # boxes, those with the gravest rows first
_NOWHERE = Whereabouts()


class Content:
    """Builds what the page shows of one report; every part may refer to the shared ones."""

    def __init__(self, report: Report) -> None:
        self.report = report
        self.unit: Unit = "in" if report.settings.units == "in" else "mm"
        self.elements = Elements()
        self.texts, self.rules = Pool[str](), Pool[tuple[str, str, str]]()
        self.wheres = Pool[Whereabouts]()
        self.base = base_of(report.runs, report.cases)
        self.boxes = {row.enclosure.ref.key: place for place, row in enumerate(report.boxes)}
        self.runs_at: dict[int, list[int]] = defaultdict(list)  # by element
        self.run_elements: list[list[int]] = []
        for number, row in enumerate(report.runs):
            places = [self.elements.place(ref) for ref in row.run.elements]
            self.run_elements.append(places)
            for place in dict.fromkeys(places):
                self.runs_at[place].append(number)

    def members(self) -> Iterator[tuple[str, Any]]:
        """Everything but the head, by name; what is shared comes after what refers to it."""
        is_long = len(self.report.findings) > MOST_ROWS
        shown = [
            each for each in self.report.findings if not is_long or each.outcome is not Outcome.PASS
        ]
        yield "base", self.base
        yield "atMost", AT_MOST
        yield "leftOut", len(self.report.findings) - len(shown)
        yield "findings", map(self.finding, shown)
        yield "boxes", self._boxes(shown)
        yield "runs", self._runs()
        yield "lines", packed_lines(self.report.runs, self.base)
        yield "elements", self.elements.columns()
        yield "wheres", map(_where, self.wheres.values)
        yield "rules", self.rules.values
        yield "texts", self.texts.values

    def finding(self, finding: Finding) -> dict[str, Any]:
        """One row of the table."""
        digits = DECIMALS[finding.unit]
        told: dict[str, Any] = {
            "id": finding.id,
            "check": finding.check,
            "outcome": str(finding.outcome),
            "subject": self.elements.place(finding.subject),
            "required": _rounded(finding.required, digits),
            "provided": _rounded(finding.provided, digits),
            "short": _rounded(short_by(finding), digits),
            "unit": finding.unit,
            "rule": self.rules.place((finding.code, finding.edition, finding.clause)),
            "working": finding.working,
            "message": finding.message,
            "assumed": [self.texts.place(each) for each in finding.assumptions],
            "at": [_rounded(each, 3) for each in finding.at],
            "where": self._where_place(finding.where),
        }
        told |= self._subject(finding)
        if finding.accepted:
            told["accepted"] = asdict(finding.accepted)
        return told

    def _subject(self, finding: Finding) -> dict[str, Any]:
        """Box or run that a finding is about, and its elements where they aren't the run's."""
        places = [self.elements.place(ref) for ref in finding.elements]
        if finding.check in BOX_CHECKS:
            return {"box": self.boxes.get(finding.subject.key), "elements": places}
        candidates = self.runs_at.get(self.elements.place(finding.subject), [])
        wanted = set(places)
        whole = [each for each in candidates if wanted == set(self.run_elements[each])]
        around = [each for each in candidates if wanted <= set(self.run_elements[each])]
        run = next(iter(whole or around or candidates), None)
        return {"run": run} if whole else {"run": run, "elements": places}

    def _boxes(self, shown: Sequence[Finding]) -> Iterator[dict[str, Any]]:
        graver = sorted(shown, key=lambda each: -each.outcome.rank)
        with_row = dict.fromkeys(each.subject.key for each in graver if each.check in BOX_CHECKS)
        to_draw = set(islice(with_row, MOST_DRAWN))
        cases = {case.enclosure.ref.key: case for case in self.report.cases}
        fixes: dict[tuple[str, int], list[Fix]] = defaultdict(list)
        for fix in self.report.fixes:
            fixes[fix.box.key].append(fix)
        for row in self.report.boxes:
            yield self._box(row, cases, fixes, to_draw=to_draw)

    def _box(
        self,
        row: BoxRow,
        cases: Mapping[tuple[str, int], BoxCase],
        fixes: Mapping[tuple[str, int], Sequence[Fix]],
        *,
        to_draw: set[tuple[str, int]],
    ) -> dict[str, Any]:
        box = row.enclosure
        key = box.ref.key
        told: dict[str, Any] = {
            "element": self.elements.place(box.ref),
            "outcome": row.outcome,
            "message": row.message,
            "where": self._where_place(row.where),
            "inside": inside_text(box.inside_m, self.unit),
            "sizeFrom": box.size_from,
            "cover": list(box.cover),
            **_body(box, self.base),
        }
        case = cases.get(key)
        if case and key in to_draw:
            told |= unfolded(case)
            told["entries"] = [
                {
                    "conduit": self.elements.place(entry.conduit),
                    "wall": entry.wall,
                    "size": size_text(entry.size),
                    "run": entry.run,
                }
                for entry in case.entries
            ]
        if key in fixes:
            told["fixes"] = [self._fix(each) for each in fixes[key]]
        return told

    def _fix(self, fix: Fix) -> dict[str, Any]:
        spell = centre_text if fix.change == ENTRY_CHANGE else inside_text
        return {
            "change": fix.change,
            "pairing": fix.pairing,
            "from": "" if fix.before_m is None else spell(fix.before_m, self.unit),
            "to": "" if fix.after_m is None else spell(fix.after_m, self.unit),
            "working": [self.texts.place(each) for each in fix.working],
            "message": fix.message,
            "assumed": [self.texts.place(each) for each in fix.assumptions],
            "conduit": self.elements.place(fix.conduit) if fix.conduit else None,
            "wall": fix.wall,
        }

    def _runs(self) -> Iterator[dict[str, Any]]:
        plans = {plan.run.name: plan for plan in self.report.plans.pull_points}
        for row, elements in zip(self.report.runs, self.run_elements, strict=True):
            yield self._run(row, elements, plans.get(row.run.name))

    def _run(self, row: RunRow, elements: list[int], plan: PullPointPlan | None) -> dict[str, Any]:
        run = row.run
        told: dict[str, Any] = {
            "name": run.name,
            "outcome": row.outcome,
            "elements": elements,
            "size": size_text(run.size),
            "length": round(from_metres(run.length_m, self.unit), DECIMALS[self.unit]),
            "total": row.bend_total_deg,
            "limit": row.limit_deg,
            "start": self._end(run.start),
            "end": self._end(run.end),
            "where": self._where_place(row.where),
        }
        if run.bends:
            told["bends"] = self._bends(run)
        if plan:
            told["plan"] = self._plan(plan)
        return told

    def _bends(self, run: Run) -> list[list[Any]]:
        """Angle as it counts, radius, place and element of each bend."""
        return [
            [
                round(taken_angle_deg(bend.angle_deg), 2),
                None
                if bend.radius_m is None
                else round(from_metres(bend.radius_m, self.unit), DECIMALS[self.unit]),
                _from_base(bend.at, self.base),
                self.elements.place(bend.element),
            ]
            for bend in run.bends
        ]

    def _end(self, end: RunEnd) -> dict[str, Any]:
        return {"kind": end.kind, "element": self.elements.place(end.ref) if end.ref else None}

    def _plan(self, plan: PullPointPlan) -> dict[str, Any]:
        return {
            "problem": plan.problem,
            "points": [
                {
                    "message": point_text(plan, point),
                    "at": _from_base(point.at, self.base),
                    "element": self.elements.place(point.element),
                }
                for point in plan.points
            ],
            "sections": [round(each.bends_deg, 1) for each in plan.sections],
            "assumed": [self.texts.place(each) for each in plan.assumptions],
        }

    def _where_place(self, where: Whereabouts) -> int | None:
        return None if where == _NOWHERE else self.wheres.place(where)


def size_text(size: RacewaySize) -> str:
    """Both names of a raceway size; empty if it isn't known."""
    return f"{size.metric_designator} ({size.trade_size_in})" if size.known else ""


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None or not isfinite(value) else round(value, digits)


def _where(where: Whereabouts) -> dict[str, Any]:
    told = {
        "storey": where.storey,
        "space": where.space,
        "grid": where.grid,
        "system": where.system,
        "trade": where.trade,
        "elevation": _rounded(where.storey_elevation_m, 3),
        "height": _rounded(where.height_m, 2),
    }
    return {name: value for name, value in told.items() if value not in ("", None)}


def _body(box: Enclosure, base: Point) -> dict[str, Any]:
    """Middle, axes and half sides of what the page draws of a box in space. [m]"""
    sides = list(zip(box.outside_low_m, box.outside_high_m, strict=True))
    if box.outside_low_m == box.outside_high_m:  # only the inside is known
        sides = [(-(each or 0.0) / 2, (each or 0.0) / 2) for each in box.inside_m]
    x, y, z = box.origin
    for (ax, ay, az), (a, b) in zip(box.axes, sides, strict=True):
        off = (a + b) / 2
        x, y, z = x + ax * off, y + ay * off, z + az * off
    return {
        "middle": _from_base((x, y, z), base),
        "axes": [[_rounded(each, 5) or 0.0 for each in axis] for axis in box.axes],
        "half": [_rounded((b - a) / 2, 4) or 0.0 for a, b in sides],
    }


def _from_base(point: Point, base: Point) -> list[float]:
    return [_rounded(along - zero, 3) or 0.0 for along, zero in zip(point, base, strict=True)]
