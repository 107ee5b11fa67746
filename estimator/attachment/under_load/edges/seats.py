"""Module edges held without rail, under load: each edge a beam over its seats, more seats where they are needed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from estimator.attachment.geometry.clamping import further_ribs
from estimator.attachment.geometry.runs import ColumnRibs, ribs_of_columns
from estimator.attachment.geometry.seats import EdgeKey
from estimator.attachment.geometry.setting_out import set_out
from estimator.attachment.records import Limits, Seat, SettingOut
from estimator.attachment.under_load.checks.attachments import attachment_words, share_words, zone_uses
from estimator.attachment.under_load.checks.clamps import clamp_format_findings, clamp_strength_n
from estimator.attachment.under_load.edges.lines import EdgeLines, HeldEdge
from estimator.attachment.under_load.lines.known import KnownChecks
from estimator.attachment.under_load.lines.zones import ZoneLines
from estimator.attachment.under_load.records import (
    HOLDS,
    AttachmentCheck,
    Line,
    LineCheck,
    LoadedSettingOut,
    RoofStrength,
)
from estimator.errors import Finding
from estimator.job import Job
from estimator.layout import Layout
from estimator.loads import Pressures
from estimator.loads.actions.citing import zone_words
from estimator.mounting.records import MountingChoice
from estimator.places import Place
from estimator.sentences import joined, placed, say
from estimator.units import as_text

MOST_ROUNDS = 20


def hold_edges(
    job: Job,
    layout: Layout,
    choice: MountingChoice,
    limits: Limits,
    known: KnownChecks,
    strengths: tuple[RoofStrength, ...],
) -> LoadedSettingOut:
    """Two seats an edge, and further ones where a reaction asks for them and the clamping zones hold a rib.

    An edge carries half of each module beside it; its seats take the reactions of a beam over them. A seat is used by
    the bracket's strength or its clamp's, whichever is worse. Source: common practice, no source.
    """
    pressures = known.pressures
    lines = EdgeLines.under(layout, tuple(ZoneLines(each) for each in pressures))
    strong = Shares(known, choice)
    further = FurtherSeats(job, layout, choice, lines, strong)
    wanted: dict[EdgeKey, int] = {}
    for _ in range(MOST_ROUNDS):
        placed = set_out(job, layout, choice, limits, seats_wanted=wanted)
        edges = lines.held(placed.seats)
        used = strong.of(edges)
        more = further.wanted(edges, used)
        if not more:
            break
        wanted |= more
    checks, places = known.kept(strong.places(edges))
    return _gathered(job, choice, strengths, _Held(placed, edges, places, used, checks), pressures)


@dataclass(frozen=True, slots=True)
class _Held:
    """All edges as they stand at last: for each the place of its check and the share each seat uses."""

    placed: SettingOut
    edges: list[HeldEdge]
    places: tuple[int, ...]
    used: list[tuple[float, ...]]
    checks: tuple[LineCheck, ...]


@dataclass(slots=True)
class Shares:
    """Share of the bracket's or the clamp's strength used by each seat of an edge; edges alike once."""

    known: KnownChecks
    choice: MountingChoice
    shares: dict[tuple[int, str], tuple[float, ...]] = field(default_factory=dict)

    def places(self, edges: Sequence[HeldEdge]) -> tuple[int, ...]:
        """The place of each edge's check, -1 where it cannot be checked."""
        return self.known.check((edge.key[0], edge.line) for edge in edges)

    def of(self, edges: Sequence[HeldEdge]) -> list[tuple[float, ...]]:
        """One share per seat of every edge; none where it cannot be checked."""
        found: list[tuple[float, ...]] = []
        for edge, place in zip(edges, self.places(edges), strict=True):
            key = (place, edge.clamp)
            if key not in self.shares:
                self.shares[key] = self._used(edge, place) if place >= 0 else ()
            found.append(self.shares[key])
        return found

    def _used(self, edge: HeldEdge, place: int) -> tuple[float, ...]:
        attachments = self.known.checks[place].attachments
        clamp = self.choice.mid_clamp if edge.clamp == "mid_clamp" else self.choice.end_clamp
        clamp_n = clamp_strength_n(clamp, self.known.pressures[edge.key[0]].method)
        if clamp_n is None:
            return tuple(a.utilisation for a in attachments)
        return tuple(max(a.utilisation, -a.normal_n / clamp_n) for a in attachments)


