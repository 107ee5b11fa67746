"""How much work a job's setting-out is, reckoned from its shape alone: the same on every machine.

One unit is about a millisecond of a slow machine, for the dearest kind of line. Source: measured, rails on 20 to 40
lines under wind and snow, with and without rails, in November 2026.
"""

from __future__ import annotations

from estimator.errors import Fault, JobRefused
from estimator.job import Job

UNDER_LOADS, GIVEN_SPANS = 100, 2
"""Units of one line of modules, for one mounting: with pressures by zones, and with spans that somebody gives."""
MOST = 6_000_000
"""About an hour and a half of a slow machine. Decision of ours, no source."""
OPEN_WAYS = {"arrangement": 3, "material": 2, "bracket": 3, "rail": 2}
"""How many ways each choice that is left open may have."""


def lines_of(job: Job) -> int:
    """Lines of modules at most: rows, and one more for every cell left out.

    >>> from types import SimpleNamespace as Any
    >>> lines_of(Any(roofs=[Any(arrays=[Any(rows=4, omit={(0, 1)}), Any(rows=2, omit=())])]))
    7
    """
    return sum(array.rows + len(array.omit) for roof in job.roofs for array in roof.arrays)


def setting_out_work(job: Job, mountings: int) -> int:
    """Units of work to set a job out for so many mountings."""
    each = GIVEN_SPANS if job.mounting.max_span_mm is not None else UNDER_LOADS
    return lines_of(job) * mountings * each


def work_at_most(job: Job) -> int:
    """The same before it is known which mountings fit."""
    ways = 1
    for name, count in OPEN_WAYS.items():
        ways *= count if getattr(job.mounting, name) is None else 1
    return setting_out_work(job, ways)


def refuse_endless(job: Job, mountings: int) -> None:
    """Refuse (JobRefused) a job whose setting-out would take hours."""
    work = setting_out_work(job, mountings)
    if work > MOST:
        lines = lines_of(job)
        text = f"{lines} lines of modules in {mountings} mountings are more than can be set out"
        allowed = (
            f"at most {MOST // (work // (lines * mountings))} lines times mountings: give mountings, split the job"
        )
        raise JobRefused("more than can be set out", [Fault("/roofs", text, allowed)])
