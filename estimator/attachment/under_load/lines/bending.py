"""Bending of a rail about both axes: loads square to the roof bend it about the strong one, forces along it the other.

Only rails across the ribs bend about the weak axis: along the ribs the forces lie in the rail's own direction. Stresses
of both axes add up at one place and in one combination:

    |M_y| / M_y,limit + |M_z| / M_z,limit <= 1

Both are linear in the loads, so that the sum is the moment of a beam under w_y / M_y,limit + w_z / M_z,limit, or under
the difference; both beams are solved, and the larger counts. Deflections are put together as a vector, the largest of
each. Source: mechanics of materials; that stresses are added linearly, without plastic reserve, is on the safe side of
EN 1993-1-1 6.2.1(7), from memory. Twisting, by a load beside the rail's shear centre, is not counted.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from estimator.attachment.beam.frame import Floats
from estimator.attachment.beam.solve import BeamResults
from estimator.attachment.geometry.limit_steps import TOLERANCE_MM
from estimator.attachment.under_load.records import RoofStrength
from estimator.loads import ZonePressures


@dataclass(frozen=True, slots=True)
class LoadCases:
    """How the load cases of a line lie side by side: so many combinations of strength, so many of service.

    Square to the roof and along it for strength, square to it and along it for service; then, where the weak axis
    counts, the sums and the differences for strength, as shares of the limiting moments.
    """

    strength: int
    service: int
    both_axes: bool

    @property
    def square(self) -> slice:
        """Strength, square to the roof."""
        return slice(0, self.strength)

    @property
    def along(self) -> slice:
        """Strength, along the slope."""
        return slice(self.strength, 2 * self.strength)

    @property
    def service_square(self) -> slice:
        """Service, square to the roof."""
        return slice(2 * self.strength, 2 * self.strength + self.service)

    @property
    def service_along(self) -> slice:
        """Service, along the slope."""
        return slice(2 * self.strength + self.service, 2 * (self.strength + self.service))

    @property
    def together(self) -> slice:
        """Strength, both axes together."""
        return slice(2 * (self.strength + self.service), None)


def pressure_cases(found: ZonePressures, strength: RoofStrength) -> Floats:
    """The pressures of every load case of a zone, (cases, areas)."""
    square, along = found.normal_pa, found.along_pa_by_combination
    cases = [square, along, found.service_normal_pa, found.service_along_pa]
    if strength.both_axes:
        y, z = square / strength.moment_n_mm, along / strength.weak_moment_n_mm
        cases += [y + z, y - z]
    return np.concatenate(cases)


@dataclass(frozen=True, slots=True)
class FieldsUsed:
    """For every span and cantilever: shares used, and the moments and deflections that use most."""

    bending: Floats
    deflection: Floats
    moment_n_mm: Floats
    weak_moment_n_mm: Floats
    deflection_mm: Floats
    weak_deflection_mm: Floats


def fields_used(solved: BeamResults, strength: RoofStrength, cases: LoadCases) -> FieldsUsed:
    """Bending and deflection used in each field."""
    moment, weak = _largest_moment(solved, cases.square), _largest_moment(solved, cases.along)
    bending = np.abs(moment) / strength.moment_n_mm
    bent = solved.deflections_mm[:, cases.service_square]
    sideways = np.zeros_like(bent)
    if strength.both_axes:
        bending = np.abs(_largest_moment(solved, cases.together))
        softer = strength.stiffness_n_mm2 / strength.weak_stiffness_n_mm2
        sideways = solved.deflections_mm[:, cases.service_along] * softer
    else:
        weak = np.zeros_like(moment)
    worst = np.hypot(bent, sideways).argmax(axis=1)[:, None]
    bent, sideways = (np.take_along_axis(each, worst, axis=1)[:, 0] for each in (bent, sideways))
    frame = solved.frame
    length = frame.field_length_mm * np.where(frame.is_left | frame.is_right, 2.0, 1.0)
    allowed = length / strength.deflection_ratio if strength.deflection_ratio else np.full_like(length, np.inf)
    moved = np.hypot(bent, sideways)
    deflection = np.divide(moved, allowed, out=np.zeros_like(moved), where=length > TOLERANCE_MM)
    return FieldsUsed(bending, deflection, moment, weak, bent, sideways)


def _largest_moment(solved: BeamResults, cases: slice) -> Floats:
    sag, hog = solved.sagging_n_mm[:, cases].max(axis=1), solved.hogging_n_mm[:, cases].min(axis=1)
    found: Floats = np.where(sag > -hog, sag, hog)
    return found
