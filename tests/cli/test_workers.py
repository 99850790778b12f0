"""Any number of workers writes the same bytes."""

from pathlib import Path

import pytest

from modelcheck.pipeline import results
from modelcheck.read import shares
from tests.run_program import check

SAMPLES = sorted(Path("sample_models").glob("*.ifc"))


def contents(folder):
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


@pytest.mark.parametrize("workers", [2, 3])
def test_the_results_are_the_same_bytes_for_any_number_of_workers(tmp_path, monkeypatch, workers):
    check(SAMPLES, tmp_path / "alone", "--workers", "1", "--pdf")
    monkeypatch.setattr(shares, "_LEAST", 5)
    monkeypatch.setattr(results, "_MANY", 0)
    assert len(shares.shares_of([20, 20], workers)) == workers
    check(SAMPLES, tmp_path / "shared", "--workers", str(workers), "--pdf")
    assert contents(tmp_path / "shared") == contents(tmp_path / "alone")
