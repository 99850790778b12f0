"""The open models that lie beside the project, where they do."""

import os
from pathlib import Path

import pytest

MODELS = Path(__file__).parents[2] / "shared" / "models"
FORM_CHECK = MODELS.parent / "contract_check.py"


def shared_model(name):
    """Path of an open model; skips the test where it is absent, fails it in CI."""
    path = MODELS / name
    if not path.exists():
        if os.environ.get("MODELCHECK_NEED_MODELS"):
            pytest.fail(f"{path} is missing")
        pytest.skip(f"{path} is missing")
    return path
