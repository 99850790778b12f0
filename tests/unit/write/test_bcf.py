from dataclasses import replace
from io import BytesIO
from xml.etree import ElementTree
from zipfile import ZipFile

import bcf.v2.bcfxml
import bcf.v3.bcfxml
import pytest
from PIL import Image

from modelcheck.model.acceptance import Acceptance
from modelcheck.model.element import Enclosure
from modelcheck.model.finding import Outcome
from modelcheck.model.report import InputFile
from modelcheck.model.wanted import BCF_VERSIONS
from modelcheck.model.whereabouts import Whereabouts
from modelcheck.write.bcf import write_bcf
from tests.unit.write import reports
from tests.unit.write.bcf_schemas import problems, validate
from tests.unit.write.reports import bends_finding, box_row, entry_row, finding, ref, run, run_row

BOX = ref("1Box000000000000000000", 10, name="PB-1", ifc_class="IfcJunctionBox")
CONDUIT = ref("2Con000000000000000000", 20, name="C-101")
ELBOW = ref("2Elb000000000000000000", 21)
LOST = ref("#77", 77, name="no GlobalId")
PROJECT = "0Pro000000000000000000"
READERS = {"2.1": bcf.v2.bcfxml.BcfXml, "3.0": bcf.v3.bcfxml.BcfXml}
ACCEPTED = Acceptance(
    by="R. Vale", on="2026-02-03", why="drawn before the code", required=371.0, provided=300.0,
    unit="mm",
)  # fmt: skip
in_both = pytest.mark.parametrize("version", BCF_VERSIONS)


def box_finding(**changes):
    return finding(**({"subject": BOX, "elements": (CONDUIT,), "at": (3.0, 4.0, 5.0)} | changes))


def run_finding(**changes):
    values = {"subject": CONDUIT, "elements": (CONDUIT, ELBOW), "outcome": Outcome.FAIL}
    return bends_finding(**(values | {"provided": 450.0} | changes))


def report(**changes):
    enclosure = Enclosure(
        ref=BOX,
        origin=(3.0, 4.0, 5.0),
        inside_m=(0.6, 0.45, 0.2),
        outside_low_m=(-0.3, -0.225, -0.1),
        outside_high_m=(0.3, 0.225, 0.1),
        cover=("-y",),
    )
    line = run(elements=(CONDUIT, ELBOW), centreline=((0.0, 0.0, 0.0), (9.0, 0.0, 0.0)))
    values = {
        "inputs": (
            InputFile(
                model=reports.MODEL,
                path="/a/plant.ifc",
                sha256="ab" * 32,
                schema="IFC4",
                project="Plant",
                dated="2026-01-05T09:30:00+01:00",
                project_guid=PROJECT,
            ),
        ),
        "boxes": (box_row(enclosure=enclosure),),
        "runs": (run_row(run=line),),
        "entries": (entry_row(entry=replace(entry_row().entry, box=BOX, conduit=CONDUIT)),),
        "findings": (box_finding(), run_finding()),
    }
    return reports.report(**(values | changes))


def written(folder, version="2.1", *, with_undecided=False, **changes):
    folder.mkdir(exist_ok=True)
    write_bcf(report(**changes), folder, version=version, with_undecided=with_undecided)
    return folder / "findings.bcf"


def files(path):
    with ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def markups(path):
    texts = [text for name, text in files(path).items() if name.endswith("markup.bcf")]
    return sorted((ElementTree.fromstring(text) for text in texts), key=title)


def title(markup):
    return markup.find("Topic/Title").text


def texts_of(markup):
    return [each.text for each in markup.iter("Comment") if each.text and each.text.strip()]


HOSTILE = {
    "plain": {},
    "undecided": {"findings": (box_finding(outcome=Outcome.NEEDS_INPUT, provided=None),)},
    "accepted": {"findings": (box_finding(accepted=ACCEPTED),)},
    "nothing": {"findings": ()},
    "hostile": {
        "findings": (
            box_finding(
                subject=replace(BOX, name="<b>\x00\x0b&]]>\ud800"),
                elements=(LOST,),
                message="\x1b[31m \uffff 'x'",
                assumptions=("<!--", "\r\n"),
            ),
        )
    },
    "no model date": {
        "inputs": (InputFile(model=reports.MODEL, path="/a", sha256="", schema="IFC4"),)
    },
    "no size": {"boxes": (box_row(enclosure=Enclosure(ref=BOX)),), "entries": ()},
    "no box, no run": {"boxes": (), "runs": (), "entries": ()},
}


