"""The longest span that holds in a zone: the rail's bending and deflection, the bracket's reaction.

A rail of three or more equal spans under one load serves for the limit: the worst of such rails for moment, reaction
and deflection. Rails of one or two spans, and the ends of rails, carry more in places; they are found when every line
is checked as set out, and their spans are shortened there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from estimator.attachment.beam.frame import Floats
from estimator.attachment.geometry.limit_steps import TOLERANCE_MM
from estimator.attachment.under_load.lines.check import PA_MM
from estimator.attachment.under_load.records import RoofStrength, ZoneSpan
from estimator.loads import Pressures, effective_area_m2, zone_pressures
from estimator.sentences import Sentence, say

STEP_MM = 1.0
UPLIFT, DOWNWARD = say("uplift at the bracket"), say("downward load on the bracket")
BENDING, DEFLECTION = say("bending of the rail"), say("deflection of the rail")


@dataclass(frozen=True, slots=True)
class SpanCaps:
    """Limits that stand beside the loads', mm, with their sources; ``given`` ones are used whatever the loads say."""

    span_mm: float
    span_source: Sentence
    span_given: bool
    cantilever_mm: float
    cantilever_source: Sentence
    cantilever_given: bool


WORST_OF_EQUAL_SPANS = (3 / 28, 8 / 7, 0.006884213280209539)
"""Worst moment / w L2, reaction / w L and deflection / (w L4 / EI) of rails of three to twelve equal spans.

Source: handbooks of continuous beams have 3/28, 8/7 and 0.00688; the last digits are the beam's of this stage.
"""


def zone_span(
    roof: int,
    zone: str,
    tributary_mm: float,
    pitch_mm: float | None,
    pressures: Pressures,
    strength: RoofStrength,
    caps: SpanCaps,
) -> ZoneSpan:
    """The longest span in one zone for which it and every shorter one holds.

    Args:
        roof: number of the roof.
        zone: name of the zone.
        tributary_mm: width of module surface the line carries.
        pitch_mm: the ribs', for rails across them; None where attachments may stand anywhere along a rib.
        pressures: the roof's.
        strength: the roof's rail and bracket.
        caps: what the book or the job allows beside the loads.

    """
    free, governs = _longest(_grid(caps.span_mm), zone, tributary_mm, pressures, strength, caps)
    span, ribs = free, None
    if pitch_mm is not None:
        most = int((caps.span_mm + TOLERANCE_MM) / pitch_mm)
        multiples = np.arange(1, most + 1, dtype=np.float64) * float(pitch_mm)
        span, why = _longest(multiples, zone, tributary_mm, pressures, strength, caps)
        ribs, governs = round(span / pitch_mm), why if span else governs
    if caps.span_given:
        span, free, governs = caps.span_mm, caps.span_mm, caps.span_source
    return _described(roof, zone, tributary_mm, (span, ribs, free, governs), pressures, strength, caps)


def _grid(cap_mm: float) -> Floats:
    return np.append(np.arange(STEP_MM, cap_mm, STEP_MM), cap_mm)


def _longest(
    spans: Floats, zone: str, tributary_mm: float, pressures: Pressures, strength: RoofStrength, caps: SpanCaps
) -> tuple[float, Sentence]:
    """The last of ascending spans before the first that fails, and what fails there; 0 where the first one does."""
    if not len(spans):
        return 0.0, caps.span_source
    used = span_utilisations(spans, zone, tributary_mm, pressures, strength)
    worst = np.max(list(used.values()), axis=0)
    failing = np.flatnonzero(worst > 1.0)
    if not len(failing):
        return float(spans[-1]), caps.span_source
    first = int(failing[0])
    governs = max(used, key=lambda name: float(used[name][first]))
    return (float(spans[first - 1]) if first else 0.0), governs


