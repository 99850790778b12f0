"""The page for the review: what is in its one file, before a browser shows it."""

import json
import re
import tomllib
from array import array
from base64 import b64decode
from dataclasses import replace
from hashlib import sha256
from html.parser import HTMLParser
from importlib.resources import files
from pathlib import Path
from typing import get_args

import pytest

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.change import Change, ChangeKind, Changes
from modelcheck.model.finding import BOX_CHECKS, RUN_CHECKS, Outcome
from modelcheck.model.fix import Fix
from modelcheck.model.pull import BoxCase
from modelcheck.model.run import EndKind
from modelcheck.model.whereabouts import Whereabouts
from modelcheck.write.review import content as content_module
from modelcheck.write.review.page import review_html, write_review
from tests.unit.write.reports import (
    BOX,
    MODEL,
    bends_finding,
    box_row,
    entry_row,
    finding,
    report,
    run,
    run_row,
)

PARTS = files("modelcheck.write") / "review"
ROOT = Path(__file__).parents[3]
HOSTILE = "</script><script>alert(1)</script><img src=x onerror=alert(2)>\u2028&\"'"


class Page(HTMLParser):
    """Scripts, styles and addresses of a page."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.elements, self.inside, self.is_open = [], [], False
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        if tag in ("script", "style"):
            self.inside.append((tag, dict(attrs), ""))
            self.is_open = True

    def handle_endtag(self, _):
        self.is_open = False

    def handle_data(self, data):
        if self.is_open:
            tag, attributes, text = self.inside.pop()
            self.inside.append((tag, attributes, text + data))

    @property
    def policy(self):
        return next(
            attributes["content"]
            for tag, attributes in self.elements
            if attributes.get("http-equiv") == "Content-Security-Policy"
        )


def content_of(the_report):
    text = review_html(the_report)
    return next(
        json.loads(data)
        for tag, attributes, data in Page(text).inside
        if attributes.get("id") == "content"
    )


def test_only_the_programs_own_scripts_and_style_may_run():
    page = Page(review_html(report()))
    assert page.policy.startswith("default-src 'none';")
    for tag, attributes, text in page.inside:
        if attributes.get("type") != "application/json":
            digest = sha256(text.encode()).digest()
            allowed = re.search(rf"{tag}-src ([^;]*)", page.policy)[1]
            assert any(b64decode(each) == digest for each in re.findall(r"sha256-([^']+)", allowed))


def test_the_page_asks_for_nothing_from_outside():
    page = Page(review_html(report()))
    addresses = [
        value
        for _, attributes in page.elements
        for name, value in attributes.items()
        if name in ("src", "href", "srcset", "data", "action")
    ]
    assert addresses
    assert all(each.startswith("#") for each in addresses)


def test_a_name_can_end_no_script_and_start_no_markup():
    hostile = replace(BOX, name=HOSTILE, guid=HOSTILE)
    tame, wild = (
        Page(review_html(report(findings=(finding(subject=subject, message=subject.name),))))
        for subject in (BOX, hostile)
    )
    assert wild.elements == tame.elements
    told = content_of(report(findings=(finding(subject=hostile, message=HOSTILE),)))
    assert told["findings"][0]["message"] == HOSTILE
    assert HOSTILE in told["elements"]["name"]


def test_the_same_report_gives_the_same_page(tmp_path):
    write_review(report(), tmp_path)
    assert (tmp_path / "review.html").read_text(encoding="utf-8") == review_html(report())


def test_a_row_has_what_the_table_has():
    told = content_of(report())
    (box_finding, run_finding) = told["findings"]
    assert box_finding["id"] == finding().id
    assert (box_finding["required"], box_finding["provided"], box_finding["short"]) == (
        372.0,
        300.0,
        72.0,
    )
    assert told["rules"][box_finding["rule"]] == ["cec", "2024", "12-3036 2)c)i)"]
    assert [told["texts"][place] for place in box_finding["assumed"]] == ["4 AWG or larger", "a; b"]
    assert box_finding["box"] == 0
    assert run_finding["run"] == 0
    assert run_finding["short"] == -270.0
    assert told["head"]["boxes"] == {"fail": 1}
    assert told["head"]["rows"] == {"fail": 1, "pass": 1}


def test_the_date_is_that_of_the_file():
    dated = replace(report().inputs[0], dated="2026-01-05T10:00:00", project="Depot")
    (told,) = content_of(report(inputs=(dated,)))["head"]["inputs"]
    assert (told["dated"], told["project"]) == ("2026-01-05T10:00:00", "Depot")


def test_where_it_is_and_who_accepted_it_are_told_only_if_known():
    where = Whereabouts(storey="Level 2", grid="B/3")
    accepted = Acceptance(by="A. Engineer", on="2026-01-05", why="existing box")
    plain, placed = content_of(
        report(findings=(finding(), finding(where=where, accepted=accepted, serial=2)))
    )["findings"]
    assert plain["where"] is None
    assert "accepted" not in plain
    assert placed["accepted"]["why"] == "existing box"
    told = content_of(report(findings=(finding(where=where),)))
    assert told["wheres"] == [{"storey": "Level 2", "grid": "B/3"}]


def test_rows_that_pass_are_left_out_of_a_page_that_would_be_too_large(monkeypatch):
    monkeypatch.setattr(content_module, "MOST_ROWS", 1)
    told = content_of(report())
    assert told["leftOut"] == 1
    assert [each["outcome"] for each in told["findings"]] == [Outcome.FAIL]
    assert told["head"]["rows"] == {"fail": 1, "pass": 1}


def points_of(told):
    values, base = array("f", b64decode(told["lines"]["points"])), told["base"]
    return [
        tuple(map(sum, zip(values[at : at + 3], base, strict=True)))
        for at in range(0, len(values), 3)
    ]


def test_centre_lines_are_kept_to_a_millimetre_far_from_the_origin():
    line = ((512_300.1234, 5_403_000.5678, 12.0), (512_301.0, 5_403_000.5, 15.4321))
    told = content_of(report(runs=(run_row(run=run(centreline=line)),)))
    for seen, true in zip(points_of(told), line, strict=True):
        assert seen == pytest.approx(true, abs=0.0006)


@pytest.mark.parametrize("far", [1e9, float("inf"), float("nan")])
def test_a_run_that_lies_out_of_reach_is_not_drawn_and_spoils_no_other(far):
    near = ((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    rows = (
        run_row(run=run(centreline=near)),
        run_row(run=run(centreline=((0.0, far, 0.0), *near))),
    )
    for runs, counts in ((rows, [2, 0]), (rows[::-1], [0, 2])):
        told = content_of(report(runs=runs))
        assert told["lines"]["counts"] == counts
        assert points_of(told) == list(near)


def test_a_box_is_drawn_from_its_walls_and_holes():
    row, entry = box_row(), entry_row().entry
    box = replace(row.enclosure, inside_m=(0.6, 0.45, 0.2))
    case = BoxCase(enclosure=box, entries=(entry,))
    told = content_of(report(boxes=(replace(row, enclosure=box),), cases=(case,)))["boxes"][0]
    walls = {panel["wall"]: panel for panel in told["panels"]}
    assert (walls["+z"]["width"], walls["+z"]["height"]) == (600.0, 450.0)
    ((number, left, below, _),) = walls["-x"]["holes"]
    assert number == 1
    assert {left, below} <= {185.0, 265.0, 100.0}  # 40 mm from the middle of 450, half of 200
    assert told["half"] == [0.3, 0.225, 0.1]


def test_a_box_without_a_row_is_not_unfolded():
    case = BoxCase(enclosure=box_row().enclosure)
    told = content_of(report(findings=(bends_finding(),), cases=(case,)))
    assert "panels" not in told["boxes"][0]


def test_what_would_pass_stands_with_its_box():
    fix = Fix(
        box=BOX,
        change="enlarged",
        pairing="as scheduled",
        before_m=(0.6, 0.45, None),
        after_m=(0.7, 0.45, 0.2),
        working=("6 x 53 = 318 mm",),
        message="enlarge it",
    )
    told = content_of(report(fixes=(fix,)))
    (seen,) = told["boxes"][0]["fixes"]
    assert (seen["from"], seen["to"]) == ("600.0 x 450.0 x unknown", "700.0 x 450.0 x 200.0")
    assert told["texts"][seen["working"][0]] == "6 x 53 = 318 mm"


def test_a_bend_counts_as_the_table_counts_it():
    bends = tuple(replace(run().bends[0], angle_deg=angle) for angle in (89.7, 44.6, 33.3))
    told = content_of(report(runs=(run_row(run=run(bends=bends)),)))
    assert [bend[0] for bend in told["runs"][0]["bends"]] == [90.0, 45.0, 33.3]


def test_every_text_that_the_page_asks_for_is_in_the_one_table():
    texts = tomllib.loads((PARTS / "texts.toml").read_text(encoding="utf-8"))
    own = [each for each in PARTS.iterdir() if each.name.endswith((".js", ".j2"))]
    asked = {
        tuple(path.split("."))
        for each in own
        if each.name != "three.bundle.js"
        for path in re.findall(r"\btexts\.([a-z_]+\.[a-z_]+)\b", each.read_text(encoding="utf-8"))
    }
    assert len(asked) > 50
    assert not {path for path in asked if path[1] not in texts[path[0]]}


def test_the_library_is_the_one_that_the_script_builds_and_says_its_licence():
    script = (ROOT / "scripts" / "make_bundle").read_text(encoding="utf-8")
    version = re.search(r"^THREE=(\S+)$", script, re.MULTILINE)[1]
    bundle = (PARTS / "three.bundle.js").read_text(encoding="utf-8")
    licence = (PARTS / "three.LICENSE.txt").read_text(encoding="utf-8")
    assert bundle.startswith(f"/* three.js {version},")
    assert licence.strip() in bundle
    assert "</script" not in bundle.lower()


def test_a_model_with_nothing_in_it_has_a_page_that_says_so():
    empty = report(findings=(), runs=(), boxes=(), entries=(), not_understood=())
    told = content_of(empty)
    assert "nothing to check" in told["head"]["nothing"]
    assert told["head"]["inputs"][0]["model"] == MODEL


def test_what_changed_since_an_earlier_check_stands_in_the_head():
    row = Change(
        kind=ChangeKind.NEW,
        finding=finding().id,
        model=MODEL,
        check=finding().check,
        subject_guid=BOX.guid,
        subject_name=BOX.name,
        outcome="fail",
        why=("the box shrank",),
    )
    told = content_of(report(changes=Changes(since="last-week", rows=(row,), same=1)))
    assert told["head"]["changes"]["counts"]["new"] == 1
    assert told["head"]["changes"]["counts"]["same"] == 1
    assert told["head"]["changes"]["rows"][0]["finding"] == told["findings"][0]["id"]
    assert content_of(report())["head"]["changes"] is None


def test_every_kind_of_change_and_outcome_has_its_word():
    texts = tomllib.loads((PARTS / "texts.toml").read_text(encoding="utf-8"))
    assert set(texts["change_kinds"]) == {str(kind) for kind in ChangeKind}
    assert {str(outcome) for outcome in Outcome} <= set(texts["outcomes"])
    assert set(texts["checks"]) == {*BOX_CHECKS, *RUN_CHECKS}
    assert set(texts["ends"]) == set(get_args(EndKind))