@in_both
@pytest.mark.parametrize("changes", HOSTILE.values(), ids=HOSTILE)
def test_every_file_is_as_the_schemas_have_it(tmp_path, version, changes):
    for name, text in files(written(tmp_path, version, with_undecided=True, **changes)).items():
        if name.endswith((".bcf", ".bcfv", ".bcfp", ".version", ".xml")):
            assert problems(version, text) == [], name


@in_both
@pytest.mark.parametrize("changes", HOSTILE.values(), ids=HOSTILE)
def test_every_file_is_valid_by_the_published_schemas(tmp_path, version, changes):
    held = files(written(tmp_path, version, with_undecided=True, **changes))
    for name, text in held.items():
        if not name.endswith(("/", ".png")):
            extensions = held.get("extensions.xsd", b"")
            validate(version, name, text, extensions=extensions, tmp_path=tmp_path)


@pytest.mark.parametrize(
    ("version", "spoil"),
    [
        pytest.param("2.1", (b"Title>", b"Titel>"), id="unknown-element"),
        pytest.param("3.0", (b' TopicStatus="Open"', b""), id="missing-attribute"),
        pytest.param("2.1", (b"2026-01-05T08:30:00Z", b"yesterday"), id="no-date"),
        pytest.param("3.0", (b'Guid="', b'Guid="x'), id="no-guid"),
    ],
)
def test_the_schemas_find_what_is_wrong(tmp_path, version, spoil):
    held = files(written(tmp_path, version))
    text = next(text for name, text in held.items() if name.endswith("markup.bcf"))
    assert problems(version, text.replace(*spoil)) != []


@in_both
def test_another_reader_finds_topics_comments_and_views(tmp_path, version):
    with READERS[version].load(written(tmp_path, version)) as read:
        assert read.version.version_id == version
        assert read.project.name == "Plant"
        topics = {each.topic.title: each for each in read.topics.values()}
        assert sorted(topics) == [
            "PB-1: angle-pull-distance",
            "Run R1: bends-between-pull-points",
        ]
        topic = topics["PB-1: angle-pull-distance"]
        assert topic.topic.topic_status == "Open"
        assert str(topic.topic.creation_date) == "2026-01-05T08:30:00Z"
        assert "6 x 53 + 53 = 371 mm" in topic.comments[0].comment
        (view,) = topic.viewpoints.values()
        selected = view.visualization_info.components.selection.component
        assert [each.ifc_guid for each in selected] == [BOX.guid, CONDUIT.guid]
        assert view.visualization_info.perspective_camera is not None
        assert view.snapshot


def test_the_lists_of_the_file_name_every_value_that_is_used(tmp_path):
    with READERS["2.1"].load(written(tmp_path, "2.1")) as read:
        assert read.extensions.topic_labels.topic_label == [
            "angle-pull-distance",
            "bends-between-pull-points",
        ]
    with READERS["3.0"].load(written(tmp_path, "3.0")) as read:
        assert "Issue" in read.extensions.topic_types.topic_type
        assert read.extensions.users.user == ["modelcheck"]


@in_both
def test_the_same_report_gives_the_same_bytes(tmp_path, version):
    first = written(tmp_path / "a", version).read_bytes()
    assert written(tmp_path / "b", version).read_bytes() == first


def test_topics_are_sorted_and_each_has_a_folder_of_its_own(tmp_path):
    names = [name for name in files(written(tmp_path)) if "/" in name]
    assert names == sorted(names)
    assert {f"{name.partition('/')[0]}/" for name in names} <= set(names)


def test_four_failing_rows_of_a_box_are_one_topic_with_four_comments(tmp_path):
    checks = ("angle-pull-distance", "box-volume", "cover-depth", "straight-pull-length")
    rows = tuple(box_finding(check=check) for check in checks)
    (markup,) = markups(written(tmp_path, findings=rows))
    assert [text.split(":")[0] for text in texts_of(markup)] == list(checks)
    assert [each.text for each in markup.iter("Labels")] == list(checks)


def test_rows_of_one_run_are_one_topic(tmp_path):
    loose = run_finding(check="run-continuity", elements=(CONDUIT,), subject=ELBOW)
    (markup,) = markups(written(tmp_path, findings=(run_finding(), loose)))
    assert title(markup) == "Run R1: bends-between-pull-points, run-continuity"


def test_undecided_rows_are_told_only_if_asked_for(tmp_path):
    rows = (box_finding(), run_finding(outcome=Outcome.NEEDS_INPUT))
    (only,) = markups(written(tmp_path, findings=rows))
    assert only.find("Topic").get("TopicType") == "Issue"
    _, undecided = markups(written(tmp_path, findings=rows, with_undecided=True))
    assert undecided.find("Topic").get("TopicType") == "Request"


