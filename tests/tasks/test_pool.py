"""The pool of processes: bounded, quick to stop, and none the worse for what happens in it. Common practice."""

import os
import signal
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from estimator.contract.problems.refusals import PoolFull, TooMuchWork
from estimator.errors import JobRefused
from estimator.tasks.hang_up import GONE, NobodyWaits
from estimator.tasks.parent import goes_on, server_ends
from estimator.tasks.pool import CalculationBroken, Pool, PoolLimits
from tests.facts import refusing
from tests.tasks import calculations


@pytest.fixture(scope="module")
def pool():
    made = Pool(PoolLimits(processes=1, waiting=2, wait_seconds=1.5, most_seconds=30))
    made.call(calculations.add, 1, 2)
    yield made
    made.close()


def test_what_a_process_makes_comes_back_and_its_progress_is_told(pool):
    told = []
    assert pool.call(calculations.add, 20, 22, tell=lambda *progress: told.append(progress)) == 42
    assert told == [(1, 2)]
    assert pool.call(calculations.process) != os.getpid()
    assert pool.call(calculations.process) == pool.call(calculations.process)


def test_a_refusal_keeps_its_faults_and_a_fault_of_ours_its_trace(pool):
    with pytest.raises(JobRefused) as refused:
        pool.call(calculations.refuse)
    assert [fault.pointer for fault in refused.value.faults] == ["/roofs/0"]
    with pytest.raises(CalculationBroken, match="KeyError: 'secret'"):
        pool.call(calculations.fail)


def test_a_calculation_that_takes_too_much_memory_is_refused_and_the_next_one_runs(pool):
    with pytest.raises(TooMuchWork):
        pool.call(calculations.fill, 8_000_000_000)
    assert pool.call(calculations.add, 1, 1) == 2


def test_a_process_that_is_killed_is_replaced_and_its_call_made_again(pool):
    before = pool.call(calculations.process)
    threading.Timer(0.5, os.kill, (before, signal.SIGKILL)).start()
    assert pool.call(calculations.sleep, 1.5) == 1.5
    assert pool.call(calculations.process) != before


def test_a_calculation_whose_client_has_gone_is_stopped(pool):
    before, began = pool.call(calculations.process), time.monotonic()
    gone = GONE.set(lambda: time.monotonic() > began + 0.5)
    try:
        with pytest.raises(NobodyWaits):
            pool.call(calculations.sleep, 60)
    finally:
        GONE.reset(gone)
    assert time.monotonic() - began < 20
    assert not Path(f"/proc/{before}").exists()


def test_who_waits_too_long_or_behind_too_many_is_told_and_the_patient_wait(pool):
    with ThreadPoolExecutor(5) as threads:
        patient = [threads.submit(pool.call, calculations.sleep, 3, patient=True)]
        time.sleep(0.3)
        waiting = threads.submit(pool.call, calculations.add, 1, 1)
        patient.append(threads.submit(pool.call, calculations.add, 2, 2, patient=True))
        time.sleep(0.3)
        began = time.monotonic()
        with refusing(PoolFull):
            pool.call(calculations.add, 3, 3)
        assert time.monotonic() - began < 1
        with refusing(PoolFull, holds=(1.5,)):
            waiting.result()
        assert [each.result() for each in patient] == [3, 4]
    assert pool.call(calculations.add, 1, 1) == 2


def test_when_the_server_ends_what_somebody_waits_for_is_handed_over_in_time(pool):
    server_ends(0.3)
    try:
        with refusing(PoolFull):
            pool.call(calculations.sleep, 20)
        GONE.set(lambda: False)
        assert pool.call(calculations.add, 1, 1, patient=True) == 2
    finally:
        goes_on()
    assert pool.call(calculations.add, 1, 1) == 2
