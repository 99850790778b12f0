"""A model may come in an archive, which is read within limits and never unpacked by its names."""

from __future__ import annotations

import zipfile
from hashlib import sha256
from random import Random

import pytest
from click.testing import CliRunner

from modelcheck.cli import main
from modelcheck.read import ifc_text
from tests.builders.habits import TIDY
from tests.builders.write_ifc import write
from tests.run_program import assert_form_holds
from tests.trust.to_spoil import SMALL


@pytest.fixture(scope="module")
def model(tmp_path_factory):
    path = tmp_path_factory.mktemp("zipped") / "small.ifc"
    write(SMALL, TIDY, path)
    return path


def packed(folder, members, name="model.ifczip", method=zipfile.ZIP_DEFLATED):
    path = folder / name
    with zipfile.ZipFile(path, "w", method) as archive:
        for member, data in members.items():
            archive.writestr(member, data)
    return path


def run(path, folder):
    return CliRunner().invoke(main, ["check", str(path), "--out", str(folder / "out")])


@pytest.mark.parametrize(
    ("name", "member", "method"),
    [
        pytest.param("model.ifcZIP", "small.ifc", zipfile.ZIP_DEFLATED, id="usual"),
        pytest.param("model.zip", "a/b/SMALL.IFC", zipfile.ZIP_STORED, id="in-a-folder"),
        pytest.param("model.ifc", "small.ifc", zipfile.ZIP_LZMA, id="named-ifc"),
        pytest.param("model.ifczip", "../../../small.ifc", zipfile.ZIP_BZIP2, id="path-outside"),
        pytest.param("model.ifczip", "/etc/small.ifc", zipfile.ZIP_DEFLATED, id="path-from-root"),
    ],
)
def test_a_model_in_an_archive_is_checked_as_it_would_be_outside(
    model, tmp_path, name, member, method
):
    folder = tmp_path / "in"
    folder.mkdir()
    archive = packed(
        folder,
        {member: model.read_bytes(), "__MACOSX/._small.ifc": b"\0", "readme.txt": b""},
        name,
        method,
    )
    before = sha256(archive.read_bytes()).hexdigest()
    zipped, plain = run(archive, folder), run(model, tmp_path)
    assert (zipped.exit_code, zipped.stderr) == (plain.exit_code, "")
    checked = (folder / "out" / "model.checked.ifc").read_bytes()
    assert checked == (tmp_path / "out" / "small.checked.ifc").read_bytes()
    rows = (folder / "out" / "findings.csv").read_text()
    assert rows.replace(name, "small.ifc") == (tmp_path / "out" / "findings.csv").read_text()
    assert before in (folder / "out" / "summary.json").read_text()
    assert sorted(each.name for each in folder.iterdir()) == [name, "out"]
    assert sha256(archive.read_bytes()).hexdigest() == before


def test_the_results_of_an_archive_have_the_agreed_form(model, tmp_path):
    archive = packed(tmp_path, {"small.ifc": model.read_bytes()}, "small.ifczip")
    run(archive, tmp_path)
    assert_form_holds(tmp_path / "out", [archive])


def locked(path):
    """Mark every member as encrypted, as the headers say it."""
    data = bytearray(path.read_bytes())
    for mark, place in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        data[data.index(mark) + place] |= 1
    path.write_bytes(bytes(data))


def longer_than_said(path):
    """Say that the member is a tenth of what it unpacks to."""
    with zipfile.ZipFile(path) as archive:
        size = archive.infolist()[0].file_size
    data = path.read_bytes()
    path.write_bytes(data.replace(size.to_bytes(4, "little"), (size // 10).to_bytes(4, "little")))


@pytest.mark.parametrize(
    ("members", "spoil", "said"),
    [
        pytest.param({}, None, "no file that ends in .ifc", id="empty"),
        pytest.param({"x.txt": b"x"}, None, "no file that ends in .ifc", id="no-model"),
        pytest.param({"x.ifcXML": b"<a/>"}, None, "holds XML", id="xml"),
        pytest.param({"x.ifc": b"<a/>"}, None, "XML or JSON", id="xml-named-ifc"),
        pytest.param({"x.ifc": b"PK"}, None, "not an IFC file", id="archive-in-an-archive"),
        pytest.param({"x.ifc": b""}, None, "is empty", id="nothing-in-it"),
        pytest.param({"x.ifc": b"1", "y.ifc": b"2"}, None, "2 IFC files", id="two-models"),
        pytest.param({"x.ifc": None}, locked, "password", id="locked"),
        pytest.param({"x.ifc": None}, longer_than_said, "is damaged", id="longer-than-said"),
        pytest.param({"x.ifc": b" " * 50_000_000}, None, "unpack to 50 MB", id="bomb"),
        pytest.param(
            {"x.ifc": None},
            lambda path: path.write_bytes(path.read_bytes()[:-40]),
            "damaged",
            id="cut",
        ),
    ],
)
def test_an_archive_that_holds_no_one_model_is_refused(model, tmp_path, members, spoil, said):
    text = model.read_bytes()
    path = packed(tmp_path, {name: data or text * (data is None) for name, data in members.items()})
    if spoil is not None:
        spoil(path)
    result = run(path, tmp_path)
    assert result.exit_code == 2, result.output
    assert said in result.stderr
    assert result.stderr.count("\n") == 1
    assert [each.name for each in tmp_path.iterdir()] == [path.name]


def test_an_archive_may_not_unpack_to_more_than_the_bound(model, tmp_path, monkeypatch):
    monkeypatch.setattr(ifc_text, "MOST_BYTES", 1000)
    result = run(packed(tmp_path, {"x.ifc": model.read_bytes()}), tmp_path)
    assert result.exit_code == 2
    assert "would unpack to" in result.stderr


@pytest.mark.parametrize("seed", range(40))
def test_a_damaged_archive_is_read_or_refused(model, tmp_path, seed):
    lot = Random(seed)
    path = packed(tmp_path, {"x.ifc": model.read_bytes()})
    data = bytearray(path.read_bytes())
    for _ in range(lot.randint(1, 5)):
        data[lot.randrange(len(data))] = lot.randrange(256)
    path.write_bytes(bytes(data))
    result = CliRunner().invoke(main, ["runs", str(path)])
    assert result.exit_code in (0, 2), result.exception
    assert (result.exit_code == 2) == bool(result.stderr)
