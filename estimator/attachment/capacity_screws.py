"""Strength of a bracket from its screws, where the book gives screws and no test serves.

Steel sheet only: a foam-core panel and aluminium sheet need tested values of their own. Uplift pulls the screws,
forces in the plane shear them; downward the bracket bears on the rib, which the screws do not limit.
"""

from __future__ import annotations

from estimator.attachment import screws_en
from estimator.attachment.capacity_rail import Method
from estimator.attachment.screws_aisi import (
    OMEGA,
    PHI,
    ScrewSeat,
    screw_in_shear,
    screw_in_tension,
    sheet_strength,
)
from estimator.attachment.strength import SPOKEN, Direction, Strength
from estimator.errors import Finding
from estimator.job import Sheet
from estimator.pricebook import Bracket, ScrewJoint

ON_THE_ACTION = 1.5
"""Partial factor of the action: a design resistance over it is compared with unfactored loads [EN 1990]."""

Answer = tuple[Strength | None, tuple[Finding, ...]]


def strength_by_screws(bracket: Bracket, sheet: Sheet, method: Method, direction: Direction, where: str = "") -> Answer:
    """The strength of all screws of a bracket together in one direction, or None and the reason."""
    joint = bracket.screws
    assert joint is not None
    if direction == "downward":
        return None, (_bears(bracket, where),)
    if sheet.material != "steel":
        return None, (_refusal(bracket, direction, "only in steel sheet are screws computed", sheet.material, where),)
    if sheet.ultimate_strength_mpa is None:
        text = "the sheet's ultimate strength has to be given to compute screws"
        return None, (_refusal(bracket, direction, text, "not given", where),)
    if joint.rule == "aisi-s100":
        return _by_aisi(joint, sheet.thickness_mm, sheet.ultimate_strength_mpa, method, direction), ()
    return _by_en(bracket, joint, sheet, method, direction, where)


def _by_aisi(joint: ScrewJoint, t2_mm: float, F_u2_mpa: float, method: Method, direction: Direction) -> Strength:
    seat = ScrewSeat(
        d_mm=joint.diameter_mm,
        head_mm=joint.head_diameter_mm,
        t1_mm=joint.thickness_mm,
        F_u1_mpa=joint.ultimate_strength_mpa,
        t2_mm=t2_mm,
        F_u2_mpa=sheet_strength(F_u2_mpa),
        screw_shear_n=joint.screw_shear_n,
        screw_tension_n=joint.screw_tension_n,
    )
    limit = screw_in_tension(seat) if direction == "uplift" else screw_in_shear(seat)
    nominal = joint.count * limit.nominal_n
    asd = method == "asd"
    value, factor = (nominal / OMEGA, OMEGA) if asd else (PHI * nominal, PHI)
    text = f"{joint.count} screws x {limit.nominal_n:.1f} N ({limit.state}) {'/' if asd else 'x'} {factor:g}"
    return Strength(direction, value, nominal, factor, asd, "screws", text, "AISI S100 E4 (2012), J4 (2016)")


def _by_en(
    bracket: Bracket, joint: ScrewJoint, sheet: Sheet, method: Method, direction: Direction, where: str
) -> Answer:
    d, t1, t2 = joint.diameter_mm, joint.thickness_mm, sheet.thickness_mm
    f_u = sheet.ultimate_strength_mpa or 0.0
    outside = screws_en.outside_range(d, min(t1, 1.5), t2)  # a thicker leg under the head is on the safe side
    if outside:
        text = f"outside the range of EN 1993-1-3 Table 8.2 ({'; '.join(outside)}): tests are needed"
        return None, (_refusal(bracket, direction, text, t2, where),)
    if direction == "uplift":
        through = screws_en.pull_through_n(joint.head_diameter_mm, min(t1, 1.5), joint.ultimate_strength_mpa)
        states = {"pull-through": through, "pull-out": screws_en.pull_out_n(d, t2, f_u), "screw": joint.screw_tension_n}
    else:
        thin, thick, strength = (t2, t1, f_u) if t2 <= t1 else (t1, t2, joint.ultimate_strength_mpa)
        states = {"bearing": screws_en.bearing_n(d, thin, thick, strength), "screw": joint.screw_shear_n}
    if states["screw"] is not None:
        states["screw"] /= screws_en.GAMMA_M2
    each, state = min((value, name) for name, value in states.items() if value is not None)
    design = joint.count * each
    factor = ON_THE_ACTION if method == "asd" else 1.0
    text = f"{joint.count} screws x {each:.1f} N ({state}, gamma_M2 {screws_en.GAMMA_M2:g}) / {factor:g}"
    found = Strength(direction, design / factor, design, factor, True, "screws", text, "EN 1993-1-3 8.3, Table 8.2")
    return found, ()


def _bears(bracket: Bracket, where: str) -> Finding:
    at = f"{where}: " if where else ""
    text = f"{at}bracket {bracket.part} has no tested strength for downward load; it bears on the rib, not checked"
    return Finding("bearing_not_checked", "warning", text, where)


def _refusal(bracket: Bracket, direction: Direction, why: str, found: str | float, where: str) -> Finding:
    at = f"{where}: " if where else ""
    text = f"{at}bracket {bracket.part} has no strength for {SPOKEN[direction]}: {why}"
    return Finding(f"no_strength_{direction}", "error", text, where, found)
