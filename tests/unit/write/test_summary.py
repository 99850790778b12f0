import json

from modelcheck import __version__
from modelcheck.model.finding import Outcome
from modelcheck.write.summary import summary_text
from modelcheck.write.words import CAUTIONS
from tests.unit.write.reports import finding, report


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
