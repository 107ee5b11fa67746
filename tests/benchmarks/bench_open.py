"""Whether jobs with mountings left open take what trying all would take, how tight the weights are, and what it saves.

Run: python -m tests.benchmarks.bench_open [jobs] [first]
"""

from __future__ import annotations

import sys
import time

from estimator.errors import Refused
from estimator.estimate import estimate
from tests.properties.open_jobs import ON, compared, open_job


def main(jobs: int = 200, first: int = 1_000) -> None:
    differ, above, refused, slack, mountings = [], [], 0, [], 0
    open_s = all_s = 0.0
    for number in range(first, first + jobs):
        began = time.process_time()
        found = compared(number)
        if found is None:
            refused += 1
            continue
        all_s += time.process_time() - began
        began = time.process_time()
        try:
            estimate(*open_job(number), ON)
        except Refused:
            differ.append(number)
        open_s += time.process_time() - began
        ranks, taken, weights, _ = found
        if taken != min(ranks.values())[2]:
            differ.append(number)
        for name, least in weights.items():
            if least.failing > ranks[name][0] or least.total.amount > ranks[name][1]:
                above.append((number, name))
            slack.append(float(1 - least.total.amount / ranks[name][1]))
        mountings += len(ranks)
    slack.sort()
    middle, most = (slack[len(slack) // 2], slack[-1]) if slack else (0.0, 0.0)
    print(f"{jobs} jobs, {refused} refused, {mountings} mountings; another taken: {differ}; weights above: {above}")
    print(f"weight below total: middle {middle:.2%}, most {most:.2%}; open {open_s:.1f} s, all and open {all_s:.1f} s")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
