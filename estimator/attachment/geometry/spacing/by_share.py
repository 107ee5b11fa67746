"""Attachments anywhere along a run whose limits change: the fewest, each span the same share of its own limit."""

from __future__ import annotations

from estimator.attachment.geometry.limit_steps import TOLERANCE_MM, LimitSteps

_HALVINGS = 50
_MOST = 100_000


def place_by_share(length: float, spans: LimitSteps, cantilevers: LimitSteps) -> tuple[float, ...]:
    """Places of the fewest attachments that keep the limits span by span, mm from the run's start.

    The share is the smallest with which that many attachments still reach the end: the load on the rail is then spread
    as evenly as the limits are.

    Spans of 1200 in the middle, 600 within a metre of the ends, cantilevers of 300: with seven attachments
    (300 + 4 x 600 + 2 x 1200 + 300) x share = 4400, so the share is 0.8148; spans near the ends are half as long.

    >>> limits = LimitSteps((1000.0, 3400.0), (600.0, 1200.0, 600.0))
    >>> [round(place) for place in place_by_share(4400.0, limits, LimitSteps((), (300.0,)))]
    [244, 733, 1222, 2200, 3178, 3667, 4156]
    """
    count = len(_as_far_as_allowed(length, spans, cantilevers, 1.0))
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        share = (low + high) / 2
        if share and len(_as_far_as_allowed(length, spans, cantilevers, share, count)) <= count:
            high = share
        else:
            low = share
    return _as_far_as_allowed(length, spans, cantilevers, high)


def _as_far_as_allowed(
    length: float, spans: LimitSteps, cantilevers: LimitSteps, share: float, stop_after: int = _MOST
) -> tuple[float, ...]:
    """From the start on, every span as long as its share of the limit allows; stops after one place too many."""
    spans, cantilevers = spans.scaled(share), cantilevers.scaled(share)
    places = [min(_reach(0.0, length, cantilevers), length)]
    while len(places) <= stop_after and (len(places) < 2 or not _ends(places[-1], length, cantilevers)):
        places.append(min(_reach(places[-1], length, spans), length))
    return tuple(places)


def _ends(place: float, length: float, cantilevers: LimitSteps) -> bool:
    return length - place <= cantilevers.least(place, length) + TOLERANCE_MM / 10


def _reach(start: float, end: float, limits: LimitSteps) -> float:
    """The furthest place whose stretch from ``start`` keeps the least limit it covers."""
    best = start
    for edge in (*(at for at in limits.breaks_mm if at > start), end):
        allowed = start + limits.least(start, edge)
        best = max(best, min(edge, allowed))
        if allowed < edge:
            break
    return best
