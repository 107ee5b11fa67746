"""How version 0.1 named the place of an error, in English words: overrides kept with these words still hold.

These forms are frozen: they belong to what was stored then, and follow no later change of wording.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from estimator.attachment import Run, SettingOut
from estimator.errors import Finding
from estimator.job import Job, Roof
from estimator.places import Place
from estimator.units import as_text, side_by_side, systems_of

_SHEETS = {
    "steel": "steel",
    "aluminium": "aluminium",
    "foam_core_steel": "foam core faced with steel",
    "foam_core_aluminium": "foam core faced with aluminium",
}
_MODULES = {"module_on_obstruction", "module_off_plane", "module_in_keep_clear"}
_RAILS = {"rail_on_obstruction", "rail_off_plane", "rail_in_keep_clear"}
_SUMS = {"modules_by_rows": "modules by rows", "modules_by_columns": "modules by columns"}


def places_named_by_0_1(
    checks: Iterable[Finding], job: Job, setting_out: SettingOut
) -> Mapping[tuple[str, str], Place]:
    """For every error its place, by the code and the words that version 0.1 had for it."""
    runs = {run.place: run for run in setting_out.runs}
    roofs = {roof.name: roof for roof in job.roofs}
    return {
        (check.code, words): check.place
        for check in checks
        if check.severity == "error"
        for words in _words(check, job, roofs.get(check.place.roof), runs)
    }


def _words(check: Finding, job: Job, roof: Roof | None, runs: Mapping[Place, Run]) -> Iterator[str]:
    place, code = check.place, check.code
    on_array = f"{place.roof} / {place.array}"
    breached = place.obstruction or place.side
    if code in _MODULES:
        yield f"{on_array} / {breached}"
    elif code in _RAILS:
        yield f"{on_array} / rails / {breached}"
    elif code == "bracket_does_not_fit" and roof is not None:
        yield f"{place.roof} / bracket {place.part} / {_misfit(place.aspect, roof, job)}"
    elif code == "bracket_does_not_take_rail":
        yield f"bracket {place.part}"
    elif code == "no_span_holds":
        yield f"{place.roof} / zone {place.zone}"
    elif code == "clamp_overloaded":
        yield f"{place.roof} / zone {place.zone} / clamp {place.part}"
    elif code == "sums_differ":
        yield _SUMS.get(place.aspect, place.aspect.replace("_", " "))
    elif place.array and (place.row or place.column or place.seam):
        yield from _on_line(place, job, runs)
    elif place.roof:
        yield f"{place.roof} roof"
        yield place.roof


def _on_line(place: Place, job: Job, runs: Mapping[Place, Run]) -> Iterator[str]:
    """Runs, module edges and columns, and what stands on them."""
    if place.seam:
        seat = f" / attachment {place.attachment}" if place.attachment else ""
        yield f"{place.roof} / {place.array} / seam {place.seam - 1} / column {place.column}{seat}"
        return
    line = f"row {place.row}" if place.row else f"column {place.column}"
    section = f", part {place.section}" if place.section else ""
    rail = f" / rail {place.rail}" if place.rail else ""
    label = f"{place.roof} / {place.array} / {line}{section}{rail}"
    run = runs.get(replace(place, attachment=None, span=None, end=None))
    if place.end:
        yield f"{label} / {place.end} end"
    elif run is not None and place.attachment:
        at, count = run.attachments_mm[place.attachment - 1], len(run.attachments_mm)
        yield f"{label} / attachment {place.attachment} of {count}, {_mm(at, job)} from the rail's start"
    elif run is not None and place.span is not None:
        edges = (0.0, *run.attachments_mm, run.length_mm)
        start, end = edges[place.span : place.span + 2]
        kind = "span" if 0 < place.span < len(run.attachments_mm) else "cantilever"
        yield f"{label} / {kind} from {_mm(start, job)} to {_mm(end, job)}"
    else:
        yield label


def _misfit(aspect: str, roof: Roof, job: Job) -> str:
    """What of a roof a bracket does not fit, with its measure."""
    ribs, units = roof.ribs, job.display_units
    thickness = roof.sheet.thickness_mm
    texts = {
        "crown_width": f"crown {as_text(ribs.crown_width_mm, 'length', units)}",
        "rib_height": f"rib height {as_text(ribs.height_mm, 'length', units)}",
        "web_angle": f"web angle {as_text(ribs.web_angle_deg, 'angle', units)}",
        "sheet_material": f"sheet of {_SHEETS[roof.sheet.material]}",
    }
    written = {"us": f"{thickness / 25.4:.4f} in", "metric": f"{thickness:.2f} mm"}
    return texts.get(aspect, f"sheet {side_by_side([written[system] for system in systems_of(units)])}")


def _mm(length: float, job: Job) -> str:
    return as_text(length, "length", job.display_units)
