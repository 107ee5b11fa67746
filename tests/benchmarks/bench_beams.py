"""Rails solved per second, beside a general finite-element library on the same rails.

Run: python -m tests.benchmarks.bench_beams
"""

import time

from estimator.attachment.beam.solve import Beam, solve_beams
from tests.outside.beam_libraries import in_pynite

KINDS = ((4, 12_000, 40), (20, 3_000, 20), (240, 200, 2))
"""Spans, rails of ours, rails of the library's."""


def rails(count, spans):
    """Unlike rails of so many unequal spans, two cantilevers, one zone border each."""
    found = []
    for number in range(count):
        at, supports = 100.0 + number % 200, []
        for k in range(spans + 1):
            supports.append(at)
            at += 900.0 + 300.0 * ((number + k) % 3)
        length = supports[-1] + 150.0
        found.append(Beam(length, tuple(supports), ((-2.0 - number * 1e-4,), (-1.1,)), (length / 3,), 5.57e9))
    return found


def seconds(run):
    start = time.process_time()
    run()
    return time.process_time() - start


def main(kinds=KINDS):
    for spans, many, few in kinds:
        ours = rails(many, spans)
        per_second = many / min(seconds(lambda ours=ours: solve_beams(ours)) for _ in range(3))
        theirs = few / seconds(lambda ours=ours, few=few: [in_pynite(beam) for beam in ours[:few]])
        print(
            f"{spans} spans: {per_second:,.0f} rails/s, library {theirs:,.1f} rails/s, {per_second / theirs:,.0f} times"
        )


if __name__ == "__main__":
    main()
