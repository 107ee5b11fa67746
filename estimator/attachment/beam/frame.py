"""Beams laid out flat for numpy: supports, fields between them, and pieces of uniform load within the fields.

A field is a span or a cantilever. Distances in a field run from its start: a span's left support, a cantilever's
support outward to its free end, so that both cantilevers are treated alike. Lengths mm, loads N/mm downward.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain, pairwise

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int_]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Beam:
    """One rail as it is set out, with its loads.

    Args:
        length_mm: whole length, free end to free end.
        supports_mm: attachments from the beam's start, ascending, at least two.
        loads_n_per_mm: one entry per stretch of load, each with one number per load case.
        borders_mm: where the load changes, ascending; one less than there are stretches.
        stiffness_n_mm2: elastic modulus times second moment of area.

    """

    length_mm: float
    supports_mm: tuple[float, ...]
    loads_n_per_mm: tuple[tuple[float, ...], ...]
    borders_mm: tuple[float, ...] = ()
    stiffness_n_mm2: float = 1.0


@dataclass(frozen=True, slots=True)
class Frame:
    """Supports and fields of many beams; ``first_support`` and ``first_field`` hold one entry more than beams."""

    supports_mm: Floats
    first_support: Ints
    first_field: Ints
    beam_of_support: Ints
    beam_of_field: Ints
    field_length_mm: Floats
    is_left: Flags
    is_right: Flags
    stiffness_n_mm2: Floats
    cases: int

    @property
    def spans(self) -> Ints:
        """Field numbers of the spans, in order."""
        spans: Ints = np.flatnonzero(~(self.is_left | self.is_right))
        return spans

    @property
    def span_supports(self) -> Ints:
        """Support number at the left of each span; the next one stands at its right."""
        numbers = np.arange(len(self.supports_mm))
        lefts: Ints = numbers[numbers != self.first_support[1:][self.beam_of_support] - 1]
        return lefts

    def from_beam_start(self, distance: Floats) -> Floats:
        """Distances within the fields, (fields, cases), as distances from each beam's start."""
        lefts = self.first_field[:-1]
        support = np.arange(len(self.field_length_mm)) - self.beam_of_field - 1
        support[lefts] = self.first_support[:-1]
        start = self.supports_mm[support][:, None]
        from_start: Floats = np.where(self.is_left[:, None], start - distance, start + distance)
        return from_start


@dataclass(frozen=True, slots=True)
class Pieces:
    """Stretches of uniform load within a field: ascending by field, then by distance from the field's start."""

    field: Ints
    rank: Ints
    start_mm: Floats
    length_mm: Floats
    load: Floats


def frame_of(beams: Sequence[Beam]) -> Frame:
    """Supports and fields of the beams, checked. Errors: ValueError, naming the beam."""
    _check(beams)
    counts = np.array([len(beam.supports_mm) for beam in beams], dtype=np.int_)
    numbers = np.arange(len(beams))
    first_support = np.concatenate(([0], np.cumsum(counts))).astype(np.int_)
    first_field = first_support + np.arange(len(beams) + 1)
    beam_of_field = np.repeat(numbers, counts + 1)
    ends = np.fromiter(chain.from_iterable((0.0, *b.supports_mm, b.length_mm) for b in beams), dtype=np.float64)
    beam_of_end = np.repeat(numbers, counts + 2)
    lengths = np.diff(ends)[beam_of_end[1:] == beam_of_end[:-1]]
    is_left, is_right = np.zeros((2, len(beam_of_field)), dtype=np.bool_)
    is_left[first_field[:-1]] = True
    is_right[first_field[1:] - 1] = True
    return Frame(
        supports_mm=np.fromiter(chain.from_iterable(b.supports_mm for b in beams), dtype=np.float64),
        first_support=first_support,
        first_field=first_field,
        beam_of_support=np.repeat(numbers, counts),
        beam_of_field=beam_of_field,
        field_length_mm=lengths,
        is_left=is_left,
        is_right=is_right,
        stiffness_n_mm2=np.array([beam.stiffness_n_mm2 for beam in beams], dtype=np.float64),
        cases=len(beams[0].loads_n_per_mm[0]),
    )


def _check(beams: Sequence[Beam]) -> None:
    if not beams:
        raise ValueError("no beam given")
    cases = len(beams[0].loads_n_per_mm[0])
    for number, beam in enumerate(beams):
        at = beam.supports_mm
        if len(at) < 2 or at[0] < 0 or at[-1] > beam.length_mm or any(a >= b for a, b in pairwise(at)):
            raise ValueError(f"beam {number}: two or more supports ascending within 0 to {beam.length_mm}, not {at}")
        if any(a > b for a, b in pairwise((0.0, *beam.borders_mm, beam.length_mm))):
            raise ValueError(f"beam {number}: load borders ascend within 0 to {beam.length_mm}, not {beam.borders_mm}")
        if len(beam.loads_n_per_mm) != len(beam.borders_mm) + 1:
            raise ValueError(f"beam {number}: {len(beam.borders_mm)} borders part one stretch more of load")
        if any(len(stretch) != cases for stretch in beam.loads_n_per_mm):
            raise ValueError(f"beam {number}: every stretch of every beam has the same {cases} load cases")


def pieces_of(frame: Frame, beams: Sequence[Beam]) -> Pieces:
    """Every beam split at its supports and load borders."""
    numbers = np.arange(len(beams))
    borders = np.array([len(beam.borders_mm) for beam in beams], dtype=np.int_)
    x = np.concatenate(
        (
            np.zeros(len(beams)),
            frame.supports_mm,
            np.fromiter(chain.from_iterable(beam.borders_mm for beam in beams), dtype=np.float64),
            np.array([beam.length_mm for beam in beams], dtype=np.float64),
        )
    )
    beam = np.concatenate((numbers, frame.beam_of_support, np.repeat(numbers, borders), numbers))
    kind = np.repeat(np.arange(4), (len(beams), len(frame.supports_mm), int(borders.sum()), len(beams)))
    order = np.lexsort((kind, x, beam))
    x, beam, kind = x[order], beam[order], kind[order]
    length = np.diff(x)
    within = (beam[1:] == beam[:-1]) & (length > 0)
    field = (np.cumsum(kind == 1)[:-1] + beam[:-1])[within]
    stretch = (np.cumsum(kind == 2)[:-1] + beam[:-1])[within]
    loads = np.array([stretch for beam in beams for stretch in beam.loads_n_per_mm], dtype=np.float64)
    return _by_field(frame, field, x[:-1][within], length[within], loads[stretch])


def _by_field(frame: Frame, field: Ints, x: Floats, length: Floats, load: Floats) -> Pieces:
    """Distances counted from the field's start, in the order they are met from there."""
    left = frame.is_left[field]
    support = np.where(left, frame.first_support[frame.beam_of_field[field]], field - frame.beam_of_field[field] - 1)
    start = np.where(left, frame.supports_mm[support] - x - length, x - frame.supports_mm[support])
    order = np.lexsort((start, field))
    field = field[order]
    first = np.concatenate(([True], field[1:] != field[:-1]))
    places = np.arange(len(field))
    rank = places - np.maximum.accumulate(np.where(first, places, 0))
    return Pieces(field, rank, start[order], length[order], load[order])
