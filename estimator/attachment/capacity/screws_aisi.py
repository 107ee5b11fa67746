"""Screws in sheet steel by AISI S100 (clause E4 in 2007 and 2012, J4 in 2016), per screw, N and mm.

t1, F_u1: the part under the screw head (the bracket's leg); t2, F_u2: the part it holds on to (the roof sheet).
The formulas, 3.0 and the limits of spacing are found in public records; 3/4 in and the LSD factor from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Literal

OMEGA = 3.0
PHI = 0.50
PHI_LSD = 0.40
WIDEST_HEAD_MM = 19.05
LOW_DUCTILITY_MPA = 565.0
LOW_DUCTILITY_MOST_MPA = 427.5


@dataclass(frozen=True, slots=True)
class ScrewSeat:
    """One screw and the two parts it joins. Strengths are ultimate, N/mm2; ``screw_*_n`` are the screw's own."""

    d_mm: float
    head_mm: float
    t1_mm: float
    F_u1_mpa: float
    t2_mm: float
    F_u2_mpa: float
    screw_shear_n: float | None = None
    screw_tension_n: float | None = None


@dataclass(frozen=True, slots=True)
class ScrewLimit:
    """The least of the limit states of a screw: nominal strength, N, and which one it is."""

    nominal_n: float
    state: Literal["bearing and tilting", "pull-out", "pull-over", "screw"]

    @property
    def allowable_n(self) -> float:
        """ASD: over Omega 3.0."""
        return self.nominal_n / OMEGA

    @property
    def design_n(self) -> float:
        """LRFD: times phi 0.50."""
        return PHI * self.nominal_n


def sheet_strength(F_u_mpa: float) -> float:
    """Ultimate strength to count with: steels of little ductility (82 ksi and up) count 0.75 F_u, at most 62 ksi.

    Source: AISI S100 A2.3 / A3.1.3, from memory.

    >>> sheet_strength(448.0), sheet_strength(600.0)
    (448.0, 427.5)
    """
    if F_u_mpa < LOW_DUCTILITY_MPA:
        return F_u_mpa
    return min(0.75 * F_u_mpa, LOW_DUCTILITY_MOST_MPA)


def bearing_n(seat: ScrewSeat) -> float:
    """Nominal shear P_ns of the joint: tilting counts while the held sheet is not much thicker than the other.

    >>> kip, inch = 4448.2216152605, 25.4
    >>> ksi = kip / inch**2
    >>> seat = ScrewSeat(0.25 * inch, 0.409 * inch, 0.060 * inch, 55 * ksi, 0.0179 * inch, 65 * ksi)
    >>> round(bearing_n(seat) / kip, 5)
    0.3269
    """
    s = seat
    plain = min(2.7 * s.t1_mm * s.d_mm * s.F_u1_mpa, 2.7 * s.t2_mm * s.d_mm * s.F_u2_mpa)
    ratio = s.t2_mm / s.t1_mm
    if ratio >= 2.5:
        return plain
    tilted = min(plain, 4.2 * sqrt(s.t2_mm**3 * s.d_mm) * s.F_u2_mpa)
    if ratio <= 1.0:
        return tilted
    return tilted + (plain - tilted) * (ratio - 1.0) / 1.5


def pull_out_n(seat: ScrewSeat) -> float:
    """Nominal pull-out P_not: 0.85 t_c d F_u2, the screw through the whole sheet."""
    return 0.85 * seat.t2_mm * seat.d_mm * seat.F_u2_mpa


def pull_over_n(seat: ScrewSeat) -> float:
    """Nominal pull-over P_nov: 1.5 t1 d_w F_u1, heads and washers counted up to 3/4 in."""
    return 1.5 * seat.t1_mm * min(seat.head_mm, WIDEST_HEAD_MM) * seat.F_u1_mpa


def screw_in_shear(seat: ScrewSeat) -> ScrewLimit:
    """Shear of one screw: the sheets, or the screw itself where its strength is known."""
    found = ScrewLimit(bearing_n(seat), "bearing and tilting")
    return _or_screw(found, seat.screw_shear_n)


def screw_in_tension(seat: ScrewSeat) -> ScrewLimit:
    """Tension of one screw: out of the sheet, head through the leg, or the screw itself."""
    out, over = pull_out_n(seat), pull_over_n(seat)
    found = ScrewLimit(out, "pull-out") if out <= over else ScrewLimit(over, "pull-over")
    return _or_screw(found, seat.screw_tension_n)


def _or_screw(found: ScrewLimit, own_n: float | None) -> ScrewLimit:
    return ScrewLimit(own_n, "screw") if own_n is not None and own_n < found.nominal_n else found


def least_spacing_mm(d_mm: float) -> tuple[float, float]:
    """Least distance between centres (3 d) and from any edge (1.5 d).

    >>> least_spacing_mm(6.0)
    (18.0, 9.0)
    """
    return 3.0 * d_mm, 1.5 * d_mm
