"""Lines checked under load: every attachment with the reaction of the beam as set out, every span and cantilever.

The pressure on a stretch of a line is that of its zone at the effective area of the attachment it belongs to: stretches
end half-way between attachments and at zone borders. All combinations of strength, with their forces along the slope,
and of service are solved together, for all lines at once.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from estimator.attachment.beam.frame import Beam, Floats
from estimator.attachment.beam.solve import solve_beams, solve_supports
from estimator.attachment.under_load.lines.bending import FieldsUsed, LoadCases, fields_used, pressure_cases
from estimator.attachment.under_load.records import AttachmentCheck, FieldCheck, Line, LineCheck, RoofStrength
from estimator.loads import Pressures, effective_area_m2, zone_pressures

PA_MM = 1e-6
"""One pascal on a square millimetre, N."""
SURELY = 1.0 + 1e-6
"""More than this is too much however it is rounded."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Part of a line with one pressure: the attachment it belongs to, its zone, where it ends."""

    attachment: int
    zone: str
    end_mm: float


def stretches_of(line: Line) -> list[Stretch]:
    """The line split half-way between attachments and at zone borders.

    >>> line = Line(1000.0, (100.0, 900.0), 500.0, (700.0,), ("1", "2"))
    >>> [(s.attachment, s.zone, s.end_mm) for s in stretches_of(line)]
    [(0, '1', 500.0), (1, '1', 700.0), (1, '2', 1000.0)]
    """
    middles = [(a + b) / 2 for a, b in pairwise(line.attachments_mm)]
    ends = sorted({*middles, *line.borders_mm, line.length_mm})
    found = []
    start = 0.0
    for end in ends:
        centre = (start + end) / 2
        zone = line.zones[bisect_left(line.borders_mm, centre)]
        found.append(Stretch(bisect_left(middles, centre), zone, end))
        start = end
    return found


def tributary_lengths(line: Line) -> list[float]:
    """The length of line each attachment carries, half-way to its neighbours."""
    ends = [0.0, *((a + b) / 2 for a, b in pairwise(line.attachments_mm)), line.length_mm]
    return [b - a for a, b in pairwise(ends)]


def check_lines(lines: Sequence[Line], pressures: Pressures, strength: RoofStrength) -> list[LineCheck]:
    """Every line of one roof, in the order given. Lines have at least two attachments.

    A line that modules lift off from as well as press on is checked for both, and the worse one stands.
    """
    checks = _checked(lines, pressures, strength, 1.0)
    lifted = [number for number, line in enumerate(lines) if line.reversed_mm > 0]
    turned = [replace(lines[number], tributary_mm=lines[number].reversed_mm) for number in lifted]
    for number, other in zip(lifted, _checked(turned, pressures, strength, -1.0), strict=True):
        checks[number] = _worse(checks[number], other)
    return checks


def _worse(one: LineCheck, other: LineCheck) -> LineCheck:
    """Of two checks of a line the worse at every attachment, and in every field the worse of bending and deflection."""
    attachments = (_worse_of(*pair) for pair in zip(one.attachments, other.attachments, strict=True))
    fields = (
        replace(
            a,
            bending=max(a.bending, b.bending),
            moment_n_mm=(a if a.bending >= b.bending else b).moment_n_mm,
            weak_moment_n_mm=(a if a.bending >= b.bending else b).weak_moment_n_mm,
            deflection=max(a.deflection, b.deflection),
            deflection_mm=(a if a.deflection >= b.deflection else b).deflection_mm,
            weak_deflection_mm=(a if a.deflection >= b.deflection else b).weak_deflection_mm,
        )
        for a, b in zip(one.fields, other.fields, strict=True)
    )
    return LineCheck(one.line, tuple(attachments), tuple(fields))


def _worse_of(one: AttachmentCheck, other: AttachmentCheck) -> AttachmentCheck:
    """The one used more, with the largest forces of both."""
    worse = one if one.utilisation >= other.utilisation else other
    return replace(
        worse,
        uplift_n=max(one.uplift_n or 0.0, other.uplift_n or 0.0),
        downward_n=max(one.downward_n or 0.0, other.downward_n or 0.0),
        along_most_n=max(one.along_most_n or 0.0, other.along_most_n or 0.0),
    )


def _checked(lines: Sequence[Line], pressures: Pressures, strength: RoofStrength, sign: float) -> list[LineCheck]:
    """Every line under its loads, or with ``sign`` -1 under loads turned round."""
    if not lines:
        return []
    lengths = [tributary_lengths(line) for line in lines]
    loads, areas = line_loads(lines, lengths, pressures, strength)
    solved = solve_beams(_beams(lines, [sign * load for load in loads], strength))
    cases = LoadCases(len(pressures.combinations), len(pressures.service), strength.both_axes)
    normal, along = solved.reactions_n[:, cases.square], solved.reactions_n[:, cases.along]
    used = strength.capacity.utilisation(normal, along)
    governing = used.argmax(axis=1)
    in_fields = fields_used(solved, strength, cases)
    checks = []
    for number, line in enumerate(lines):
        s, f = solved.supports_of(number), solved.fields_of(number)
        attachments = _attachments(line, areas[number], used[s], governing[s], normal[s], along[s])
        checks.append(LineCheck(line, attachments, _field_checks(line, in_fields, f)))
    return checks


