"""Moments at the supports of many beams: the three-moment equation, eliminated for all beams side by side.

    M(i-1) L(i) + 2 M(i) (L(i) + L(i+1)) + M(i+1) L(i+1) = -(K_left(i) + K_right(i+1))

with K the load terms of the spans left and right of support i; a free end with a cantilever gives its M outright.
Source: standard mechanics (three-moment equation of Clapeyron), M positive sagging here.
"""

from __future__ import annotations

import numpy as np

from estimator.attachment.beam.frame import Floats, Frame, Ints, Pieces


def sums_by_field(frame: Frame, field: Ints, values: Floats) -> Floats:
    """Values of pieces, (pieces, cases), summed over each field."""
    n = len(frame.field_length_mm)
    return np.stack([np.bincount(field, weights=column, minlength=n) for column in values.T], axis=1)


def field_loads(frame: Frame, pieces: Pieces) -> tuple[Floats, Floats]:
    """Whole load of each field, N, and its moment about the field's start, N mm."""
    force = pieces.load * pieces.length_mm[:, None]
    middle = (pieces.start_mm + pieces.length_mm / 2)[:, None]
    return sums_by_field(frame, pieces.field, force), sums_by_field(frame, pieces.field, force * middle)


def load_terms(frame: Frame, pieces: Pieces) -> tuple[Floats, Floats]:
    """The load terms of each field for the support at its end and for the one at its start.

    The first is the integral of w x (L^2 - x^2) / L, the second the same with x counted from the other end; for w
    throughout the span both are w L^3 / 4.
    """
    span = frame.field_length_mm[pieces.field]
    half = pieces.length_mm / 2
    middle = pieces.start_mm + half
    from_start, from_end = (_term(span, at, half)[:, None] * pieces.load for at in (middle, span - middle))
    return sums_by_field(frame, pieces.field, from_start), sums_by_field(frame, pieces.field, from_end)


def _term(span: Floats, middle: Floats, half: Floats) -> Floats:
    """Integral of x (L^2 - x^2) / L over a piece, free of cancellation for short pieces."""
    return 2 * half * middle * (span * span - middle * middle - half * half) / span


def support_moments(frame: Frame, pieces: Pieces) -> Floats:
    """Moments at all supports, (supports, cases), N mm, sagging positive."""
    left_term, right_term = load_terms(frame, pieces)
    first, last = frame.first_support[:-1], frame.first_support[1:] - 1
    n = len(frame.supports_mm)
    before, after = np.zeros(n), np.zeros(n)
    at, spans = frame.span_supports, frame.spans
    after[at] = frame.field_length_mm[spans]
    before[at + 1] = frame.field_length_mm[spans]
    right_side = np.zeros((n, frame.cases))
    right_side[at] -= right_term[spans]
    right_side[at + 1] -= left_term[spans]
    diagonal = 2 * (before + after)
    moments = _cantilever_moments(frame, pieces)
    for end, known in ((first, moments[0]), (last, moments[1])):
        before[end], after[end], diagonal[end], right_side[end] = 0.0, 0.0, 1.0, known
    return _eliminate(frame, before, diagonal, after, right_side) + 0.0  # no negative zero


def support_reactions(frame: Frame, pieces: Pieces, moments: Floats) -> Floats:
    """Reactions at all supports, (supports, cases), N: of each span what its load and its end moments leave there."""
    load, about_start = field_loads(frame, pieces)
    reactions = np.zeros((len(frame.supports_mm), frame.cases))
    i, f = frame.span_supports, frame.spans
    span = frame.field_length_mm[f][:, None]
    left = load[f] - about_start[f] / span + (moments[i + 1] - moments[i]) / span
    reactions[i] += left
    reactions[i + 1] += load[f] - left
    reactions[frame.first_support[:-1]] += load[frame.first_field[:-1]]
    reactions[frame.first_support[1:] - 1] += load[frame.first_field[1:] - 1]
    return reactions


def _cantilever_moments(frame: Frame, pieces: Pieces) -> tuple[Floats, Floats]:
    about_start = field_loads(frame, pieces)[1]
    return -about_start[frame.first_field[:-1]], -about_start[frame.first_field[1:] - 1]


def _eliminate(frame: Frame, before: Floats, diagonal: Floats, after: Floats, right_side: Floats) -> Floats:
    """One forward and one backward pass over the place in the beam, each for all beams long enough."""
    counts = np.diff(frame.first_support)
    order = np.argsort(-counts, kind="stable")
    starts, longest = frame.first_support[:-1][order], int(counts.max())
    reach = np.searchsorted(-counts[order], -np.arange(longest), side="left")
    upper, moments = after / diagonal, right_side / diagonal[:, None]
    for k in range(1, longest):
        i = starts[: reach[k]] + k
        pivot = diagonal[i] - before[i] * upper[i - 1]
        upper[i] = after[i] / pivot
        moments[i] = (right_side[i] - before[i][:, None] * moments[i - 1]) / pivot[:, None]
    for k in range(longest - 2, -1, -1):
        i = starts[: reach[k + 1]] + k
        moments[i] -= upper[i][:, None] * moments[i + 1]
    return moments
