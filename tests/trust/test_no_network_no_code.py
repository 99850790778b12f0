"""Nothing is fetched, and nothing that a model or a setting says is run."""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
from pathlib import Path

import ifcopenshell
import pytest

import modelcheck
from tests.builders.habits import TIDY
from tests.builders.plant import Plant
from tests.builders.scenes import between, facing_boxes
from tests.builders.write_ifc import write

PACKAGE = Path(modelcheck.__file__).parent
ROOT = PACKAGE.parent
SOURCES = sorted(PACKAGE.rglob("*.py"))
PLANT = Plant(name="Small plant", boxes=facing_boxes(), routes=(between(),))
MARK = "modelcheck_was_had"
CODE = f"__import__('os').system('touch {MARK}')"
# What a name could be taken for by something that runs text: Python, templates, shells, formats.
CODES = [CODE, f"{{{{{CODE}}}}}", f"{{% if {CODE} %}}", f"$(touch {MARK})", f"`touch {MARK}`",
         f"; touch {MARK}", f"${{{CODE}}}", f"%({MARK})s {{0.__class__}}"]  # fmt: skip

WATCHED = """
import json, sys
mark, out = sys.argv[1:3]
told = {"reached": [], "ran": [], "written": [], "started": []}

def hook(event, arguments):
    if event.startswith(("socket.", "urllib.", "http.", "ftplib.", "smtplib.")):
        told["reached"].append([event, repr(arguments)[:200]])
    elif event in ("compile", "exec") and mark in repr(arguments[0]):
        told["ran"].append([event, repr(arguments)[:200]])
    elif event in ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "os.startfile"):
        told["started"].append([str(each) for each in arguments[1] or ()])
    elif event == "open" and isinstance(arguments[0], str) and isinstance(arguments[2], int):
        if arguments[2] & 3 and not arguments[0].startswith((out, "/dev/null")):
            told["written"].append(arguments[0])

from modelcheck.cli import main
sys.addaudithook(hook)
try:
    main(sys.argv[3:])
except SystemExit as done:
    told["status"] = done.code
print("\\n" + json.dumps(told), file=sys.stderr)
"""


def watched(tmp_path, *arguments):
    """Run a command and tell what it reached for, ran, started and wrote."""
    home = tmp_path / "home"
    home.mkdir(exist_ok=True)
    done = subprocess.run(
        [sys.executable, "-B", "-c", WATCHED, MARK, str(home), *map(str, arguments)],
        check=False,
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT), "HOME": str(home)},
    )
    return json.loads(done.stderr.splitlines()[-1])


@pytest.fixture
def hostile(tmp_path):
    """A model whose every name is code to somebody."""
    path = tmp_path / "plant.ifc"
    write(PLANT, TIDY, path)
    file = ifcopenshell.open(path)
    for number, each in enumerate(file.by_type("IfcRoot")):
        each.Name = each.Description = CODES[number % len(CODES)]
        if each.is_a("IfcElement"):
            each.Tag = CODES[(number + 3) % len(CODES)]
    file.write(str(path))
    return path


COMMANDS = [
    pytest.param(["check", "MODEL", "--out", "OUT"], id="check"),
    pytest.param(["draw", "MODEL", "--all", "--out", "OUT"], id="draw"),
    pytest.param(["bends", "MODEL", "--all", "--out", "OUT"], id="bends"),
    pytest.param(["pulls", "MODEL", "--out", "OUT.csv"], id="pulls"),
    pytest.param(["read", "MODEL", "--out", "OUT"], id="read"),
    pytest.param(["practice", "--seed", "1", "--count", "1", "--out", "OUT"], id="practice"),
]


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_reaches_for_no_network_runs_no_name_and_writes_nowhere_else(
    tmp_path, hostile, command
):
    out = str(tmp_path / "home" / "out")
    spelled = [each.replace("MODEL", str(hostile)).replace("OUT", out) for each in command]
    told = watched(tmp_path, *spelled)
    assert told["status"] in (0, 1)
    assert told["reached"] == []
    assert told["ran"] == []
    assert told["written"] == []
    assert all(each[0] == sys.executable for each in told["started"])  # the geometry engine
    assert not list(tmp_path.rglob(MARK))


