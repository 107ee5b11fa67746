"""The reactions of every attachment gathered: by zone, in all, by purlin line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate, pairwise

from estimator.attachment.load_report import LoadReport, RoofLoads
from estimator.attachment.reactions.purlins import purlin_lines
from estimator.attachment.reactions.records import (
    AttachmentForces,
    ForceSums,
    Reactions,
    RoofReactions,
    ZoneReactions,
)
from estimator.attachment.records import Run, Seat, SettingOut
from estimator.attachment.under_load.lines.check import tributary_lengths
from estimator.attachment.under_load.records import AttachmentCheck, LineCheck
from estimator.job import Job
from estimator.loads.actions.coverage import coverage
from estimator.sentences import Sentence, say

Stretch = tuple[float, float]
"""From where to where along the eave, mm."""

NOT_COMPUTED = say("No loads were computed: the job gives its spans, and the person who gave them knows the forces.")
NOT_KEPT = say("This quote was made before forces were kept by direction: a revision of it has them.")
THREE_RAILS = say(
    "Three rails under a module: the middle one is counted with a third of the load at least, beside what statics "
    "gives the outer ones, so the sums are more than the loads."
)
LEVELS: dict[str, Sentence] = {
    "asd": say("Forces at allowable level (ASCE 7, 2.4.1): wind and snow as the combinations of allowable stress design"
               " reduce them"),
    "lrfd": say("Forces at strength level (ASCE 7, 2.3.1): load factors are in them"),
    "en": say("Design values of the forces (EN 1990, 6.10): partial factors are in them"),
    "given": say("Forces at the level of the pressures that an engineer gave; nothing is added or factored"),
}  # fmt: skip


def find_reactions(job: Job, report: LoadReport, setting_out: SettingOut) -> Reactions:
    """What the attachments put on every roof.

    Every force is the largest of its kind over all combinations, of the beam as set out. An attachment that could not
    be checked (a rail with a single one) is not among them: such a rail is an error of its own.
    """
    covered = coverage(job.site.loads.standard)
    if not report.computed or not report.checks:
        return Reactions((), covered, NOT_COMPUTED)
    if any(each.uplift_n is None for check in report.checks for each in check.attachments):
        return Reactions((), covered, NOT_KEPT)
    by_roof: dict[int, list[AttachmentForces]] = {roof.roof: [] for roof in report.roofs}
    for roof, forces in _attachments(job, report, setting_out):
        by_roof[roof].append(forces)
    roofs = tuple(_of_roof(job, roof, by_roof[roof.roof]) for roof in report.roofs if by_roof[roof.roof])
    third = any(run.position == 2 for run in setting_out.runs)
    return Reactions(roofs, covered, notes=(THREE_RAILS,) if third else ())


def _attachments(job: Job, report: LoadReport, setting_out: SettingOut) -> Iterator[tuple[int, AttachmentForces]]:
    if report.edges:
        seats: dict[tuple[int, int, int, int], list[Seat]] = {}
        for seat in setting_out.seats:
            seats.setdefault((seat.roof, seat.array, seat.seam, seat.column), []).append(seat)
        for edge, place in zip(report.edges, report.check_of, strict=True):
            if place >= 0:
                yield from ((edge[0], each) for each in _of_edge(report.checks[place], seats[edge]))
        return
    for run, place in zip(setting_out.runs, report.check_of, strict=True):
        if place >= 0:
            yield from ((run.roof, each) for each in _of_run(job, report.checks[place], run))


def _of_run(job: Job, check: LineCheck, run: Run) -> Iterator[AttachmentForces]:
    """Along the eave an attachment holds half-way to its neighbours; on a rail up the slope what the rail holds."""
    lengths = tributary_lengths(check.line)
    if run.axis == "x":
        for stretch, each in zip(_stretches(run.start_x, lengths), check.attachments, strict=True):
            yield _forces(each, run.start_y, stretch, (stretch[1] - stretch[0]) * run.tributary_mm / 1e6)
        return
    held = _held_by_rail(job, run)
    for at, length, each in zip(run.attachments_mm, lengths, check.attachments, strict=True):
        yield _forces(each, run.start_y + at, held, length * run.tributary_mm / 1e6)


def _held_by_rail(job: Job, run: Run) -> Stretch:
    """What a rail up the slope holds of its modules: the left rail from their left edge, the other from the right."""
    array, module = job.roofs[run.roof].arrays[run.array], job.module
    width = module.width_mm if array.orientation == "portrait" else module.length_mm
    left = array.left_of(run.line, width)
    if run.position == 0:
        return left, left + run.tributary_mm
    return left + width - run.tributary_mm, left + width


def _of_edge(check: LineCheck, seats: Sequence[Seat]) -> Iterator[AttachmentForces]:
    start = seats[0].x - check.line.attachments_mm[0]
    stretches = _stretches(start, tributary_lengths(check.line))
    for seat, stretch, each in zip(seats, stretches, check.attachments, strict=True):
        yield _forces(each, seat.y, stretch, (stretch[1] - stretch[0]) * check.line.tributary_mm / 1e6)


def _stretches(start: float, lengths: Sequence[float]) -> list[Stretch]:
    ends = [start, *(start + length for length in accumulate(lengths))]
    return list(pairwise(ends))


def _forces(each: AttachmentCheck, y: float, stretch: Stretch, area_m2: float) -> AttachmentForces:
    found = (each.uplift_n or 0.0, each.downward_n or 0.0, each.along_most_n or 0.0)
    return AttachmentForces(each.zone, y, *stretch, area_m2, *found)


def _of_roof(job: Job, roof: RoofLoads, forces: Sequence[AttachmentForces]) -> RoofReactions:
    names = dict.fromkeys([zone.zone for zone in roof.sheet.zones] + [each.zone for each in forces])
    zones = [(name, [each for each in forces if each.zone == name]) for name in names]
    level = LEVELS["given" if roof.sheet.standard == "given" else roof.sheet.method]
    plane = job.roofs[roof.roof]
    return RoofReactions(
        roof=roof.roof,
        name=roof.name,
        level=level,
        zones=tuple(ZoneReactions(name, force_sums(held)) for name, held in zones if held),
        total=force_sums(forces),
        purlins=purlin_lines(plane.purlins, plane.slope_length_mm, forces) if plane.purlins else (),
    )


def force_sums(forces: Iterable[AttachmentForces]) -> ForceSums:
    """Several attachments together."""
    held = list(forces)
    return ForceSums(
        len(held),
        sum(each.area_m2 for each in held),
        max((each.uplift_n for each in held), default=0.0),
        max((each.downward_n for each in held), default=0.0),
        max((each.along_n for each in held), default=0.0),
        sum(each.uplift_n for each in held),
        sum(each.downward_n for each in held),
        sum(each.along_n for each in held),
    )