def test_rows_that_pass_are_never_told(tmp_path):
    rows = (box_finding(outcome=Outcome.PASS), run_finding(outcome=Outcome.PASS))
    assert markups(written(tmp_path, findings=rows, with_undecided=True)) == []


def guids(path):
    (markup,) = markups(path)
    view = markup.find("Viewpoints").get("Guid")
    return markup.find("Topic").get("Guid"), markup.find("Comment").get("Guid"), view


def test_a_topic_keeps_its_guids_when_numbers_and_words_change(tmp_path):
    before = guids(written(tmp_path, findings=(box_finding(),)))
    changed = box_finding(provided=310.0, message="Longer.", at=(9.0, 9.0, 9.0))
    after = guids(written(tmp_path, findings=(changed,), inputs=report().inputs))
    assert after[:2] == before[:2]


def test_a_view_that_shows_something_else_is_another_view(tmp_path):
    before = guids(written(tmp_path, findings=(box_finding(),)))
    after = guids(written(tmp_path, findings=(box_finding(provided=310.0),)))
    assert after[2] != before[2]


def test_two_boxes_that_share_a_globalid_are_two_topics(tmp_path):
    other = replace(BOX, step_id=99)
    rows = (box_finding(), box_finding(subject=other, serial=2))
    first, second = markups(written(tmp_path, findings=rows))
    assert first.find("Topic").get("Guid") != second.find("Topic").get("Guid")


def test_an_accepted_fail_is_closed_and_says_by_whom(tmp_path):
    (markup,) = markups(written(tmp_path, findings=(box_finding(accepted=ACCEPTED),)))
    assert markup.find("Topic").get("TopicStatus") == "Closed"
    assert markup.find("Topic").get("TopicType") == "Issue"
    told = "Accepted by R. Vale on 2026-02-03 at required 371 mm, provided 300 mm: drawn before"
    assert told in texts_of(markup)[0]


def test_a_topic_with_a_row_that_nobody_accepted_is_open(tmp_path):
    rows = (box_finding(accepted=ACCEPTED), box_finding(check="cover-depth"))
    (markup,) = markups(written(tmp_path, findings=rows))
    assert markup.find("Topic").get("TopicStatus") == "Open"


def test_an_element_without_a_globalid_is_not_selected_and_that_is_said(tmp_path):
    path = written(tmp_path, findings=(box_finding(elements=(CONDUIT, LOST)),))
    view = next(text for name, text in files(path).items() if name.endswith(".bcfv"))
    selected = [each.get("IfcGuid") for each in ElementTree.fromstring(view).iter("Component")]
    assert selected == [BOX.guid, CONDUIT.guid]
    assert "#77 (no GlobalId)" in texts_of(markups(path)[0])[0]


def test_the_header_names_the_model_its_project_and_its_date(tmp_path):
    file = markups(written(tmp_path))[0].find("Header/File")
    assert file.get("IfcProject") == PROJECT
    assert file.find("Filename").text == "plant.ifc"
    assert file.find("Date").text == "2026-01-05T08:30:00Z"


@pytest.mark.parametrize("dated", ["", "soon", "9999-12-31T23:59:59-14:00"])
def test_a_model_without_a_date_is_said_to_have_none(tmp_path, dated):
    inputs = (replace(report().inputs[0], dated=dated),)
    topic = markups(written(tmp_path, inputs=inputs))[0].find("Topic")
    assert topic.find("CreationDate").text == "1970-01-01T00:00:00Z"
    assert "bears no date" in topic.find("Description").text


def test_the_description_has_place_working_and_cautions(tmp_path):
    where = Whereabouts(storey="Level 2", grid="B/3", height_m=2.4)
    path = written(tmp_path, findings=(box_finding(where=where),))
    text = markups(path)[0].find("Topic/Description").text
    assert "storey Level 2, grid B/3, height above the storey 2.40 m" in text
    assert "6 x 53 + 53 = 371 mm" in text
    assert "a licensed person decides" in text


def test_characters_that_xml_forbids_are_replaced(tmp_path):
    row = box_finding(message="bell \x07 and half \ud800 a letter")
    (markup,) = markups(written(tmp_path, findings=(row,)))
    assert "bell \ufffd and half \ufffd a letter" in texts_of(markup)[0]


def test_a_snapshot_is_a_picture_that_bcf_takes(tmp_path):
    pictures = [text for name, text in files(written(tmp_path)).items() if name.endswith(".png")]
    for text in pictures:
        image = Image.open(BytesIO(text))
        assert image.format == "PNG"
        assert max(image.size) <= 1500  # BCF-XML 3.0, documentation, topic folder structure
        assert len(image.convert("RGB").getcolors(1 << 20)) > 3  # something is drawn
    assert len(pictures) == 2