@dataclass(slots=True)
class FurtherSeats:
    """How many seats an edge needs: tried out once for edges alike, two at first, then rib by rib."""

    job: Job
    layout: Layout
    choice: MountingChoice
    lines: EdgeLines
    shares: Shares
    needed: dict[tuple[int, Line, str], int] = field(default_factory=dict)
    columns: dict[tuple[int, int], dict[int, ColumnRibs]] = field(default_factory=dict)

    def wanted(self, edges: Sequence[HeldEdge], used: Sequence[tuple[float, ...]]) -> dict[EdgeKey, int]:
        """For every edge that fails and for which more seats were found: how many."""
        found = {}
        for edge, shares in zip(edges, used, strict=True):
            if edge.line is None or max(shares, default=0.0) <= HOLDS:
                continue
            key = (edge.key[0], edge.line, edge.clamp)
            if key not in self.needed:
                self.needed[key] = self._try(edge, edge.line)
            if self.needed[key] > edge.seats:
                found[edge.key] = self.needed[key]
        return found

    def _try(self, edge: HeldEdge, line: Line) -> int:
        """The fewest seats that hold; as many as the clamping zones have ribs for where none do."""
        roof, array, _, column = edge.key
        where = self.layout.roofs[roof]
        if (roof, array) not in self.columns:
            laid = next(each for each in where.arrays if each.array == array)
            self.columns[roof, array] = ribs_of_columns(self.job, self.choice, where, laid)
        held, ribs = self.columns[roof, array][column], where.ribs_x
        start = self.lines.columns[roof, array].starts_mm[column]
        for count in range(edge.seats + 1, len(ribs) + 1 if held.chosen else 0):
            chosen = further_ribs(ribs, held.zones, held.chosen, count) if held.chosen else ()
            if len(chosen) < count:
                return count - 1
            tried = replace(line, attachments_mm=tuple(round(ribs[rib] - start, 6) for rib in chosen))
            (shares,) = self.shares.of([replace(edge, line=tried)])
            if max(shares) <= HOLDS:
                return count
        return edge.seats


def _gathered(
    job: Job,
    choice: MountingChoice,
    strengths: tuple[RoofStrength, ...],
    held: _Held,
    pressures: tuple[Pressures, ...],
) -> LoadedSettingOut:
    strong = [strength.complete for strength in strengths]
    seats = list(held.placed.seats)
    for edge, place, used in zip(held.edges, held.places, held.used, strict=True):
        for n, share in enumerate(used):
            zone = held.checks[place].attachments[n].zone
            known = share if strong[edge.key[0]] else None
            s = seats[edge.first + n]
            seats[edge.first + n] = Seat(s.roof, s.array, s.seam, s.column, s.x, s.y, s.clamp, known, zone)
    findings = [finding for strength in strengths for finding in strength.capacity.findings]
    findings += clamp_format_findings(choice, (each.method for each in pressures))
    findings += _overloads(job, strengths, held)
    lines = [
        (edge.key[0], _place(job, edge.key), place, shares)
        for edge, place, shares in zip(held.edges, held.places, held.used, strict=True)
    ]
    return LoadedSettingOut(
        setting_out=replace(held.placed, seats=tuple(seats), findings=(*held.placed.findings, *findings)),
        pressures=pressures,
        strengths=strengths,
        zones=zone_uses(lines, held.checks, strong),
        checks=held.checks,
        check_of=held.places,
        edges=tuple(edge.key for edge in held.edges),
    )


def _overloads(job: Job, strengths: Sequence[RoofStrength], held: _Held) -> list[Finding]:
    """The worst seat of every array and zone that fails, and how many there are."""
    worst: dict[tuple[int, int, str], tuple[float, HeldEdge, AttachmentCheck, int]] = {}
    count: Counter[tuple[int, int, str]] = Counter()
    for edge, place, used in zip(held.edges, held.places, held.used, strict=True):
        for n, share in enumerate(used):
            if share > HOLDS:
                check = held.checks[place].attachments[n]
                key = (edge.key[0], edge.key[1], check.zone)
                count[key] += 1
                if key not in worst or share > worst[key][0]:
                    worst[key] = (share, edge, check, n)
    return [_overload(job, strengths[key[0]], found, count[key]) for key, found in worst.items()]


def _place(job: Job, key: EdgeKey) -> Place:
    roof = job.roofs[key[0]]
    return Place(roof=roof.name, array=roof.arrays[key[1]].name, seam=key[2] + 1, column=key[3] + 1)


def _overload(
    job: Job, strength: RoofStrength, worst: tuple[float, HeldEdge, AttachmentCheck, int], count: int
) -> Finding:
    share, edge, check, number = worst
    where = replace(_place(job, edge.key), attachment=number + 1)
    if share > check.utilisation * HOLDS:
        what = say(
            "zone {zone}, {share} of the clamp's strength used: pulled with {force}",
            zone=zone_words(check.zone),
            share=share_words(share),
            force=as_text(-check.normal_n, "force", job.display_units),
        )
    else:
        what = attachment_words(job, strength, check)
    others = [say("{count} such attachments in the array", count=count)] if count > 1 else []
    said = joined("; ", (what, *others, say("rails, or a stronger bracket and clamp, would help")))
    return Finding("attachment_overloaded", "error", placed(where, said), where, share, 1.0)
