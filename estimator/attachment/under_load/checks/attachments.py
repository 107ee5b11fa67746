"""What fails under load, in the estimator's words: one finding for an array, a zone and a cause."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from estimator.attachment.records import Run
from estimator.attachment.under_load.records import (
    HOLDS,
    AttachmentCheck,
    FieldCheck,
    LineCheck,
    RoofStrength,
    ZoneSpan,
    ZoneUse,
)
from estimator.errors import Finding
from estimator.job import Job
from estimator.loads.actions.citing import zone_words
from estimator.places import NOWHERE, Place
from estimator.sentences import Figure, Sentence, figure, joined, say
from estimator.units import as_text

Used = tuple[int, Place, int, tuple[float, ...]]
"""A line's roof, what it is on it, its place among the checks (-1 for none), and the share each attachment uses."""


def zone_uses(lines: Iterable[Used], checks: Sequence[LineCheck], strong: Sequence[bool]) -> tuple[ZoneUse, ...]:
    """Attachments and worst utilisation of every zone; ``strong``: which roofs have a strength to state one of."""
    counts: Counter[tuple[int, tuple[float, ...]]] = Counter()
    first: dict[tuple[int, tuple[float, ...]], tuple[int, Place]] = {}
    for roof, lies, place, shares in lines:
        if place >= 0:
            counts[place, shares] += 1
            first.setdefault((place, shares), (roof, lies))
    found: dict[tuple[int, str], ZoneUse] = {}
    for (place, shares), (roof, lies) in first.items():
        for number, (each, share) in enumerate(zip(checks[place].attachments, shares, strict=True), start=1):
            key = (roof, each.zone)
            seen = found.get(key, ZoneUse(roof, each.zone, 0, None, NOWHERE))
            used, worst = seen.utilisation, seen.place
            if strong[roof] and (used is None or share > used):
                used, worst = share, replace(lies, attachment=number)
            found[key] = ZoneUse(roof, each.zone, seen.attachments + counts[place, shares], used, worst)
    return tuple(found.values())


def zone_span_findings(job: Job, spans: Iterable[ZoneSpan]) -> list[Finding]:
    """Zones in which not even neighbouring ribs are near enough."""
    found = []
    for zone in spans:
        if zone.ribs != 0 or job.mounting.max_span_mm is not None:
            continue
        pitch = job.roofs[zone.roof].ribs.spacing_mm
        where = Place(roof=job.roofs[zone.roof].name, zone=zone.zone)
        at, free = (as_text(length, "length", job.display_units) for length in (pitch, zone.free_mm))
        text = say(
            "{where}: ribs at {pitch}: no span under {pitch} is possible, the loads allow {free} ({what} governs);"
            " choose rails along the ribs, more rails per row or a stronger bracket or rail",
            where=where,
            pitch=at,
            free=free,
            what=zone.governs,
        )
        found.append(Finding("no_span_holds", "error", text, where, round(pitch, 3), round(zone.free_mm, 3), "mm"))
    return found


def overload_findings(
    job: Job,
    strengths: Sequence[RoofStrength],
    runs: Sequence[Run],
    checks: Sequence[LineCheck],
    check_of: Sequence[int],
) -> list[Finding]:
    """Everything used beyond its limit: the worst of an array, a zone and a kind, and how many there are."""
    worst: dict[tuple[int, int, str, str], tuple[float, Run, LineCheck, int]] = {}
    count: dict[tuple[int, int, str, str], int] = {}
    for run, place in zip(runs, check_of, strict=True):
        if place < 0 or checks[place].worst <= HOLDS:
            continue
        for kind, zone, number, used in _beyond(checks[place]):
            key = (run.roof, run.array, zone, kind)
            count[key] = count.get(key, 0) + 1
            if key not in worst or used > worst[key][0]:
                worst[key] = (used, run, checks[place], number)
    return [
        _overload(job, strengths[roof], kind, worst[roof, array, zone, kind], count[roof, array, zone, kind])
        for roof, array, zone, kind in worst
    ]


