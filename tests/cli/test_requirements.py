"""``modelcheck requirements``: what a model must contain, for any IDS checker."""

from click.testing import CliRunner
from ifctester import ids

from modelcheck.cli import main


def run(*arguments):
    return CliRunner().invoke(main, ["requirements", *map(str, arguments)])


def test_the_file_is_written_and_any_checker_can_read_it(tmp_path):
    out = tmp_path / "model.ids"
    result = run("--out", out)
    assert (result.exit_code, result.stderr) == (0, "")
    assert "model.ids" in result.stdout
    assert len(ids.open(str(out), validate=True).specifications) > 10
    assert run("--out", out).exit_code == 0


def test_a_file_of_the_users_is_one_sentence_and_stays(tmp_path):
    out = tmp_path / "model.ids"
    out.write_text("mine")
    result = run("--out", out)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.count("\n") == 1
    assert "model.ids" in result.stderr
    assert out.read_text() == "mine"


def test_without_a_name_the_missing_option_is_told():
    result = run()
    assert (result.exit_code, result.stdout) == (2, "")
    assert "--out" in result.stderr
