"""What every purlin line takes of the attachments' forces, the sheet between purlins taken as simply supported.

An attachment between two purlins gives each the share of the lever; beyond the first or the last purlin it gives all to
that one. Sheets that run on over several purlins bring up to a quarter more to some lines: for the building's engineer
to judge. Source: mechanics; the choice of simple spans is common practice, no source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from math import floor

from estimator.attachment.reactions.records import AttachmentForces, PurlinLine
from estimator.job import Purlins

Forces = tuple[float, float, float]
Loaded = tuple[float, float, Forces]
"""From where to where along the eave, mm, and the force per metre in each direction."""


def purlin_lines(
    purlins: Purlins, slope_length_mm: float, forces: Iterable[AttachmentForces]
) -> tuple[PurlinLine, ...]:
    """Every purlin line that takes something, from the eave up."""
    count = purlins.count(slope_length_mm)
    totals: dict[int, Forces] = defaultdict(lambda: (0.0, 0.0, 0.0))
    stretches: dict[int, list[Loaded]] = defaultdict(list)
    for each in forces:
        for line, share in shares_of(each.y_mm, purlins, count):
            taken = (each.uplift_n * share, each.downward_n * share, each.along_n * share)
            before = totals[line]
            totals[line] = (before[0] + taken[0], before[1] + taken[1], before[2] + taken[2])
            metres = (each.to_x_mm - each.from_x_mm) / 1000
            spread = (taken[0] / metres, taken[1] / metres, taken[2] / metres)
            stretches[line].append((each.from_x_mm, each.to_x_mm, spread))
    return tuple(
        PurlinLine(line + 1, purlins.at(line), *totals[line], *_most(stretches[line])) for line in sorted(totals)
    )


def shares_of(y_mm: float, purlins: Purlins, count: int) -> Iterator[tuple[int, float]]:
    """The lines, numbered from 0, that take a force at a height on the slope, and the share of each.

    >>> list(shares_of(2250.0, Purlins(1500.0), 5))
    [(1, 0.5), (2, 0.5)]
    >>> list(shares_of(9000.0, Purlins(1500.0), 5))
    [(4, 1.0)]
    """
    place = (y_mm - purlins.first_at_mm) / purlins.spacing_mm
    if place <= 0 or place >= count - 1:
        yield (0 if place <= 0 else count - 1), 1.0
        return
    below = floor(place)
    upper = place - below
    yield below, 1.0 - upper
    if upper > 0:
        yield below + 1, upper


def _most(stretches: Sequence[Loaded]) -> Forces:
    """The largest force per metre anywhere on a line, in each direction."""
    starts = sorted({start for start, _, _ in stretches})
    most = [0.0, 0.0, 0.0]
    for at in starts:
        here = [spread for start, end, spread in stretches if start - 1e-6 <= at < end - 1e-6]
        most = [max(m, sum(spread[n] for spread in here)) for n, m in enumerate(most)]
    return most[0], most[1], most[2]
