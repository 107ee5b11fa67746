"""A setting-out under load: what each roof may take, what was checked, and the spans that hold in each zone.

Forces N (normal to the roof: negative pulls), moments N mm, lengths mm, pressures Pa, areas m2. A utilisation is found
over allowed; above 1 the check fails.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from estimator.attachment.capacity.attachment import Capacity
from estimator.attachment.capacity.rail import bending_limit
from estimator.attachment.records import SettingOut
from estimator.loads import Pressures
from estimator.loads.actions.clauses import Formula
from estimator.mounting.records import MountingChoice
from estimator.places import Place
from estimator.sentences import Sentence, say

NOTHING = say("")
HOLDS = 1.0 + 1e-9
"""A utilisation up to this holds: 1, and what adding up floats may leave on top of it."""


@dataclass(frozen=True, slots=True)
class RoofStrength:
    """What rail and attachment may take on one roof; without a rail its limits are infinite and its ratio 0.

    ``moment_n_mm`` is the rail's limiting moment, ``stiffness_n_mm2`` its E I, ``deflection_ratio`` the n of span / n;
    the ``weak_`` ones are about the axis square to the roof, infinite where it is not bent or not known.
    """

    capacity: Capacity
    moment_n_mm: float = float("inf")
    stiffness_n_mm2: float = 1.0
    deflection_ratio: float = 0.0
    bending_governs: Sentence = NOTHING
    weak_moment_n_mm: float = float("inf")
    weak_stiffness_n_mm2: float = float("inf")

    @property
    def both_axes(self) -> bool:
        """Whether the rail is checked about its weak axis, too."""
        return self.weak_moment_n_mm != float("inf")

    @property
    def complete(self) -> bool:
        """Whether the bracket has a strength in every direction that has to have one."""
        return all(finding.severity != "error" for finding in self.capacity.findings)

    @property
    def usable(self) -> RoofStrength:
        """For placing: directions without strength left out, the error finding standing for them."""
        return replace(self, capacity=replace(self.capacity, findings=()))

    @staticmethod
    def of(choice: MountingChoice, capacity: Capacity) -> RoofStrength:
        """That of a mounting, for one roof's sheet."""
        rail = choice.rail
        if rail is None:
            return RoofStrength(capacity)
        stress = bending_limit(rail, capacity.method)
        modulus, inertia = rail.weak_section_modulus_mm3, rail.weak_inertia_mm4
        across = choice.rail_direction == "across_ribs"
        weak = across and modulus is not None and inertia is not None
        return RoofStrength(
            capacity,
            rail.section_modulus_mm3 * stress.stress_mpa,
            rail.elastic_modulus_mpa * rail.inertia_mm4,
            rail.deflection_ratio,
            stress.governs,
            (modulus or 0.0) * stress.stress_mpa if weak else float("inf"),
            rail.elastic_modulus_mpa * (inertia or 0.0) if weak else float("inf"),
        )


@dataclass(frozen=True, slots=True)
class Line:
    """One rail, or one module edge held without rail, under the zones it passes through.

    ``tributary_mm`` is the width of module surface it carries, ``reversed_mm`` that whose load has the other sign;
    ``zones`` holds one name more than ``borders_mm``.
    """

    length_mm: float
    attachments_mm: tuple[float, ...]
    tributary_mm: float
    borders_mm: tuple[float, ...]
    zones: tuple[str, ...]
    reversed_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class AttachmentCheck:
    """One attachment with its real reaction: the combination that uses most of its strength, and how much.

    ``uplift_n``, ``downward_n`` and ``along_most_n`` are the largest over all combinations, all counted positive; None
    in quotes made before they were kept.
    """

    utilisation: float
    zone: str
    area_m2: float
    combination: int
    normal_n: float
    along_n: float
    uplift_n: float | None = None
    downward_n: float | None = None
    along_most_n: float | None = None


@dataclass(frozen=True, slots=True)
class FieldCheck:
    """One span or cantilever of the rail: share of its bending and of its deflection limit that is used.

    ``weak_moment_n_mm`` and ``weak_deflection_mm`` are along the slope. Moments are the largest of each axis, the share
    is of both at one place and in one combination.
    """

    bending: float
    deflection: float
    moment_n_mm: float
    deflection_mm: float
    start_mm: float
    end_mm: float
    cantilever: bool
    weak_moment_n_mm: float = 0.0
    weak_deflection_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class LineCheck:
    """Everything checked on one line; fields run left cantilever, spans, right cantilever."""

    line: Line
    attachments: tuple[AttachmentCheck, ...]
    fields: tuple[FieldCheck, ...]

    @property
    def worst(self) -> float:
        """The largest utilisation of any kind."""
        used = [a.utilisation for a in self.attachments]
        return max(used + [max(f.bending, f.deflection) for f in self.fields])


@dataclass(frozen=True, slots=True)
class ZoneSpan:
    """The longest span that holds in one zone of one roof for lines of one tributary width.

    ``span_mm`` is a whole number of rib pitches (``ribs``) across the ribs, 0 where not even one holds; ``free_mm`` is
    the longest span ribs aside. Pressures are design values at the effective area of that span.
    """

    roof: int
    zone: str
    tributary_mm: float
    span_mm: float
    ribs: int | None
    free_mm: float
    governs: Sentence
    cantilever_mm: float
    cantilever_governs: Sentence
    area_m2: float
    uplift_pa: float
    downward_pa: float
    along_pa: float
    uplift_combination: Formula
    downward_combination: Formula


@dataclass(frozen=True, slots=True)
class ZoneUse:
    """The attachments of one zone of one roof: how many, and the worst utilisation with its place.

    ``utilisation`` is None where the bracket has no strength for the sheet.
    """

    roof: int
    zone: str
    attachments: int
    utilisation: float | None
    place: Place


@dataclass(frozen=True, slots=True)
class LoadedSettingOut:
    """A setting-out placed and checked under load.

    ``checks`` are the distinct lines; ``check_of`` gives, for every run (or, without rail, for every held edge in
    ``edges``), its place among them. ``pressures`` and ``strengths`` go by roof. Nothing is checked, and all but the
    setting-out is empty, where the job has no loads.
    """

    setting_out: SettingOut
    pressures: tuple[Pressures, ...] = ()
    strengths: tuple[RoofStrength, ...] = ()
    spans: tuple[ZoneSpan, ...] = ()
    zones: tuple[ZoneUse, ...] = ()
    checks: tuple[LineCheck, ...] = ()
    check_of: tuple[int, ...] = ()
    edges: tuple[tuple[int, int, int, int], ...] = ()
