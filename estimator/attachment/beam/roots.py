"""Where a beam bends out furthest: the places of no slope, found for all pieces of all beams at once.

Within a piece the slope T(u) = T - M u - V u^2/2 + w u^3/6 turns where the moment M + V u - w u^2/2 is zero; between
those places it rises or falls throughout, so a change of sign encloses exactly one place of no slope.
"""

from __future__ import annotations

from typing import Protocol

import numpy as np

from estimator.attachment.beam.frame import Floats, Frame, Pieces


class AtPieces(Protocol):
    """Shear, moment, slope and deflection (the last two times stiffness) at each piece's start."""

    @property
    def V(self) -> Floats: ...  # noqa: D102
    @property
    def M(self) -> Floats: ...  # noqa: D102
    @property
    def T(self) -> Floats: ...  # noqa: D102
    @property
    def D(self) -> Floats: ...  # noqa: D102


def extreme_deflections(frame: Frame, pieces: Pieces, at: AtPieces, end_D: Floats) -> tuple[Floats, Floats]:
    """In each field the deflection of the largest size, with its sign, and its distance from the field's start."""
    u = _candidates(pieces, at)
    w = pieces.load[None]
    D = at.D + u * (at.T - u * (at.M / 2 + u * (at.V / 6 - w * u / 24)))
    pick = np.argmax(np.abs(D), axis=0)[None]
    best = np.take_along_axis(D, pick, axis=0)[0]
    where = np.take_along_axis(u, pick, axis=0)[0] + pieces.start_mm[:, None]
    return _by_field(frame, pieces, best, where, end_D)


def _by_field(frame: Frame, pieces: Pieces, best: Floats, where: Floats, end_D: Floats) -> tuple[Floats, Floats]:
    cantilever = (frame.is_left | frame.is_right)[:, None]
    deflection = np.where(cantilever, end_D, 0.0)
    deflected_at = np.where(cantilever, frame.field_length_mm[:, None], 0.0)
    first = np.flatnonzero(pieces.rank == 0)
    fields = pieces.field[first]
    size = np.zeros_like(deflection)
    size[fields] = np.maximum.reduceat(np.abs(best), first, axis=0)
    hit = np.abs(best) == size[pieces.field]
    sign = np.zeros_like(deflection)
    sign[fields] = np.maximum.reduceat(np.where(hit, np.sign(best), -1.0), first, axis=0)
    place = np.zeros_like(deflection)
    place[fields] = np.maximum.reduceat(np.where(hit, where, -1.0), first, axis=0)
    larger = size > np.abs(deflection)
    return np.where(larger, sign * size, deflection), np.where(larger, place, deflected_at)


def _candidates(pieces: Pieces, at: AtPieces) -> Floats:
    """Distances from the piece's start to look at, (candidates, pieces, cases): its start, and places of no slope."""
    length = np.broadcast_to(pieces.length_mm[:, None], pieces.load.shape)
    turns = _turns(at.V, at.M, pieces.load, length)
    edges = np.stack((np.zeros_like(length), *turns, length))
    flat = np.zeros((3, *length.shape))
    slope = _slope(edges, at.T, at.M, at.V, pieces.load)
    for k in range(3):
        i = np.nonzero(slope[k] * slope[k + 1] < 0)
        if len(i[0]):
            flat[k][i] = _no_slope(edges[k][i], edges[k + 1][i], at.T[i], at.M[i], at.V[i], pieces.load[i])
    return np.concatenate((edges[:3], flat))


def _turns(V: Floats, M: Floats, w: Floats, length: Floats) -> tuple[Floats, Floats]:
    """Where the moment is zero within each piece, ascending; 0 or the length where it is not."""
    with np.errstate(divide="ignore", invalid="ignore"):
        root = np.sqrt(np.maximum(V * V + 2 * w * M, 0.0))
        q = -(V + np.where(V < 0, -root, root)) / 2
        first, second = q / (-w / 2), M / q
    first = np.clip(np.nan_to_num(first, nan=0.0), 0.0, length)
    second = np.clip(np.nan_to_num(second, nan=0.0), 0.0, length)
    return np.minimum(first, second), np.maximum(first, second)


def _slope(u: Floats, T: Floats, M: Floats, V: Floats, w: Floats) -> Floats:
    return T - u * (M + u * (V / 2 - w * u / 6))


def _no_slope(low: Floats, high: Floats, T: Floats, M: Floats, V: Floats, w: Floats) -> Floats:
    """The root of the slope between two places of unlike sign: Newton's step, halving where it leaves the bracket.

    The deflection is flat there, so a root good to 1e-9 of the piece gives it to the last place.
    """
    rising = _slope(high, T, M, V, w) > 0
    low, high = low.copy(), high.copy()
    u = (low + high) / 2
    for _ in range(80):
        T_u = _slope(u, T, M, V, w)
        above = (T_u > 0) == rising
        high, low = np.where(above, u, high), np.where(above, low, u)
        M_u = M + u * (V - w * u / 2)
        with np.errstate(divide="ignore", invalid="ignore"):
            step = u + T_u / M_u
        inside = (step >= low) & (step <= high)
        following = np.where(inside, step, (low + high) / 2)
        if np.all(np.abs(following - u) <= 1e-11 * (high + low)):
            return following
        u = following
    return u
