"""Which ribs under a run carry an attachment: the fewest that keep the limits, and the best of those.

The order of preference: fewest attachments; then fewest ribs to be avoided (those of the neighbouring run); then the
shortest longest span; then the least difference of the two cantilevers; then the leftmost.
Source: common practice, no source.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Literal

from estimator.attachment.geometry.limit_steps import TOLERANCE_MM, LimitSteps, as_steps
from estimator.attachment.geometry.spacing.by_share import place_by_share
from estimator.attachment.geometry.spacing.ribs_under_run import RibsUnderRun, best_avoiding, most_even


@dataclass(frozen=True, slots=True)
class LimitFailure:
    """One reason why no choice of ribs keeps the limits: found against allowed, and where along the run, mm."""

    limit: Literal["ribs", "first_cantilever", "last_cantilever", "span"]
    found_mm: float
    allowed_mm: float
    at_mm: float


@dataclass(frozen=True, slots=True)
class NoPlacement:
    """No choice of ribs exists; every limit that fails on its own, in order along the run."""

    failures: tuple[LimitFailure, ...]


Limit = float | LimitSteps


def place_on_ribs(
    offsets: Sequence[float],
    length: float,
    span_limits: Limit,
    cantilever_limits: Limit,
    avoid: frozenset[int] = frozenset(),
) -> tuple[int, ...] | NoPlacement:
    """Indices into ``offsets`` of the ribs that carry an attachment.

    Args:
        offsets: rib centre lines, mm from the run's start, ascending, all from 0 to ``length``.
        length: the run's length, mm.
        span_limits: longest span, mm; where it changes, a span keeps the least limit of the stretch it covers.
        cantilever_limits: longest cantilever, mm, in the same form.
        avoid: ribs not to be used where that costs no further attachment.

    Ribs every 300 mm from 100 mm on under a run of 2000 mm; spans up to 700, cantilevers up to 350:

    >>> place_on_ribs([100, 400, 700, 1000, 1300, 1600, 1900], 2000.0, 700.0, 350.0)
    (0, 2, 4, 6)

    """
    spans, cantilevers = as_steps(span_limits), as_steps(cantilever_limits)
    if len(offsets) < 2:
        return NoPlacement((LimitFailure("ribs", float(len(offsets)), 2.0, offsets[0] if offsets else 0.0),))
    ribs = RibsUnderRun.under(offsets, length, spans, cantilevers)
    missing = _missing_ends(offsets, length, cantilevers)
    count = None if missing else ribs.fewest()
    if count is None:
        failures = (*missing, *_gaps(ribs, spans, every=not missing))
        return NoPlacement(tuple(sorted(failures, key=lambda failure: failure.at_mm)))
    if avoid:
        return best_avoiding(ribs, count, avoid)
    lengths = ribs.span_lengths()
    cap = lengths[bisect_left(lengths, True, key=lambda longest: ribs.capped(longest).reaches(count))]
    return most_even(ribs.capped(cap), count)


def _missing_ends(offsets: Sequence[float], length: float, cantilevers: LimitSteps) -> tuple[LimitFailure, ...]:
    """The ends of the run that have no rib near enough, whatever the spans."""
    found = []
    allowed = cantilevers.least(0.0, offsets[0])
    if offsets[0] > allowed + TOLERANCE_MM:
        found.append(LimitFailure("first_cantilever", offsets[0], allowed, 0.0))
    allowed = cantilevers.least(offsets[-1], length)
    if length - offsets[-1] > allowed + TOLERANCE_MM:
        found.append(LimitFailure("last_cantilever", length - offsets[-1], allowed, length))
    return tuple(found)


def _gaps(ribs: RibsUnderRun, spans: LimitSteps, *, every: bool) -> tuple[LimitFailure, ...]:
    """Neighbouring ribs further apart than a span may be that each choice crosses; if none is, ``every`` such pair."""
    wide = [i for i in range(len(ribs.offsets) - 1) if ribs.furthest[i] == i]
    crossed = [i for i in wide if ribs.last_start <= i < ribs.first_end] or (wide if every else [])
    between = [(ribs.offsets[i], ribs.offsets[i + 1]) for i in crossed]
    return tuple(LimitFailure("span", right - left, spans.least(left, right), left) for left, right in between)


def place_evenly(length: float, span_limits: Limit, cantilever_limits: Limit) -> tuple[float, ...]:
    """Places of the attachments on a run that follows a rib, mm from its start.

    ``n = max(2, ceil((L - 2 c_max) / s_max) + 1)`` attachments with equal spans ``s`` and equal cantilevers ``c``. The
    limits leave ``c`` from ``(L - (n - 1) s_max) / 2`` to ``c_max``; within that it is the one nearest to ``L / 2n``,
    so that every attachment carries as nearly the same length of rail as the limits allow.
    Where the limits change along the run, the fewest attachments that keep them span by span are taken, each span and
    cantilever the same share of its own limit. Source: common practice, no source.

    A run of 3420 mm, spans up to 1200, cantilevers up to 350: n = ceil(2720 / 1200) + 1 = 4; L / 2n = 427.5 is more
    than 350, so c = 350 and s = (3420 - 700) / 3:

    >>> [round(place, 2) for place in place_evenly(3420.0, 1200.0, 350.0)]
    [350.0, 1256.67, 2163.33, 3070.0]

    A run of 1720 mm with the same limits: n = 2, L / 2n = 430 is more than 350; one of 1200 mm: c = 1200 / 4 = 300.

    >>> place_evenly(1720.0, 1200.0, 350.0), place_evenly(1200.0, 1200.0, 350.0)
    ((350.0, 1370.0), (300.0, 900.0))
    """
    spans, cantilevers = as_steps(span_limits), as_steps(cantilever_limits)
    if spans.breaks_mm or cantilevers.breaks_mm:
        return place_by_share(length, spans, cantilevers)
    longest, overhang = spans.limits_mm[0], cantilevers.limits_mm[0]
    count = max(2, ceil((length - 2 * overhang - TOLERANCE_MM) / longest) + 1)
    shortest_overhang = max(0.0, (length - (count - 1) * longest) / 2)
    end = max(shortest_overhang, min(overhang, length / (2 * count)))
    span = (length - 2 * end) / (count - 1)
    return tuple(end + span * number for number in range(count))
