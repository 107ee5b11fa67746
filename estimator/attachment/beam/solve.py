"""The rail as a continuous beam over its actual spans, thousands of rails at once.

Constant stiffness along a rail; unequal spans, a cantilever at either end (also of no length); a load that is uniform
by stretches and may change, or change sign, anywhere. Several load cases are solved together. Lengths mm, loads N/mm,
positive downward; moments N mm, positive sagging; reactions N, positive upward (a negative one pulls at the roof);
deflections mm, positive downward. Left out: give in a splice, in a bracket or in the sheet, and pattern loading.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from estimator.attachment.beam.frame import Beam, Floats, Frame, Ints, frame_of, pieces_of
from estimator.attachment.beam.moments import support_moments, support_reactions
from estimator.attachment.beam.shape import Extremes, shape_of


@dataclass(frozen=True, slots=True)
class BeamResults:
    """Everything about many beams, flat: beam i's supports are ``supports_of(i)``, its fields ``fields_of(i)``.

    A beam of s supports has s + 1 fields in order: left cantilever, the spans, right cantilever. Every array's last
    axis is the load case.

    Args:
        moments_n_mm: at every support.
        reactions_n: at every support.
        sagging_n_mm: largest moment in each field, at least 0 at a free end.
        hogging_n_mm: smallest moment in each field.
        sagging_at_mm: where the largest moment stands, from the beam's start.
        deflections_mm: in each field, that of the largest size, with its sign.
        deflected_at_mm: where that is, from the beam's start.
        tips_mm: (beams, 2, cases) deflection of the left and right end.

    """

    frame: Frame
    moments_n_mm: Floats
    reactions_n: Floats
    sagging_n_mm: Floats
    hogging_n_mm: Floats
    sagging_at_mm: Floats
    deflections_mm: Floats
    deflected_at_mm: Floats
    tips_mm: Floats

    def supports_of(self, beam: int) -> slice:
        """Places of one beam's supports in the flat arrays."""
        return slice(int(self.frame.first_support[beam]), int(self.frame.first_support[beam + 1]))

    def fields_of(self, beam: int) -> slice:
        """Places of one beam's fields (left cantilever, spans, right cantilever) in the flat arrays."""
        return slice(int(self.frame.first_field[beam]), int(self.frame.first_field[beam + 1]))


def solve_beams(beams: Sequence[Beam]) -> BeamResults:
    """Moments, reactions and deflections of many beams, every one over its own spans and loads.

    Source: three-moment equation and double integration of the moment line, standard mechanics.
    Errors: ValueError for supports that do not ascend within the beam, fewer than two, or cases that differ in number.

    >>> import numpy
    >>> three = Beam(3600.0, (0.0, 1200.0, 2400.0, 3600.0), ((1.0,),))
    >>> numpy.round(solve_beams([three]).reactions_n[:, 0], 9).tolist()
    [480.0, 1320.0, 1320.0, 480.0]
    """
    frame = frame_of(beams)
    pieces = pieces_of(frame, beams)
    moments = support_moments(frame, pieces)
    shape = shape_of(frame, pieces, moments)
    return _results(frame, moments, shape)


def solve_supports(beams: Sequence[Beam]) -> tuple[Floats, Floats, Frame]:
    """Reactions, N, and moments, N mm, at the supports of many beams, without their shape: a fifth of the time.

    Source and errors: as ``solve_beams``.

    >>> reactions, moments, _ = solve_supports([Beam(3600.0, (0.0, 1200.0, 2400.0, 3600.0), ((1.0,),))])
    >>> reactions[:, 0].round(9).tolist(), moments[:, 0].round(6).tolist()
    ([480.0, 1320.0, 1320.0, 480.0], [0.0, -144000.0, -144000.0, 0.0])
    """
    frame = frame_of(beams)
    pieces = pieces_of(frame, beams)
    moments = support_moments(frame, pieces)
    return support_reactions(frame, pieces, moments), moments, frame


def _results(frame: Frame, moments: Floats, shape: Extremes) -> BeamResults:
    stiffness = frame.stiffness_n_mm2[:, None]
    by_field = stiffness[frame.beam_of_field]
    lefts, rights = frame.first_field[:-1], frame.first_field[1:] - 1
    return BeamResults(
        frame=frame,
        moments_n_mm=moments,
        reactions_n=shape.reactions,
        sagging_n_mm=shape.sagging,
        hogging_n_mm=shape.hogging,
        sagging_at_mm=frame.from_beam_start(shape.sagging_at),
        deflections_mm=shape.deflection / by_field,
        deflected_at_mm=frame.from_beam_start(shape.deflected_at),
        tips_mm=np.stack((shape.end_deflection[lefts], shape.end_deflection[rights]), axis=1) / stiffness[:, :, None],
    )


def identical_beams(beams: Iterable[Beam]) -> tuple[tuple[Beam, ...], Ints]:
    """The distinct beams, and for every beam given the place of the identical one among them.

    Beams count as identical when all lengths agree to a millionth of a millimetre and loads to twelve places.

    >>> alike, places = identical_beams([Beam(9.0, (1.0, 8.0), ((1.0,),)), Beam(9.0 + 1e-12, (1.0, 8.0), ((1.0,),))])
    >>> len(alike), places.tolist()
    (1, [0, 0])
    """
    found: dict[tuple[object, ...], int] = {}
    distinct: list[Beam] = []
    places: list[int] = []
    for beam in beams:
        key = _likeness(beam)
        place = found.setdefault(key, len(distinct))
        if place == len(distinct):
            distinct.append(beam)
        places.append(place)
    return tuple(distinct), np.asarray(places, dtype=np.int_)


def _likeness(beam: Beam) -> tuple[object, ...]:
    return (
        round(beam.length_mm, 6),
        tuple([round(x, 6) for x in beam.supports_mm]),
        tuple([round(x, 6) for x in beam.borders_mm]),
        tuple([tuple([float(f"{w:.12g}") for w in case]) for case in beam.loads_n_per_mm]),
        beam.stiffness_n_mm2,
    )
