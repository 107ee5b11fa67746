"""Reactions, extreme moments and the bent shape of many beams, walked piece by piece from the moments at supports.

State at a place, each (fields, cases): V shear N, M moment N mm, T slope times stiffness N mm2, D deflection times
stiffness N mm3; along u, with the load w: V' = -w, M' = V, T' = -M, D' = T.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from estimator.attachment.beam.frame import Floats, Frame, Ints, Pieces
from estimator.attachment.beam.moments import field_loads, load_terms
from estimator.attachment.beam.roots import extreme_deflections


@dataclass(frozen=True, slots=True)
class State:
    """V, M, T and D at one place of each field (or each piece)."""

    V: Floats
    M: Floats
    T: Floats
    D: Floats

    def at(self, i: Ints) -> State:
        """The state of some fields."""
        return State(self.V[i], self.M[i], self.T[i], self.D[i])

    def put(self, i: Ints, other: State) -> None:
        """Set the state of some fields."""
        self.V[i], self.M[i], self.T[i], self.D[i] = other.V, other.M, other.T, other.D

    def after(self, u: Floats, w: Floats) -> State:
        """The state a distance u further on, under load w."""
        V, M, T, D = self.V, self.M, self.T, self.D
        return State(
            V - w * u,
            M + u * (V - w * u / 2),
            T - u * (M + u * (V / 2 - w * u / 6)),
            D + u * (T - u * (M / 2 + u * (V / 6 - w * u / 24))),
        )

    def copy(self) -> State:
        """The same, free to change."""
        return State(self.V.copy(), self.M.copy(), self.T.copy(), self.D.copy())


@dataclass(frozen=True, slots=True)
class Extremes:
    """What the walk found; distances from the field's start, deflections still times stiffness."""

    reactions: Floats
    sagging: Floats
    hogging: Floats
    sagging_at: Floats
    deflection: Floats
    deflected_at: Floats
    end_deflection: Floats


def shape_of(frame: Frame, pieces: Pieces, moments: Floats) -> Extremes:
    """Walk every field from its start: the spans first, then the cantilevers with the slope the spans leave them."""
    start = _span_starts(frame, pieces, moments)
    by_rank = _by_rank(pieces)
    spans_end, _ = _walk(pieces, start, by_rank)
    _start_cantilevers(frame, pieces, moments, start, spans_end)
    end, at_pieces = _walk(pieces, start, by_rank)
    sagging, hogging, sagging_at = _extreme_moments(frame, pieces, start, at_pieces)
    deflection, deflected_at = extreme_deflections(frame, pieces, at_pieces, end.D)
    reactions = _reactions(frame, start, end)
    return Extremes(reactions, sagging, hogging, sagging_at, deflection, deflected_at, end.D)


def _span_starts(frame: Frame, pieces: Pieces, moments: Floats) -> State:
    """Shear from the load and the difference of the end moments; slope from the moment line's area."""
    state = State(*(np.zeros((len(frame.field_length_mm), frame.cases)) for _ in range(4)))
    load, about_start = field_loads(frame, pieces)
    _, right_term = load_terms(frame, pieces)
    f, i = frame.spans, frame.span_supports
    span = frame.field_length_mm[f][:, None]
    left, right = moments[i], moments[i + 1]
    state.V[f] = load[f] - about_start[f] / span + (right - left) / span
    state.M[f] = left
    state.T[f] = span * (left / 3 + right / 6) + right_term[f] / 6
    return state


def _start_cantilevers(frame: Frame, pieces: Pieces, moments: Floats, start: State, spans_end: State) -> None:
    lefts, rights = frame.first_field[:-1], frame.first_field[1:] - 1
    load, _ = field_loads(frame, pieces)
    for fields in (lefts, rights):
        start.V[fields] = load[fields]
    start.M[lefts], start.M[rights] = moments[frame.first_support[:-1]], moments[frame.first_support[1:] - 1]
    start.T[lefts], start.T[rights] = -start.T[lefts + 1], spans_end.T[rights - 1]


def _by_rank(pieces: Pieces) -> list[Ints]:
    """Pieces that stand first in their field, second, and so on."""
    order = np.argsort(pieces.rank, kind="stable")
    return np.split(order, np.searchsorted(pieces.rank[order], np.arange(1, int(pieces.rank.max()) + 1)))


def _walk(pieces: Pieces, start: State, by_rank: list[Ints]) -> tuple[State, State]:
    """State at each field's end, and at each piece's start."""
    state = start.copy()
    shape = pieces.load.shape
    at_pieces = State(np.empty(shape), np.empty(shape), np.empty(shape), np.empty(shape))
    for i in by_rank:
        fields = pieces.field[i]
        here = state.at(fields)
        at_pieces.put(i, here)
        state.put(fields, here.after(pieces.length_mm[i][:, None], pieces.load[i]))
    return state, at_pieces


def _extreme_moments(frame: Frame, pieces: Pieces, start: State, at: State) -> tuple[Floats, Floats, Floats]:
    """Largest and smallest moment of each field: at a piece's ends, or where the shear passes through zero."""
    w, length = pieces.load, pieces.length_mm[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        turn = np.where(w != 0, at.V / w, -1.0)
    turn = np.where((turn > 0) & (turn < length), turn, 0.0)
    turned = at.after(turn, w).M
    ended = at.after(length + np.zeros_like(w), w).M
    best = np.where(turned > at.M, turned, at.M)
    where = np.where(turned > at.M, turn, 0.0)
    best, where = np.where(ended > best, ended, best), np.where(ended > best, length, where)
    where = where + pieces.start_mm[:, None]
    sagging, hogging, sagging_at = start.M.copy(), start.M.copy(), np.zeros_like(start.M)
    first = np.flatnonzero(pieces.rank == 0)
    fields = pieces.field[first]
    sagging[fields] = np.maximum.reduceat(best, first, axis=0)
    hogging[fields] = np.minimum.reduceat(np.minimum(np.minimum(turned, at.M), ended), first, axis=0)
    is_best = best == sagging[pieces.field]
    sagging_at[fields] = np.maximum.reduceat(np.where(is_best, where, -1.0), first, axis=0)
    return sagging, hogging, sagging_at


def _reactions(frame: Frame, start: State, end: State) -> Floats:
    """Shear right of a support less the shear left of it; a cantilever brings its whole load."""
    reactions = np.zeros((len(frame.supports_mm), frame.cases))
    i, f = frame.span_supports, frame.spans
    reactions[i] += start.V[f]
    reactions[i + 1] -= end.V[f]
    reactions[frame.first_support[:-1]] += start.V[frame.first_field[:-1]]
    reactions[frame.first_support[1:] - 1] += start.V[frame.first_field[1:] - 1]
    return reactions
