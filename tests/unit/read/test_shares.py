"""Processes share the elements: nothing is lost, nothing is read twice, and the order stays."""

import multiprocessing
import os
import signal
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from modelcheck.errors import InputFileError, ModelcheckError, WorkerError
from modelcheck.read.shares import each_worked, shares_of, worked

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="work is shared by fork")


@given(counts=st.lists(st.integers(0, 6000), min_size=1, max_size=8), workers=st.integers(1, 5))
def test_every_element_is_in_one_share_in_order(counts, workers):
    shares = shares_of(counts, workers)
    read = [
        (number, k) for share in shares for number, low, high in share for k in range(low, high)
    ]
    assert read == [(number, k) for number, count in enumerate(counts) for k in range(count)]
    assert {number for share in shares for number, _, _ in share} == set(range(len(counts)))
    assert 1 <= len(shares) <= workers
    sizes = [sum(high - low for _, low, high in share) for share in shares]
    assert max(sizes) - min(sizes) <= 1


def test_a_small_model_is_not_shared():
    assert shares_of([900, 900], 4) == (((0, 0, 900), (1, 0, 900)),)


def test_what_is_made_comes_back_in_order():
    assert worked(lambda share: [share, os.getpid()][0], [3, 1, 2]) == [3, 1, 2]


def test_each_share_has_a_process_of_its_own():
    assert len(set(worked(lambda _: os.getpid(), [1, 2, 3]))) == 3


def _killed(share):
    if share == 2:
        os.kill(os.getpid(), signal.SIGKILL)
    return share


def _gone(share):
    if share == 2:
        os._exit(3)
    return share


@pytest.mark.parametrize(
    ("work", "said"),
    [
        pytest.param(_killed, "killed by signal 9", id="killed"),
        pytest.param(_gone, "ended with status 3", id="gone"),
    ],
)
def test_a_worker_that_dies_is_told_in_a_sentence_and_none_is_left(work, said):
    with pytest.raises(WorkerError, match=said):
        worked(work, [1, 2, 3])
    assert multiprocessing.active_children() == []


def test_no_worker_is_left_where_this_process_fails():
    def work(share):
        if share == 1:
            raise ZeroDivisionError
        signal.pause()

    with pytest.raises(ZeroDivisionError):
        worked(work, [1, 2])
    assert multiprocessing.active_children() == []


@given(tasks=st.lists(st.integers()), workers=st.integers(1, 3))
@settings(max_examples=10)
def test_what_is_made_of_each_task_comes_back_in_order(tasks, workers):
    assert each_worked(lambda task: 2 * task, tasks, workers=workers) == [
        2 * each for each in tasks
    ]


@given(tasks=st.lists(st.integers(0, 9), min_size=1), workers=st.integers(1, 3))
@settings(max_examples=10)
def test_no_process_gets_a_task_while_another_has_less(tasks, workers):
    here = each_worked(lambda _: os.getpid(), tasks, workers=workers, cost=lambda task: task)
    loads = [sum(task for task, pid in zip(tasks, here, strict=True) if pid == one) for one in here]
    assert max(loads) - max(tasks) <= sum(tasks) / min(workers, len(tasks))


def _refused(task):
    if task == 2:
        raise InputFileError("it was changed", path="m.ifc")


def _full(task):
    if task == 2:
        raise OSError(28, "No space left on device", "out")


def test_what_a_user_can_cause_is_told_as_it_is_without_workers():
    with pytest.raises(ModelcheckError, match=r"m\.ifc: it was changed"):
        each_worked(_refused, [1, 2], workers=2)
    with pytest.raises(OSError, match="No space left"):
        each_worked(_full, [1, 2], workers=2)