def span_utilisations(
    spans_mm: Floats, zone: str, tributary_mm: float, pressures: Pressures, strength: RoofStrength
) -> dict[Sentence, Floats]:
    """Share used of each limit at each span, by the limit's name."""
    moment, reaction, deflection = WORST_OF_EQUAL_SPANS
    found = zone_pressures(pressures, zone, effective_area_m2(pressures, spans_mm, tributary_mm))
    w, along, service, sideways = (
        values * (tributary_mm * PA_MM)
        for values in (
            found.normal_pa, found.along_pa_by_combination, found.service_normal_pa, found.service_along_pa,
        )
    )  # fmt: skip
    held = strength.capacity.utilisation(reaction * w * spans_mm, reaction * along * spans_mm)
    pulled = np.where(w < 0, held, 0.0).max(axis=0)
    pressed = np.where(w < 0, 0.0, held).max(axis=0)
    used: dict[Sentence, Floats] = {UPLIFT: pulled, DOWNWARD: pressed}
    bending = np.abs(w) / strength.moment_n_mm + np.abs(along) / strength.weak_moment_n_mm
    used[BENDING] = bending.max(axis=0) * moment * spans_mm**2
    curved = np.hypot(service / strength.stiffness_n_mm2, sideways / strength.weak_stiffness_n_mm2)
    bent = curved.max(axis=0) * deflection * spans_mm**3
    used[DEFLECTION] = bent * strength.deflection_ratio
    return used


def _described(
    roof: int,
    zone: str,
    tributary_mm: float,
    span: tuple[float, int | None, float, Sentence],
    pressures: Pressures,
    strength: RoofStrength,
    caps: SpanCaps,
) -> ZoneSpan:
    span_mm, ribs, free_mm, governs = span
    area = effective_area_m2(pressures, [span_mm or max(free_mm, STEP_MM)], tributary_mm)
    found = zone_pressures(pressures, zone, area)
    bending = np.abs(found.normal_pa) / strength.moment_n_mm
    bending = bending + np.abs(found.along_pa_by_combination) / strength.weak_moment_n_mm
    stiff, weak = strength.stiffness_n_mm2, strength.weak_stiffness_n_mm2
    curved = np.hypot(found.service_normal_pa / stiff, found.service_along_pa / weak)
    width = tributary_mm * PA_MM
    cantilever, why = _cantilever(float(bending.max()) * width, float(curved.max()) * width, strength, caps)
    return ZoneSpan(
        roof=roof,
        zone=zone,
        tributary_mm=tributary_mm,
        span_mm=span_mm,
        ribs=ribs,
        free_mm=free_mm,
        governs=governs,
        cantilever_mm=cantilever,
        cantilever_governs=why,
        area_m2=float(area[0]),
        uplift_pa=float(found.uplift_pa[0]),
        downward_pa=float(found.downward_pa[0]),
        along_pa=float(found.along_pa[0]),
        uplift_combination=pressures.combinations[found.governing_uplift[0]].case,
        downward_combination=pressures.combinations[found.governing_downward[0]].case,
    )


def _cantilever(
    w_over_moment: float, w_over_stiffness: float, strength: RoofStrength, caps: SpanCaps
) -> tuple[float, Sentence]:
    """The longest cantilever: w c2 / 2 within the rail's moment, w c4 / 8 EI within 2 c over the deflection ratio.

    Loads come over the limiting moment and over the stiffness, both axes put together. Source: mechanics, held fast at
    the attachment; twice its length counts as its span [from memory].
    """
    found: Sequence[tuple[float, Sentence]] = [(caps.cantilever_mm, caps.cantilever_source)]
    if not caps.cantilever_given:
        bending = float(np.sqrt(2 / w_over_moment)) if w_over_moment else float("inf")
        soft = w_over_stiffness * strength.deflection_ratio
        bent = float(np.cbrt(16 / soft)) if soft else float("inf")
        found = [*found, (bending, BENDING), (bent, DEFLECTION)]
    return min(found)