def _beyond(check: LineCheck) -> Iterable[tuple[str, str, int, float]]:
    """Kind, zone, number and utilisation of everything on a line that fails."""
    for number, each in enumerate(check.attachments):
        if each.utilisation > HOLDS:
            yield "attachment_overloaded", each.zone, number, each.utilisation
    for number, part in enumerate(check.fields):
        if part.bending > HOLDS:
            yield "rail_bending", "", number, part.bending
        if part.deflection > HOLDS:
            yield "rail_deflection", "", number, part.deflection


def _overload(
    job: Job,
    strength: RoofStrength,
    kind: str,
    worst: tuple[float, Run, LineCheck, int],
    count: int,
) -> Finding:
    used, run, check, number = worst
    if kind == "attachment_overloaded":
        what = attachment_words(job, strength, check.attachments[number])
        at = as_text(check.line.attachments_mm[number], "length", job.display_units)
        place = replace(run.place, attachment=number + 1)
        at_it = say("{distance} from the rail's start", distance=at)
        remedy = say("a stronger bracket, more rails per row or closer ribs would help")
    else:
        place = replace(run.place, span=_span_number(check, number))
        at_it, what = field_words(job, strength, check.fields[number], kind)
        remedy = say("a stiffer or stronger rail, or shorter spans, would help")
    others = [say("{count} such places in the array", count=count)] if count > 1 else []
    said = joined("; ", (what, *others, remedy))
    return Finding(
        code=kind,
        severity="error",
        message=joined(": ", (place, at_it, said)),
        place=place,
        found=used,
        allowed=1.0,
    )


def _span_number(check: LineCheck, number: int) -> int:
    """Which span a field is: how many attachments stand before its middle; 0 for the first cantilever."""
    field = check.fields[number]
    middle = (field.start_mm + field.end_mm) / 2
    return sum(at < middle for at in check.line.attachments_mm)


def share_words(used: float) -> Figure:
    """A share as a percentage that never looks like 100 % when it is more.

    >>> share_words(1.3456), share_words(1.00004)
    ('134.6%', '100.0040%')
    """
    return figure(used, ".4%" if 1.0 < used < 1.001 else ".1%", measures="share")


def attachment_words(job: Job, strength: RoofStrength, each: AttachmentCheck) -> Sentence:
    """Used share, forces and strengths of one attachment."""
    way = say("uplift") if each.normal_n < 0 else say("downward")
    known = strength.capacity.strength("uplift" if each.normal_n < 0 else "downward")
    allowed = as_text(known.strength_n, "force", job.display_units) if known else say("none")
    force = as_text(abs(each.normal_n), "force", job.display_units)
    along = as_text(abs(each.along_n), "force", job.display_units)
    return say(
        "zone {zone}, {share} of its strength used: {way} {force} ({allowed} allowed) with {along} along the slope",
        zone=zone_words(each.zone),
        share=share_words(each.utilisation),
        way=way,
        force=force,
        allowed=allowed,
        along=along,
    )


def field_words(job: Job, strength: RoofStrength, part: FieldCheck, kind: str) -> tuple[Sentence, Sentence]:
    """Place and state of one span or cantilever."""
    start, end = (as_text(at, "length", job.display_units) for at in (part.start_mm, part.end_mm))
    stretch = say(
        "cantilever from {start} to {end}" if part.cantilever else "span from {start} to {end}", start=start, end=end
    )
    if kind == "rail_bending":
        share, governs = share_words(part.bending), strength.bending_governs
        text = say("{share} of the rail's bending strength used ({governs})", share=share, governs=governs)
        return stretch, text
    ratio = figure(strength.deflection_ratio, "g")
    allowed = say("2 x length / {ratio}" if part.cantilever else "length / {ratio}", ratio=ratio)
    bent = as_text(abs(part.deflection_mm), "length", job.display_units)
    text = say(
        "the rail bends {bent}, {share} of {allowed}", bent=bent, share=share_words(part.deflection), allowed=allowed
    )
    return stretch, text
