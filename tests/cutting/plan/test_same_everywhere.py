"""The plan of a job is the same in every process: whatever the hash seed, the threads and the searches before it.

The house's rule; there is no outside reference for it.
"""

import json
import os
import subprocess
import sys

from estimator.cutting import plan_cuts
from estimator.estimate import PROMPT
from tests.benchmarks.bench_quick import job_of

JOBS = [(2, "small"), (1, "mixed")]
TELL = """
import hashlib, json, sys
from estimator.cutting import plan_cuts
from estimator.estimate import PROMPT
from tests.benchmarks.bench_quick import job_of
print(json.dumps([hashlib.sha256(repr(plan_cuts(*job_of(*job), PROMPT)).encode()).hexdigest()
                  for job in json.loads(sys.argv[1])]))
"""


def told(jobs, seed, threads):
    """SHA-256 of each job's plan, whole, as a process of its own makes them one after the other."""
    number = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), threads)
    environment = {**os.environ, **number, "PYTHONHASHSEED": seed}
    run = [sys.executable, "-c", TELL, json.dumps(jobs)]
    done = subprocess.run(run, env=environment, capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def test_every_process_makes_the_same_plan():
    plans = [plan_cuts(*job_of(*job), PROMPT) for job in JOBS]
    assert any(plan.splices for plan in plans)
    assert not all(plan.proven_optimal for plan in plans)  # of a plan that is proven only the cost would be fixed
    forwards = told(JOBS, "1", "1")
    assert len(set(forwards)) == len(JOBS)
    assert told(JOBS[::-1], "2", "2")[::-1] == forwards
