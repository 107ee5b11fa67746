"""How much work a setting-out is: estimated from the shape of a job before, counted while it is done, everywhere alike.

One unit is about a millisecond of a slow machine. Source: measured under wind and snow in November 2026, with and
without rails, on 4 to 48 lines of 10 to 165 modules: a support of a line that is solved takes 80 to 130 millionths of a
second, whatever the shape; a line takes as long as its shape makes it, 100 units where rows are short.
"""

from __future__ import annotations

from dataclasses import dataclass

from estimator.errors import Fault, JobRefused
from estimator.job import Job
from estimator.sentences import say

UNDER_LOADS, GIVEN_SPANS = 100, 2
"""Units of one line of modules, for one mounting: with pressures by zones, and with spans that somebody gives."""
MOST = 6_000_000
"""About an hour and a half of a slow machine. Own decision, no source."""
TOO_MUCH = say("more than can be set out")
OPEN_WAYS = {"arrangement": 3, "material": 2, "bracket": 3, "rail": 2}
"""How many ways each choice that is left open may have."""


SUPPORT = 0.1
"""Units of one support of a line that is solved, each time that it is."""


@dataclass(slots=True)
class Work:
    """What the setting-outs of one calculation have taken so far, and how much they may take."""

    most: float = MOST
    done: float = 0.0

    def solve(self, supports: int) -> None:
        """So many supports are about to be solved. Errors: JobRefused where that is more than all may take.

        >>> work = Work()
        >>> work.solve(250)
        >>> work.done
        25.0
        """
        self.done += SUPPORT * supports
        if self.done > self.most:
            solved = int(self.most / SUPPORT)
            text = say(
                "the lines of modules ask for more than {solved} supports to be tried before everything holds",
                solved=solved,
            )
            raise JobRefused(
                TOO_MUCH, [Fault("/roofs", text, say("shorter lines, mountings given, or the job in parts"))]
            )


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
        text = say(
            "{lines} lines of modules in {mountings} mountings are more than can be set out",
            lines=lines,
            mountings=mountings,
        )
        allowed = say(
            "at most {most} lines times mountings: give mountings, split the job",
            most=MOST // (work // (lines * mountings)),
        )
        raise JobRefused(TOO_MUCH, [Fault("/roofs", text, allowed)])
