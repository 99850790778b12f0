"""Docstrings of rules and geometry are data: each float has its unit, each reference its source."""

import importlib
import inspect
import pkgutil
import re

import pytest
from numpydoc.docscrape import FunctionDoc

import modelcheck.geometry
import modelcheck.rules
from modelcheck.rules.tables import sources


def functions():
    for package in (modelcheck.rules, modelcheck.geometry):
        for info in pkgutil.iter_modules(package.__path__, f"{package.__name__}."):
            module = importlib.import_module(info.name)
            for name, each in inspect.getmembers(module, inspect.isfunction):
                if each.__module__ == info.name and not name.startswith("_"):
                    yield pytest.param(each, id=f"{info.name}.{name}")


@pytest.mark.parametrize("function", list(functions()))
def test_every_float_has_its_unit_and_every_reference_its_source(function):
    doc = FunctionDoc(function)
    for section in ("Parameters", "Returns"):
        for parameter in doc[section]:
            if "float" in parameter.type:
                assert re.search(r"\[.+?\]", " ".join(parameter.desc)), parameter.name
    for line in filter(None, "; ".join(doc["References"]).split(";")):
        assert line.split()[0] in sources(), line
    takes_floats = [
        name
        for name, kind in inspect.get_annotations(function).items()
        if "float" in str(kind) and name != "return"
    ]
    documented = {name.strip() for p in doc["Parameters"] for name in p.name.split(",")}
    assert set(takes_floats) <= documented