def test_settings_and_schedules_are_never_run(tmp_path, hostile):
    settings, pulls = tmp_path / "S.toml", tmp_path / "P.csv"
    settings.write_text(
        f'[properties]\ntrade_size = ["{CODE}"]\n[ends]\nmeant = ["{CODE}"]\n'
        f'[[amendment]]\ncheck = "bends-between-pull-points"\ncode = "cec"\nvalue = 270\n'
        f'clause = "{CODE}"\nsource = "{CODE}"\nadopted_by = "{CODE}"\n',
        encoding="utf-8",
    )
    guid = ifcopenshell.open(hostile).by_type("IfcCableCarrierSegment")[0].GlobalId
    pulls.write_text(
        f'pull,conductor_size,insulation,count,route\n"{CODE}",4/0 AWG,RW90,3,{guid}\n',
        encoding="utf-8",
    )
    out = tmp_path / "home" / "out"
    told = watched(
        tmp_path, "check", hostile, "--out", out, "--settings", settings, "--pulls", pulls
    )
    assert told["status"] in (0, 1)
    assert (told["reached"], told["ran"], told["written"]) == ([], [], [])
    assert not list(tmp_path.rglob(MARK))


RUNS_TEXT = {"eval", "exec", "compile", "__import__"}
RUNS_ATTRIBUTES = {("os", "system"), ("os", "popen"), ("importlib", "import_module")}
ONLY_WRITES = {("marshal", "dumps")}  # makes bytes of values, and reads none
READS_CODE = {"pickle", "marshal", "shelve", "yaml", "dill", "joblib", "code", "runpy"}
REACHES_OUT = {"socket", "ssl", "urllib", "http", "ftplib", "smtplib", "requests", "httpx"}
READS_XML = {"xml", "lxml", "xmltodict"}
STARTS = {
    "subprocess": {"read/engine.py"},
    "multiprocessing": {"pipeline/batch_workers.py", "read/shares.py"},
}
CLUSTER = {"distributed": {"pipeline/cluster.py"}, "fsspec": {"pipeline/places.py"}}


def imported(tree):
    """Top names of all that a module imports, wherever it does."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif (
            isinstance(node, ast.ImportFrom)
            and not node.level
            and any((node.module, alias.name) not in ONLY_WRITES for alias in node.names)
        ):
            yield (node.module or "").split(".")[0]


def called(tree):
    """Names, and pairs of a name and its attribute, that a module calls."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            yield node.func.id
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            yield (getattr(node.func.value, "id", ""), node.func.attr)


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_a_module_runs_no_text_and_reaches_for_no_network(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names, calls = set(imported(tree)), set(called(tree))
    assert not calls & (RUNS_TEXT | RUNS_ATTRIBUTES)
    assert not names & (READS_CODE | REACHES_OUT)
    own = path.relative_to(PACKAGE).as_posix()
    for module, places in (STARTS | CLUSTER).items():
        assert module not in names or own in places
    for node in ast.walk(tree):  # a shell would take apart what it is given
        if isinstance(node, ast.keyword) and node.arg == "shell":
            assert isinstance(node.value, ast.Constant)
            assert node.value.value is False
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Environment":
            escapes = {each.arg: each.value for each in node.keywords}.get("autoescape")
            assert isinstance(escapes, ast.Constant)
            assert escapes.value is True


def test_no_xml_is_read_by_a_parser_that_follows_what_it_names():
    """XML is written, never read: an entity or a schema elsewhere has nobody to fetch it."""
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute):
                assert node.attr not in ("fromstring", "iterparse", "XMLParser", "parseString")
