"""Strength of a bracket from its screws, where the book gives screws and no test applies.

Steel sheet only: a foam-core panel and aluminium sheet need tested values of their own. Uplift pulls the screws,
forces in the plane shear them; downward the bracket bears on the rib, which the screws do not limit.
"""

from __future__ import annotations

from estimator.attachment.capacity import screws_en
from estimator.attachment.capacity.rail import Method
from estimator.attachment.capacity.screws_aisi import (
    OMEGA,
    PHI,
    ScrewSeat,
    screw_in_shear,
    screw_in_tension,
    sheet_strength,
)
from estimator.attachment.capacity.strength import SPOKEN, Direction, Strength
from estimator.errors import Finding
from estimator.job import Sheet
from estimator.loads.actions.clauses import Clause
from estimator.places import NOWHERE, Place
from estimator.pricebook import Bracket, ScrewJoint
from estimator.sentences import Sentence, figure, joined, placed, say

ON_THE_ACTION = 1.5
"""Partial factor of the action: a design resistance over it is compared with unfactored loads [EN 1990]."""

SCREW = say("screw")
_STATES = {
    "bearing and tilting": say("bearing and tilting"),
    "pull-out": say("pull-out"),
    "pull-over": say("pull-over"),
    "screw": SCREW,
}
Answer = tuple[Strength | None, tuple[Finding, ...]]


def strength_by_screws(
    bracket: Bracket, sheet: Sheet, method: Method, direction: Direction, place: Place = NOWHERE
) -> Answer:
    """The strength of all screws of a bracket together in one direction, or None and the reason."""
    joint = bracket.screws
    assert joint is not None
    if direction == "downward":
        return None, (_bears(bracket, place),)
    if sheet.material != "steel":
        return None, (
            _refusal(bracket, direction, say("screws are computed in steel sheet only"), sheet.material, place),
        )
    if sheet.ultimate_strength_mpa is None:
        text = say("the sheet's ultimate strength has to be given to compute screws")
        return None, (_refusal(bracket, direction, text, say("not given"), place),)
    if joint.rule == "aisi-s100" and method != "en":
        return _by_aisi(joint, sheet.thickness_mm, sheet.ultimate_strength_mpa, method, direction), ()
    return _by_en(bracket, joint, sheet, method, direction, place)


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
    text = say(
        "{count} screws x {force} ({state}) {sign} {factor}",
        count=joint.count,
        force=figure(limit.nominal_n, ".1f", " N", "force"),
        state=_STATES[limit.state],
        sign="/" if asd else "x",
        factor=figure(factor, "g"),
    )
    return Strength(direction, value, nominal, factor, asd, "screws", text, "AISI S100 E4 (2012), J4 (2016)")


def _by_en(
    bracket: Bracket, joint: ScrewJoint, sheet: Sheet, method: Method, direction: Direction, place: Place
) -> Answer:
    d, t1, t2 = joint.diameter_mm, joint.thickness_mm, sheet.thickness_mm
    f_u = sheet.ultimate_strength_mpa or 0.0
    outside = screws_en.outside_range(d, min(t1, 1.5), t2)  # a thicker leg under the head is on the safe side
    if outside:
        text = say("outside the range of EN 1993-1-3 Table 8.2 ({what}): tests are needed", what=joined("; ", outside))
        return None, (_refusal(bracket, direction, text, t2, place),)
    if direction == "uplift":
        through = screws_en.pull_through_n(joint.head_diameter_mm, min(t1, 1.5), joint.ultimate_strength_mpa)
        out = screws_en.pull_out_n(d, t2, f_u)
        states = {say("pull-through"): through, say("pull-out"): out, SCREW: joint.screw_tension_n}
    else:
        thin, thick, strength = (t2, t1, f_u) if t2 <= t1 else (t1, t2, joint.ultimate_strength_mpa)
        states = {say("bearing"): screws_en.bearing_n(d, thin, thick, strength), SCREW: joint.screw_shear_n}
    alone = states[SCREW]
    if alone is not None:
        states[SCREW] = alone / screws_en.GAMMA_M2
    each, state = min((value, name) for name, value in states.items() if value is not None)
    design = joint.count * each
    factor = ON_THE_ACTION if method == "asd" else 1.0
    text = say(
        "{count} screws x {force} ({state}, gamma_M2 {gamma}) / {factor}",
        count=joint.count,
        force=figure(each, ".1f", " N", "force"),
        state=state,
        gamma=figure(screws_en.GAMMA_M2, "g"),
        factor=figure(factor, "g"),
    )
    found = Strength(
        direction,
        design / factor,
        design,
        factor,
        True,
        "screws",
        text,
        Clause("EN 1993-1-3", "8.2", "table", within="8.3"),
    )
    return found, ()


def _bears(bracket: Bracket, place: Place) -> Finding:
    text = say(
        "bracket {bracket} has no tested strength for downward load; how it bears on the rib is not checked",
        bracket=bracket.part,
    )
    return Finding("bearing_not_checked", "warning", placed(place, text), place)


def _refusal(bracket: Bracket, direction: Direction, why: Sentence, found: str | float, place: Place) -> Finding:
    text = say(
        "bracket {bracket} has no strength for {load}: {why}", bracket=bracket.part, load=SPOKEN[direction], why=why
    )
    return Finding(f"no_strength_{direction}", "error", placed(place, text), place, found)