def _beams(lines: Sequence[Line], loads: Sequence[Floats], strength: RoofStrength) -> list[Beam]:
    return [
        Beam(
            line.length_mm,
            line.attachments_mm,
            tuple(map(tuple, load.tolist())),
            tuple(s.end_mm for s in stretches_of(line)[:-1]),
            strength.stiffness_n_mm2,
        )
        for line, load in zip(lines, loads, strict=True)
    ]


def may_hold(lines: Sequence[Line], pressures: Pressures, strength: RoofStrength) -> list[bool]:
    """For lines of one roof, quickly: False where an attachment, or the rail over one, surely carries too much.

    True says nothing yet: spans, cantilevers and deflections are left to ``check_lines``.
    """
    good = _supports_hold(lines, pressures, strength, 1.0)
    lifted = [number for number, line in enumerate(lines) if line.reversed_mm > 0 and good[number]]
    turned = [replace(lines[number], tributary_mm=lines[number].reversed_mm) for number in lifted]
    for number, other in zip(lifted, _supports_hold(turned, pressures, strength, -1.0), strict=True):
        good[number] = other
    return good


def _supports_hold(lines: Sequence[Line], pressures: Pressures, strength: RoofStrength, sign: float) -> list[bool]:
    if not lines:
        return []
    cases = LoadCases(len(pressures.combinations), len(pressures.service), strength.both_axes)
    lengths = [tributary_lengths(line) for line in lines]
    loads, _ = line_loads(lines, lengths, pressures, strength)
    of_strength = slice(0, cases.along.stop)
    beams = _beams(lines, [sign * load[:, of_strength] for load in loads], strength)
    reactions, moments, frame = solve_supports(beams)
    used = strength.capacity.utilisation(reactions[:, cases.square], reactions[:, cases.along])
    bent = np.abs(moments[:, cases.square]) / strength.moment_n_mm
    worst = np.maximum(used.max(axis=1), bent.max(axis=1))
    by_line: list[float] = np.maximum.reduceat(worst, frame.first_support[:-1]).tolist()
    return [each <= SURELY for each in by_line]


def _field_checks(line: Line, used: FieldsUsed, which: slice) -> tuple[FieldCheck, ...]:
    edges = (0.0, *line.attachments_mm, line.length_mm)
    last = len(edges) - 2
    columns = (
        used.bending, used.deflection, used.moment_n_mm, used.deflection_mm, used.weak_moment_n_mm,
        used.weak_deflection_mm,
    )  # fmt: skip
    rows = zip(*(column[which].tolist() for column in columns), strict=True)
    return tuple(
        FieldCheck(b, d, m, v, edges[k], edges[k + 1], k in (0, last), weak, aside)
        for k, (b, d, m, v, weak, aside) in enumerate(rows)
    )


def line_loads(
    lines: Sequence[Line], lengths: Sequence[list[float]], pressures: Pressures, strength: RoofStrength
) -> tuple[list[Floats], list[list[float]]]:
    """Loads of each line's stretches, (stretches, cases) N/mm, and the effective area of each attachment."""
    areas = [effective_area_m2(pressures, spans, line.tributary_mm) for line, spans in zip(lines, lengths, strict=True)]
    wanted: dict[str, dict[float, int]] = {}
    places: list[list[tuple[str, int]]] = []
    for line, area in zip(lines, areas, strict=True):
        places.append([])
        for stretch in stretches_of(line):
            known = wanted.setdefault(stretch.zone, {})
            places[-1].append((stretch.zone, known.setdefault(float(area[stretch.attachment]), len(known))))
    tables = {
        zone: pressure_cases(zone_pressures(pressures, zone, list(known)), strength) for zone, known in wanted.items()
    }
    loads = [
        np.stack([tables[zone][:, column] for zone, column in place]) * (line.tributary_mm * PA_MM)
        for line, place in zip(lines, places, strict=True)
    ]
    return loads, [area.tolist() for area in areas]


def _attachments(
    line: Line, areas: list[float], used: Floats, governing: Floats, normal: Floats, along: Floats
) -> tuple[AttachmentCheck, ...]:
    rows = range(len(areas))
    most = (np.maximum(-normal, 0.0).max(axis=1), np.maximum(normal, 0.0).max(axis=1), np.abs(along).max(axis=1))
    return tuple(
        AttachmentCheck(u, zone_at(line, at), area, c, n, a, *largest)
        for u, at, area, c, n, a, largest in zip(
            used[rows, governing].tolist(),
            line.attachments_mm,
            areas,
            governing.tolist(),
            normal[rows, governing].tolist(),
            along[rows, governing].tolist(),
            np.stack(most, axis=1).tolist(),
            strict=True,
        )
    )


def zone_at(line: Line, at_mm: float) -> str:
    """The zone at a place on the line."""
    return line.zones[bisect_right(line.borders_mm, at_mm)]
