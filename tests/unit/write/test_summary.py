import json

from modelcheck import __version__
from modelcheck.model.element import NotUnderstood
from modelcheck.model.finding import Outcome
from modelcheck.write.summary import summary_text
from modelcheck.write.words import CAUTIONS
from tests.unit.write.reports import finding, ref, report


def test_the_summary_holds_what_its_reader_needs():
    findings = (finding(), finding(outcome=Outcome.PASS), finding(check="box-volume"))
    summary = json.loads(summary_text(report(findings=findings), files={"runs.csv": "cd"}))
    assert summary["counts"] == {
        "angle-pull-distance": {"pass": 1, "needs-input": 0, "fail": 1},
        "box-volume": {"pass": 0, "needs-input": 0, "fail": 1},
    }
    assert summary["inputs"] == [{"name": "plant.ifc", "sha256": "ab" * 32, "schema": "IFC4"}]
    assert (summary["code"], summary["edition"]) == ("cec", "2024")
    assert summary["program"]["version"] == __version__
    assert summary["settings"]["tolerances"]["join_m"] == 0.003
    assert summary["not_understood"][0]["guid"] == "3BAD"
    assert summary["boxes"] == {"fail": 1}
    assert summary["cautions"] == list(CAUTIONS)
    assert summary["files"] == {"runs.csv": "cd"}


def test_the_same_report_gives_the_same_text_wherever_its_inputs_lie():
    assert summary_text(report(), files={}) == summary_text(report(), files={})
    assert "/a/plant.ifc" not in summary_text(report(), files={})


def test_what_was_not_understood_is_counted_by_class_and_reason():
    bad = [("IfcFlowSegment", "a"), ("IfcFlowSegment", "b"), ("IfcFlowSegment", "a"), ("IfcA", "a")]
    told = tuple(
        NotUnderstood(ref=ref(f"G{number}", number, ifc_class=ifc_class), reason=reason)
        for number, (ifc_class, reason) in enumerate(bad)
    )
    summary = json.loads(summary_text(report(not_understood=told), files={}))
    counts = {"IfcA": {"a": 1}, "IfcFlowSegment": {"a": 2, "b": 1}}
    assert summary["not_understood_counts"] == counts
    assert len(summary["not_understood"]) == 4
