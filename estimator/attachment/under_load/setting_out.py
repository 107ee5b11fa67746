"""Set a job out under load: spans by zone, attachments placed by them, every one checked with its real reaction."""

from __future__ import annotations

from collections.abc import Hashable, MutableMapping, Sequence
from dataclasses import replace
from typing import Any

from estimator.attachment.capacity.attachment import find_capacity
from estimator.attachment.capacity.use import Use
from estimator.attachment.geometry.setting_out import set_out
from estimator.attachment.records import Limits, SettingOut
from estimator.attachment.under_load.checks.attachments import overload_findings, zone_span_findings, zone_uses
from estimator.attachment.under_load.checks.clamps import clamp_findings, clamp_format_findings
from estimator.attachment.under_load.checks.weak_axis import weak_axis_findings
from estimator.attachment.under_load.edges.seats import hold_edges
from estimator.attachment.under_load.lines.known import KnownChecks
from estimator.attachment.under_load.lines.zones import ZoneLines
from estimator.attachment.under_load.placing.limits import LimitsUnderLoad
from estimator.attachment.under_load.placing.runs import place_under_load
from estimator.attachment.under_load.records import LineCheck, LoadedSettingOut, RoofStrength
from estimator.errors import Finding
from estimator.job import Job
from estimator.layout import Layout
from estimator.layout.work import Work
from estimator.loads import Pressures
from estimator.mounting.records import MountingChoice
from estimator.places import Place


def set_out_under_load(
    job: Job,
    layout: Layout,
    choice: MountingChoice,
    limits: Limits,
    pressures: Sequence[Pressures],
    work: Work | None = None,
    laid: MutableMapping[Hashable, Any] | None = None,
) -> LoadedSettingOut:
    """Every attachment placed so that rail and bracket hold, and checked as it stands.

    Args:
        job: the job as laid out.
        layout: where its modules and ribs lie.
        choice: the mounting, every choice settled.
        limits: what the book or the job allows beside the loads; spans and cantilevers given in the job are used as
            given, and only checked.
        pressures: the loads of every roof, in the job's order.
        work: what this and other setting-outs of the same calculation may take; on its own where nothing is told.
        laid: what mountings of one geometry have in common, for the same job and layout.

    Spans that hold as a rail of equal spans but not where they stand are shortened there and the run is placed again,
    until everything holds or the ribs leave nothing shorter; what then still exceeds 1 is an error finding. A sheet for
    which the bracket has no strength is an error finding, and its attachments carry no utilisation. Without loads the
    limits alone are used.
    Source: common practice, no source.

    """
    if not all(each.computed for each in pressures):
        return LoadedSettingOut(set_out(job, layout, choice, limits, known=laid))
    strengths = tuple(
        RoofStrength.of(
            choice, find_capacity(choice.bracket, roof.sheet, each.method, Place(roof=roof.name), use_of(choice))
        )
        for roof, each in zip(job.roofs, pressures, strict=True)
    )
    usable = tuple(strength.usable for strength in strengths)
    known = KnownChecks(tuple(pressures), usable, work=work or Work())
    if not choice.held.has_rail:
        return hold_edges(job, layout, choice, limits, known, strengths)
    zones = tuple(ZoneLines(each) for each in pressures)
    under_load = LimitsUnderLoad(job, choice, limits, tuple(pressures), usable, zones)
    under_load.laid = {} if laid is None else laid
    placed, places = place_under_load(layout, under_load, known)
    checks, places = known.kept(places)
    return _gathered(layout, under_load, strengths, placed, places, checks)


def use_of(choice: MountingChoice) -> Use:
    """How a mounting uses its bracket."""
    along = choice.rail_direction if choice.held.has_rail else None
    return Use(choice.arrangement, along, choice.load_height_mm)


def _gathered(
    layout: Layout,
    under_load: LimitsUnderLoad,
    strengths: tuple[RoofStrength, ...],
    placed: SettingOut,
    places: tuple[int, ...],
    checks: tuple[LineCheck, ...],
) -> LoadedSettingOut:
    job, choice = under_load.job, under_load.choice
    strong = [strength.complete for strength in strengths]
    shares = [tuple(a.utilisation for a in check.attachments) for check in checks]
    zones = [tuple(a.zone for a in check.attachments) for check in checks]
    runs = tuple(
        replace(run, utilisations=shares[place] if strong[run.roof] else (), zones=zones[place]) if place >= 0 else run
        for run, place in zip(placed.runs, places, strict=True)
    )
    spans = tuple(under_load.spans.values())
    findings: list[Finding] = [finding for strength in strengths for finding in strength.capacity.findings]
    findings += zone_span_findings(job, spans)
    findings += overload_findings(job, strengths, runs, checks, places)
    findings += weak_axis_findings(job, choice, under_load.pressures)
    findings += clamp_format_findings(choice, (each.method for each in under_load.pressures))
    findings += clamp_findings(job, choice, layout, under_load.pressures, spans, runs)
    used = [(run.roof, run.place, place, shares[place]) for run, place in zip(runs, places, strict=True) if place >= 0]
    return LoadedSettingOut(
        setting_out=replace(placed, runs=runs, findings=(*placed.findings, *findings)),
        pressures=under_load.pressures,
        strengths=strengths,
        spans=spans,
        zones=zone_uses(used, checks, strong),
        checks=checks,
        check_of=places,
    )
