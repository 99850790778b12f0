"""Whatever becomes of the geometry library, one body is lost and the next is worked."""

import signal
import subprocess
import sys
import time
from pathlib import Path

import ifcopenshell
import pytest

from modelcheck.read import engine
from modelcheck.read.curves import Scales, UnreadableError
from modelcheck.read.engine import Engine

INCH_M = 0.0254


def model_of(*lines: str) -> ifcopenshell.file:
    """A model of these statements and a placement, #1."""
    head = "ISO-10303-21;HEADER;FILE_DESCRIPTION((''),'2;1');FILE_NAME('','',(''),(''),'','','');"
    data = "#1=IFCAXIS2PLACEMENT3D(#2,$,$);#2=IFCCARTESIANPOINT((10.,20.,30.));"
    text = f"{head}FILE_SCHEMA(('IFC4'));ENDSEC;DATA;{data}{''.join(lines)}ENDSEC;END-ISO-10303-21;"
    return ifcopenshell.file.from_string(text)


MODEL = model_of("#10=IFCSPHERE(#1,5.);")
SPHERE = MODEL.by_id(10)
SCALES = Scales(INCH_M, 1.0)

# Reads a request and does what the file beside it says, once; then it is the true worker.
FAKE = """
import os, runpy, signal, sys, time
from pathlib import Path
todo = Path({todo!r})
if todo.exists():
    todo.unlink()
    sys.stdin.buffer.read(16)
    {what}
sys.argv[0] = {true!r}
runpy.run_path({true!r}, run_name="__main__")
"""


def faulty(tmp_path: Path, what: str) -> Engine:
    """An engine whose first process does `what` in place of an answer."""
    todo, worker = tmp_path / "todo", tmp_path / "worker.py"
    todo.touch()
    true = str(Path(engine.__file__).with_name("engine_worker.py"))
    worker.write_text(FAKE.format(todo=str(todo), what=what, true=true))
    return Engine(worker)


def test_a_body_is_worked_in_the_units_of_its_model():
    corners = Engine().mesh(SPHERE, SCALES, limit_s=20.0)
    middle = [INCH_M * each for each in (10, 20, 30)]
    low, high = corners.min((0, 1)), corners.max((0, 1))
    assert (low + high) / 2 == pytest.approx(middle, abs=0.005)
    assert high[2] - low[2] == pytest.approx(10 * INCH_M)


@pytest.mark.parametrize(
    ("what", "said"),
    [
        pytest.param("os.kill(os.getpid(), signal.SIGSEGV)", "breaks", id="crash"),
        pytest.param("os.kill(os.getpid(), signal.SIGKILL)", "breaks", id="out-of-memory"),
        pytest.param("sys.exit()", "breaks", id="gone"),
        pytest.param("sys.stdout.buffer.write(b'12'); sys.exit()", "breaks", id="half-an-answer"),
        pytest.param("time.sleep(600)", "more than 20 s", id="hang"),
    ],
)
def test_a_body_that_breaks_the_library_costs_itself_only(tmp_path, what, said):
    the_engine = faulty(tmp_path, what)
    with pytest.raises(UnreadableError, match=said):
        the_engine.mesh(SPHERE, SCALES, limit_s=0.5)
    assert len(the_engine.mesh(SPHERE, SCALES, limit_s=20.0)) > 100


def test_bodies_that_hang_cost_no_more_than_a_few_limits(tmp_path):
    worker = tmp_path / "worker.py"
    worker.write_text("import time; time.sleep(600)")
    the_engine = Engine(worker)
    said = []
    for _ in range(8):
        with pytest.raises(UnreadableError) as told:
            the_engine.mesh(SPHERE, SCALES, limit_s=0.05)
        said.append(str(told.value))
    assert ["more than" in each for each in said] == 5 * [True] + 3 * [False]
    assert said[-1] == "an IfcSphere, and working such bodies takes too long in this model"


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        pytest.param(
            ["#10=IFCBOOLEANRESULT(.UNION.,#10,#10);"], "part of itself", id="part-of-itself"
        ),
        pytest.param(
            [
                "#10=IFCFIXEDREFERENCESWEPTAREASOLID(#11,#1,#12,$,$,#13);",
                "#11=IFCCIRCLEPROFILEDEF(.AREA.,$,$,1.);",
                "#12=IFCPOLYLINE(());",
                "#13=IFCDIRECTION((1.,0.,0.));",
            ],
            "path without points",
            id="path-without-points",
        ),
    ],
)
def test_what_is_known_to_break_the_library_is_not_asked_of_it(tmp_path, lines, said):
    model = model_of(*lines)
    with pytest.raises(UnreadableError, match=said):
        Engine(tmp_path / "no worker").mesh(model.by_id(10), SCALES, limit_s=1.0)


def test_a_body_of_any_depth_ends_nothing_but_its_own_work():
    deep = 100_000  # more than the library's own walk comes back from
    curves = (f"#{n}=IFCOFFSETCURVE3D(#{n + 1},1.,.F.,#2);" for n in range(10, 10 + deep))
    model = model_of(*curves, f"#{10 + deep}=IFCSPHERE(#1,5.);")
    with pytest.raises(UnreadableError, match="too many parts in one another"):
        Engine().mesh(model.by_id(10), SCALES, limit_s=20.0)


def test_a_name_with_a_number_sign_refers_to_nothing():
    lines = (
        "#10=IFCEXTRUDEDAREASOLID(#11,#1,#12,5.);",
        "#11=IFCCIRCLEPROFILEDEF(.AREA.,'#10',$,1.);",
        "#12=IFCDIRECTION((0.,0.,1.));",
    )
    model = model_of(*lines)
    assert len(Engine().mesh(model.by_id(10), SCALES, limit_s=20.0))


ORPHAN = """
import sys, time, os
sys.path.insert(0, {root!r})
from tests.unit.read.test_engine import SCALES, SPHERE, Engine
the_engine = Engine(__import__("pathlib").Path({worker!r}))
try:
    the_engine.mesh(SPHERE, SCALES, limit_s=600.0)
finally:
    os._exit(0)
"""


def test_a_body_in_work_ends_with_the_program_that_is_killed(tmp_path):
    own_id = tmp_path / "id"
    the_worker = tmp_path / "worker.py"
    true = str(Path(engine.__file__).with_name("engine_worker.py"))
    the_worker.write_text(
        "import os, runpy, sys, time\n"
        f"names = runpy.run_path({true!r})\n"
        "names['_bind'](int(sys.argv[1]))\n"
        f"open({str(own_id)!r} + '.new', 'w').write(str(os.getpid()))\n"
        f"os.rename({str(own_id)!r} + '.new', {str(own_id)!r})\n"
        "while True: time.sleep(1)\n"
    )
    root = str(Path(__file__).parents[3])
    program = ORPHAN.format(root=root, worker=str(the_worker))
    with subprocess.Popen([sys.executable, "-c", program]) as parent:
        _until(own_id.exists)
        parent.send_signal(signal.SIGKILL)
    _until(lambda: not _lives(int(own_id.read_text())))


def _until(is_so):
    for _ in range(2000):
        if is_so():
            return
        time.sleep(0.01)
    pytest.fail("it did not come about within 20 s")


def _lives(process_id: int) -> bool:
    try:
        state = Path(f"/proc/{process_id}/stat").read_text().rsplit(")", 1)[1].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z"
