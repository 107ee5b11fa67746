"""Module edges held without rail, under load: each edge a beam over its seats, more seats where they are needed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.attachment.loaded_checks import KnownChecks
from estimator.attachment.loaded_clamps import clamp_strength_n
from estimator.attachment.loaded_edges import EdgeLines, HeldEdge
from estimator.attachment.loaded_findings import attachment_words, zone_uses
from estimator.attachment.loaded_records import AttachmentCheck, LineCheck, LoadedSettingOut, RoofStrength
from estimator.attachment.loaded_tighten import HOLDS
from estimator.attachment.loaded_zones import ZoneLines
from estimator.attachment.records import Limits, MountingChoice, Seat, SettingOut
from estimator.attachment.seats import EdgeKey
from estimator.attachment.setting_out import set_out
from estimator.errors import Finding
from estimator.job import Job
from estimator.layout import Layout
from estimator.loads import Pressures
from estimator.units import as_text

MOST_ROUNDS = 20


def hold_edges(
    job: Job,
    layout: Layout,
    choice: MountingChoice,
    limits: Limits,
    pressures: tuple[Pressures, ...],
    strengths: tuple[RoofStrength, ...],
) -> LoadedSettingOut:
    """Two seats an edge, and further ones where a reaction asks for them and the clamping zones hold a rib.

    An edge carries half of each module beside it; its seats take the reactions of a beam over them. A seat is used by
    the bracket's strength or its clamp's, whichever is worse. Source: common practice, no source.
    """
    lines = EdgeLines.under(layout, tuple(ZoneLines(each) for each in pressures))
    known = KnownChecks(pressures, tuple(strength.usable for strength in strengths))
    wanted: dict[EdgeKey, int] = {}
    for _ in range(MOST_ROUNDS):
        placed = set_out(job, layout, choice, limits, seats_wanted=wanted)
        edges = lines.held(placed.seats)
        places = known.check((edge.key[0], edge.line) for edge in edges)
        used = _shares(edges, places, known.checks, placed.seats, choice, pressures)
        more = _more_wanted(edges, used, wanted)
        if not more:
            break
        wanted |= more
    if any(wanted.get(edge.key, 2) > edge.seats for edge in edges):
        wanted = {edge.key: edge.seats for edge in edges}  # no further rib: said with the share that is used
        placed = set_out(job, layout, choice, limits, seats_wanted=wanted)
    held = _Held(placed, edges, places, used, tuple(known.checks))
    return _gathered(job, pressures, strengths, held)


@dataclass(frozen=True, slots=True)
class _Held:
    """All edges as they stand at last: for each the place of its check and the share each seat uses."""

    placed: SettingOut
    edges: list[HeldEdge]
    places: tuple[int, ...]
    used: list[tuple[float, ...]]
    checks: tuple[LineCheck, ...]


def _shares(
    edges: Sequence[HeldEdge],
    places: Sequence[int],
    checks: Sequence[LineCheck],
    seats: Sequence[Seat],
    choice: MountingChoice,
    pressures: Sequence[Pressures],
) -> list[tuple[float, ...]]:
    """Share of the bracket's or the clamp's strength used by each seat of every edge; alike edges once."""
    known: dict[tuple[int, str], tuple[float, ...]] = {}
    found: list[tuple[float, ...]] = []
    for edge, place in zip(edges, places, strict=True):
        kind = seats[edge.first].clamp
        if place < 0:
            found.append(())
            continue
        if (place, kind) not in known:
            clamp = choice.mid_clamp if kind == "mid_clamp" else choice.end_clamp
            known[place, kind] = _used(checks[place], clamp_strength_n(clamp, pressures[edge.key[0]].method))
        found.append(known[place, kind])
    return found


def _used(check: LineCheck, clamp_n: float | None) -> tuple[float, ...]:
    shares = tuple(a.utilisation for a in check.attachments)
    if clamp_n is None:
        return shares
    return tuple(max(share, -a.normal_n / clamp_n) for share, a in zip(shares, check.attachments, strict=True))


def _more_wanted(
    edges: Sequence[HeldEdge], used: Sequence[tuple[float, ...]], wanted: dict[EdgeKey, int]
) -> dict[EdgeKey, int]:
    """One seat more for every edge that does not hold, unless it had its ribs already."""
    more = {}
    for edge, shares in zip(edges, used, strict=True):
        if max(shares, default=0.0) > HOLDS and edge.seats >= wanted.get(edge.key, 2):
            more[edge.key] = edge.seats + 1
    return more


def _gathered(
    job: Job, pressures: tuple[Pressures, ...], strengths: tuple[RoofStrength, ...], held: _Held
) -> LoadedSettingOut:
    strong = [strength.complete for strength in strengths]
    seats = list(held.placed.seats)
    for edge, place, used in zip(held.edges, held.places, held.used, strict=True):
        for n, share in enumerate(used):
            zone = held.checks[place].attachments[n].zone
            known = share if strong[edge.key[0]] else None
            seats[edge.first + n] = replace(seats[edge.first + n], utilisation=known, zone=zone)
    findings = [finding for strength in strengths for finding in strength.capacity.findings]
    findings += _overloads(job, strengths, held)
    labels = [(edge.key[0], _label(job, edge.key), place) for edge, place in zip(held.edges, held.places, strict=True)]
    return LoadedSettingOut(
        setting_out=replace(held.placed, seats=tuple(seats), findings=(*held.placed.findings, *findings)),
        pressures=pressures,
        strengths=strengths,
        zones=zone_uses(labels, held.checks, strong),
        checks=held.checks,
        check_of=held.places,
        edges=tuple(edge.key for edge in held.edges),
    )


def _overloads(job: Job, strengths: Sequence[RoofStrength], held: _Held) -> list[Finding]:
    """The worst seat of every array and zone that does not hold, and how many there are."""
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


def _label(job: Job, key: EdgeKey) -> str:
    roof = job.roofs[key[0]]
    return f"{roof.name} / {roof.arrays[key[1]].name} / seam {key[2]} / column {key[3] + 1}"


def _overload(
    job: Job, strength: RoofStrength, worst: tuple[float, HeldEdge, AttachmentCheck, int], count: int
) -> Finding:
    share, edge, check, number = worst
    where = f"{_label(job, edge.key)} / attachment {number + 1}"
    if share > check.utilisation * HOLDS:
        what = f"zone {check.zone}, {share:.1%} of the clamp's strength used: pulled with "
        what += as_text(-check.normal_n, "force", job.display_units)
    else:
        what = attachment_words(job, strength, check)
    others = f"; {count} such attachments in the array" if count > 1 else ""
    text = f"{where}: {what}{others}; rails, or a stronger bracket and clamp, would help"
    return Finding("attachment_overloaded", "error", text, where, share, 1.0)
