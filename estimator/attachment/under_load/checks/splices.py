"""Rigid splices under load: moment and shear of the rail where it is joined, against what the splice was tested for.

Between supports moment and shear follow from the reactions by equilibrium. A splice carries both at once, by the same
parts, so their shares are added: |M| / M_limit + |V| / V_limit, in each combination. Where the pricebook has no tested
strengths the rail is assumed to run through, and a note says so. Source: statics; that shares are added is common
practice, no source. Bending about the weak axis at a splice is not counted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from estimator.attachment.beam.frame import Beam, Floats
from estimator.attachment.beam.solve import solve_beams
from estimator.attachment.capacity.partial_factors import of_part
from estimator.attachment.capacity.rail import Method
from estimator.attachment.capacity.safety_format import Rated, Tested, rated
from estimator.attachment.records import Run
from estimator.attachment.under_load.checks.attachments import share_words
from estimator.attachment.under_load.lines.check import line_loads, stretches_of, tributary_lengths
from estimator.attachment.under_load.records import HOLDS, Line, RoofStrength
from estimator.errors import Finding
from estimator.job import Job, Material
from estimator.loads import Pressures
from estimator.mounting.records import MountingChoice
from estimator.places import NOWHERE, Place
from estimator.pricebook import Splice
from estimator.sentences import figure, say
from estimator.units import as_text

RigidJoint = tuple[int, float]
"""The number of a run, and where two of its pieces meet, mm from its start."""


@dataclass(frozen=True, slots=True)
class SpliceCheck:
    """The rigid splices of one roof: how many, what they may take, and the one that uses most of it.

    Limits and the share used are None where the splice was not tested: the rail is then assumed to run through.
    """

    roof: int
    part: str
    count: int
    place: Place
    at_mm: float
    moment_n_mm: float
    shear_n: float
    moment_limit_n_mm: float | None = None
    shear_limit_n: float | None = None
    utilisation: float | None = None


@dataclass(frozen=True, slots=True)
class SplicedRails:
    """What splices are checked on: runs, the line each stands on (None: not checked), loads and strengths by roof."""

    runs: tuple[Run, ...]
    lines: tuple[Line | None, ...]
    pressures: tuple[Pressures, ...]
    strengths: tuple[RoofStrength, ...]


@dataclass(frozen=True, slots=True)
class SpliceStrength:
    """What a splice may take by one method, and how that came about."""

    moment: Rated
    shear: Rated

    def used(self, moment_n_mm: Floats, shear_n: Floats) -> Floats:
        """The share used by moment and shear together."""
        found: Floats = np.abs(moment_n_mm) / self.moment.value + np.abs(shear_n) / self.shear.value
        return found


def splice_strength(splice: Splice, method: Method, material: Material) -> SpliceStrength | None:
    """The strength of a rigid splice; None where it was not tested, or the book gives no factor."""
    if splice.moment_n_mm is None or splice.shear_n is None:
        return None
    factors = (splice.safety_factor, splice.resistance_factor)
    tests = (
        Tested(splice.moment_n_mm, (), splice.moment_characteristic_n_mm, *factors),
        Tested(splice.shear_n, (), splice.shear_characteristic_n, *factors),
    )
    moment, shear = (rated(test, method, of_part(material)) for test in tests)
    return SpliceStrength(moment, shear) if moment is not None and shear is not None else None


def moment_and_shear(beam: Beam, reactions_n: Floats, at_mm: float) -> tuple[Floats, Floats]:
    """Moment and shear of a beam at one place, by case: from the reactions and loads left of it. Source: statics.

    >>> beam = Beam(1000.0, (0.0, 1000.0), ((2.0,),))
    >>> [each.tolist() for each in moment_and_shear(beam, np.array([[1000.0], [1000.0]]), 250.0)]
    [[187500.0], [500.0]]
    """
    edges = np.array([0.0, *beam.borders_mm, beam.length_mm])
    starts, ends = edges[:-1], np.minimum(edges[1:], at_mm)
    lengths = np.maximum(ends - starts, 0.0)
    arms = at_mm - (starts + ends) / 2
    loads = np.asarray(beam.loads_n_per_mm, dtype=np.float64)
    supports = np.asarray(beam.supports_mm)
    left = supports < at_mm
    held = reactions_n[left]
    shear = held.sum(axis=0) - lengths @ loads
    moment = (at_mm - supports[left]) @ held - (lengths * arms) @ loads
    return moment, shear


def check_splices(
    job: Job, choice: MountingChoice, splice: Splice | None, rails: SplicedRails, joints: Sequence[RigidJoint]
) -> tuple[tuple[SpliceCheck, ...], tuple[Finding, ...]]:
    """The worst splice of every roof, and what is to be said of it.

    Args:
        job: for its units and the names of its roofs.
        choice: the mounting; without a rail there is nothing to check.
        splice: the rail's rigid splice, None where the pricebook has none.
        rails: what the splices stand on.
        joints: where pieces meet.

    """
    if choice.rail is None or splice is None or not joints or not rails.pressures:
        return (), ()
    checks: list[SpliceCheck] = []
    findings: list[Finding] = []
    for roof in range(len(job.roofs)):
        here = [joint for joint in joints if rails.runs[joint[0]].roof == roof]
        if not here:
            continue
        strength = splice_strength(splice, rails.pressures[roof].method, choice.rail.material)
        worst = _worst(splice, strength, rails, roof, here)
        checks.append(worst)
        findings += _findings(job, splice, strength, worst)
    return tuple(checks), tuple(findings)


def _worst(
    splice: Splice, strength: SpliceStrength | None, rails: SplicedRails, roof: int, joints: Sequence[RigidJoint]
) -> SpliceCheck:
    """The splice that uses most; without strengths the one that is bent most."""
    found = SpliceCheck(roof, splice.part, len(joints), NOWHERE, 0.0, 0.0, 0.0)
    most = -1.0
    for number, at, moment, shear in _actions(rails, roof, joints):
        used = strength.used(moment, shear) if strength else np.abs(moment)
        case = int(used.argmax())
        if float(used[case]) > most:
            most = float(used[case])
            bent, sheared = float(moment[case]), float(shear[case])
            place = rails.runs[number].place
            found = replace(found, place=place, at_mm=at, moment_n_mm=bent, shear_n=sheared)
    if strength is None:
        return found
    limits = (strength.moment.value, strength.shear.value)
    return replace(found, moment_limit_n_mm=limits[0], shear_limit_n=limits[1], utilisation=max(most, 0.0))


def _distinct(rails: SplicedRails, joints: Sequence[RigidJoint]) -> dict[Line, dict[float, int]]:
    """Every line once with the places of its splices, each with the first run it stands for."""
    found: dict[Line, dict[float, int]] = {}
    for number, at in joints:
        line = rails.lines[number]
        if line is not None:
            found.setdefault(line, {}).setdefault(round(at, 3), number)
    return found


def _actions(
    rails: SplicedRails, roof: int, joints: Sequence[RigidJoint]
) -> Iterator[tuple[int, float, Floats, Floats]]:
    """Run, place, moment and shear in every combination of strength, of each distinct splice.

    A line that modules lift off from as well as press on is loaded both ways; signs do not matter here.
    """
    places = _distinct(rails, joints)
    turned = {replace(line, tributary_mm=line.reversed_mm): at for line, at in places.items() if line.reversed_mm > 0}
    every = [*places.items(), *turned.items()]
    if not every:
        return
    pressures, strength = rails.pressures[roof], rails.strengths[roof]
    lines = [line for line, _ in every]
    loads, _ = line_loads(lines, [tributary_lengths(line) for line in lines], pressures, strength)
    cases = len(pressures.combinations)
    beams = [
        Beam(
            line.length_mm,
            line.attachments_mm,
            tuple(map(tuple, load[:, :cases])),
            tuple(stretch.end_mm for stretch in stretches_of(line)[:-1]),
            strength.stiffness_n_mm2,
        )
        for line, load in zip(lines, loads, strict=True)
    ]
    solved = solve_beams(beams)
    for number, (beam, (_, at_places)) in enumerate(zip(beams, every, strict=True)):
        reactions = solved.reactions_n[solved.supports_of(number)]
        for at, run in at_places.items():
            yield (run, at, *moment_and_shear(beam, reactions, at))


def _findings(job: Job, splice: Splice, strength: SpliceStrength | None, worst: SpliceCheck) -> Iterator[Finding]:
    roof = Place(roof=job.roofs[worst.roof].name, part=splice.part)
    if strength is None:
        text = say(
            "{where}: {count} splices are assumed to let the rail run through; the pricebook has no tested moment and "
            "shear strength of the splice (moment, shear in splices.csv)",
            where=roof,
            count=worst.count,
        )
        yield Finding("splice_continuity_assumed", "note", text, roof, say("not given"))
        return
    if strength.moment.by_other_format or strength.shear.by_other_format:
        text = say(
            "{where}: the pricebook gives no characteristic values of the splice, which EN 1990 Annex D asks for; the "
            "pricebook's factor on the mean is used instead",
            where=roof,
        )
        yield Finding("no_characteristic_strength", "error", text, roof, say("not given"))
    if worst.utilisation is not None and worst.utilisation > HOLDS:
        yield _overloaded(job, splice, worst)


def _overloaded(job: Job, splice: Splice, worst: SpliceCheck) -> Finding:
    place = replace(worst.place, part=splice.part)
    units = job.display_units
    at = as_text(worst.at_mm, "length", units)
    shear, limit = (as_text(each, "force", units) for each in (abs(worst.shear_n), worst.shear_limit_n or 0.0))
    text = say(
        "{where}: the splice at {at} uses {share} of its strength: moment {moment} ({most} allowed) with shear {shear} "
        "({limit} allowed); another place of the joint, shorter spans or a stronger splice would help",
        where=place,
        at=at,
        share=share_words(worst.utilisation or 0.0),
        moment=figure(abs(worst.moment_n_mm) / 1000, ".1f", " N m"),
        most=figure((worst.moment_limit_n_mm or 0.0) / 1000, ".1f", " N m"),
        shear=shear,
        limit=limit,
    )
    return Finding("splice_overloaded", "error", text, place, worst.utilisation, 1.0)
