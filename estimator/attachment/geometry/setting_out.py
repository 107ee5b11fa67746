"""Set a job out: every run with its attachments, or every attachment without rail, and what fails."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, MutableMapping
from dataclasses import dataclass, field
from typing import Any

from estimator.attachment.geometry.clamping import into_zone, zone_along_y
from estimator.attachment.geometry.expansion.findings import expansion_gap_findings
from estimator.attachment.geometry.expansion.parts import ExpansionRule
from estimator.attachment.geometry.permissions import clamping_permissions
from estimator.attachment.geometry.run_findings import column_findings, rail_end_findings, unplaced_findings
from estimator.attachment.geometry.runs import (
    KnownParts,
    column_parts,
    rail_heights,
    rails_across,
    rails_along,
    ribs_of_columns,
    row_parts,
)
from estimator.attachment.geometry.seats import EdgeKey, seats_of, wide_seats
from estimator.attachment.geometry.share_findings import share_findings
from estimator.attachment.geometry.spacing.placer import LimitsAlong, Placer, UnplacedRun
from estimator.attachment.records import Limits, Run, Seat, SettingOut
from estimator.errors import Finding
from estimator.job import Job
from estimator.layout import Layout, RoofLayout
from estimator.mounting.records import MountingChoice
from estimator.places import Place
from estimator.sentences import figure, say


@dataclass(slots=True)
class _Gathered:
    """What the roofs set out so far gave."""

    runs: list[Run] = field(default_factory=list)
    seats: list[Seat] = field(default_factory=list)
    unplaced: list[UnplacedRun] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


def set_out(
    job: Job,
    layout: Layout,
    choice: MountingChoice,
    limits: Limits,
    limits_along: LimitsAlong | None = None,
    seats_wanted: Mapping[EdgeKey, int] | None = None,
    known: MutableMapping[Hashable, Any] | None = None,
) -> SettingOut:
    """Every rail run with its attachments, or every seat where there is no rail.

    Args:
        job: the job as laid out.
        layout: where its modules and ribs lie.
        choice: the mounting, every choice settled.
        limits: the span and cantilever limits in force, mm.
        limits_along: limits of one run, where they change from run to run or along it; ``limits`` is then what is
            reported.
        seats_wanted: for module edges whose loads ask for more than two seats, how many.
        known: rails laid before for the same job and layout; mountings of one geometry lay them once.

    A run that cannot keep its limits is set out as near to them as its ribs allow, and an error says so. Clearances are
    computed apart. Source: common practice, no source.

    """
    if choice.held.has_rail:
        gathered = _laid_once(job, layout, choice, limits, limits_along, {} if known is None else known)
    else:
        gathered = _Gathered()
        for roof in layout.roofs:
            _hold_edges(job, choice, roof, limits, seats_wanted or {}, gathered)
    findings = [*gathered.findings, *unplaced_findings(job, limits, gathered.unplaced)]
    findings += (
        *clamping_permissions(job, choice),
        *_moved_clamping(job, choice),
        *_without_use(choice),
    )
    return SettingOut(tuple(gathered.runs), tuple(gathered.seats), limits, (), tuple(findings))


def _laid_once(
    job: Job,
    layout: Layout,
    choice: MountingChoice,
    limits: Limits,
    limits_along: LimitsAlong | None,
    known: MutableMapping[Hashable, Any],
) -> _Gathered:
    """The rails of every roof; where limits are the same all along, as laid before for a mounting of this geometry."""

    def along(_: Run) -> tuple[float, float]:
        return limits.max_span_mm, limits.max_cantilever_mm

    lines = _lines_of(choice)
    geometry = ("rails", lines, limits.max_span_mm, limits.max_cantilever_mm)
    if limits_along is None and geometry in known:
        found: _Gathered = known[geometry]
        return found
    gathered = _Gathered()
    parts = known.setdefault(("parts", lines), {})
    for roof in layout.roofs:
        _lay_rails(job, choice, roof, limits_along or along, gathered, parts)
    if limits_along is None:
        known[geometry] = gathered
    return gathered


def _lines_of(choice: MountingChoice) -> tuple[Hashable, ...]:
    """All of a mounting with rails that says where they lie."""
    return (
        choice.rail_direction,
        choice.rails_per_row,
        choice.clamping_position,
        choice.rail_overhang_mm,
        choice.stagger,
        ExpansionRule.of(choice),
    )


def _hold_edges(
    job: Job,
    choice: MountingChoice,
    roof: RoofLayout,
    limits: Limits,
    wanted: Mapping[EdgeKey, int],
    gathered: _Gathered,
) -> None:
    for array in roof.arrays:
        columns = ribs_of_columns(job, choice, roof, array)
        seats, findings = seats_of(job.roofs[roof.roof].arrays[array.array], roof, array, columns, wanted)
        gathered.seats += seats
        gathered.findings += (*column_findings(job, roof, array, columns), *findings)
        gathered.findings += wide_seats(job, roof, array, limits, seats)


def _lay_rails(
    job: Job, choice: MountingChoice, roof: RoofLayout, along: LimitsAlong, gathered: _Gathered, known: KnownParts
) -> None:
    placer = Placer(roof.ribs_x, along, choice.stagger)
    for array in roof.arrays:
        if choice.rail_direction == "across_ribs":
            drawn = _upwards(rails_across(job, choice, roof, array, known))
            heights = rail_heights(job, choice, job.roofs[roof.roof].arrays[array.array], array.module_y_mm)
            lines = [tuple(height / array.module_y_mm for height in heights)]
            runs = placer.place_across(drawn, gathered.unplaced, len(gathered.runs))
            segments, parted = array.row_segments, row_parts(job, choice, roof, array, known)
        else:
            columns = ribs_of_columns(job, choice, roof, array)
            runs = placer.place_along(list(rails_along(job, choice, roof, array, columns, known)), len(gathered.runs))
            gathered.findings += column_findings(job, roof, array, columns)
            segments, parted = array.column_segments, column_parts(job, choice, roof, array, known)
            lines = [places for column in columns.values() if (places := column.places(roof, array))]
        gathered.runs += runs
        gathered.findings += share_findings(roof, array, lines)
        gathered.findings += expansion_gap_findings(job, roof, array, segments, parted, ExpansionRule.of(choice))
        gathered.findings += rail_end_findings(job, roof, array, runs)


def _upwards(runs: Iterable[Run]) -> list[Run]:
    """The runs of one array from the eave up, neighbours of one height together."""
    return sorted(runs, key=lambda run: (run.line, run.position))


def _moved_clamping(job: Job, choice: MountingChoice) -> Iterator[Finding]:
    """A clamping position given in the job that had to be moved into the modules' clamping zone."""
    given = job.mounting.clamping_position
    if given is None or not choice.held.has_rail or choice.rail_direction == "along_ribs":
        return
    for roof in job.roofs:
        for array in roof.arrays:
            zone = zone_along_y(job.module, array.orientation)
            moved = into_zone(given, zone)
            if moved != given:
                place = Place(roof=roof.name, array=array.name)
                yield Finding(
                    code="clamping_position_moved",
                    severity="note",
                    message=say(
                        "{where}: clamping position {given} lies outside the module's clamping zone "
                        "{least} to {most}; the rails stand at {moved}",
                        where=place,
                        given=figure(given, "g"),
                        least=figure(zone[0], "g"),
                        most=figure(zone[1], "g"),
                        moved=figure(moved, "g"),
                    ),
                    place=place,
                    found=given,
                    allowed=moved,
                )


def _without_use(choice: MountingChoice) -> Iterator[Finding]:
    """A third rail and staggering need rails across the ribs; elsewhere a note says that the request has no effect."""
    if choice.held.has_rail and choice.rail_direction == "across_ribs":
        return
    direct, rails, where = not choice.held.has_rail, choice.rails_per_row, Place(subject="mounting")
    if rails != 2:
        message = say(
            "{count} rails under a row were requested; without rail that has no effect"
            if direct
            else "{count} rails under a row were requested; with rails along the ribs that has no effect",
            count=rails,
        )
        yield Finding("rails_per_row_without_use", "note", message, where, float(rails))
    if choice.stagger:
        message = say(
            "staggering was requested; without rail it has no effect"
            if direct
            else "staggering was requested; with rails along the ribs it has no effect"
        )
        yield Finding("stagger_without_use", "note", message, where)
