"""From one attachment's utilisation back to the pressure, its factors, their clauses and its zone, line by line."""

from __future__ import annotations

from math import isclose

from estimator.attachment.capacity.strength import Direction, Strength
from estimator.attachment.under_load.lines.check import tributary_lengths
from estimator.attachment.under_load.records import AttachmentCheck, Line, LineCheck, RoofStrength
from estimator.loads import Pressures, Step, zone_steps
from estimator.loads.actions.citing import JOB, PRICEBOOK, zone_words
from estimator.sentences import say


def attachment_steps(
    pressures: Pressures, strength: RoofStrength, check: LineCheck, attachment: int
) -> tuple[Step, ...]:
    """The whole calculation of one attachment: what the roof shares, its zone at its own area, reaction, strength.

    Args:
        pressures: those of the roof.
        strength: what holds on the roof.
        check: the line the attachment stands on.
        attachment: its number on the line, from 0.

    """
    each, line = check.attachments[attachment], check.line
    length = tributary_lengths(line)[attachment]
    combination = pressures.combinations[each.combination]
    place = Step(
        "x",
        line.attachments_mm[attachment],
        "mm",
        say("place on the rail, zone {zone}", zone=zone_words(each.zone)),
        JOB,
        "computed",
    )
    shares = (
        Step("l", length, "mm", say("half-way to the neighbours"), say("beam as set out"), "computed"),
        Step("b", _width_mm(line, each, length), "mm", say("tributary width of the rail"), JOB, "computed"),
    )
    normal = say("{combination}, normal to the roof", combination=combination.case)
    along = say("{combination}, along the slope", combination=combination.case)
    beam = say("continuous beam")
    reactions = (
        Step("R", each.normal_n, "N", normal, beam, "computed"),
        Step("V", each.along_n, "N", along, beam, "computed"),
    )
    zone = zone_steps(pressures, each.zone, each.area_m2)
    return (*pressures.steps, place, *shares, *zone, *reactions, *_strength_steps(strength, each))


def _width_mm(line: Line, each: AttachmentCheck, length_mm: float) -> float:
    """The width whose load governs: that of the load turned round where modules lift off and that is the worse."""
    turned = line.reversed_mm > 0 and isclose(each.area_m2, length_mm * line.reversed_mm / 1e6, rel_tol=1e-6)
    return line.reversed_mm if turned else line.tributary_mm


def _strength_steps(strength: RoofStrength, each: AttachmentCheck) -> tuple[Step, ...]:
    normal: Direction = "uplift" if each.normal_n < 0 else "downward"
    named: tuple[tuple[str, Strength | None], ...] = (
        ("Ra", strength.capacity.strength(normal)),
        ("Va", strength.capacity.strength("along_slope")),
    )
    lines = [
        Step(symbol, found.strength_n, "N", found.derivation, found.source or PRICEBOOK, "given")
        for symbol, found in named
        if found is not None
    ]
    shear, tilted = _tilting_steps(strength, each, named[1][1])
    lines += tilted
    e = strength.capacity.interaction_exponent
    rule: str = f"|R| / Ra + {shear}" if e == 1 else f"((|R| / Ra)^{e:g} + ({shear})^{e:g})^(1/{e:g})"
    if len(lines) < len(named):
        rule = say("no strength in the pricebook")
        if lines:
            rule = say("{rule}; no strength along the slope in the pricebook", rule="|R| / Ra")
    clause = say("pricebook's interaction rule")
    return (*lines, Step(say("utilisation"), each.utilisation, "", rule, clause, "computed"))


def _tilting_steps(
    strength: RoofStrength, each: AttachmentCheck, along: Strength | None
) -> tuple[str, tuple[Step, ...]]:
    """How the force along the slope counts, and the moment it is on the bracket where that is known."""
    height = strength.capacity.load_height_mm
    if along is None or along.moment_n_mm is None or not height:
        return "|V| / Va", ()
    clause = say("force along the slope times its height above the rib")
    allowed = say("tested force along the slope over its factor, times the height it was tested at")
    steps = (
        Step("h", height, "mm", say("height of the load above the rib"), PRICEBOOK, "given"),
        Step("M", abs(each.along_n) * height, "N mm", "|V| h", clause, "computed"),
        Step("Ma", along.moment_n_mm, "N mm", allowed, along.source or PRICEBOOK, "given"),
    )
    return ("|M| / Ma" if along.at_height_n(height) < along.strength_n else "|V| / Va"), steps
