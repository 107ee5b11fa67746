"""The loads of a job as its estimate carries them: per roof the calculation, the strengths, spans and utilisations."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.attachment.records import SettingOut
from estimator.attachment.under_load.checks.splices import SpliceCheck
from estimator.attachment.under_load.records import LineCheck, LoadedSettingOut, RoofStrength, ZoneSpan, ZoneUse
from estimator.job import Job
from estimator.layout import Layout
from estimator.loads import PanelSetting, Pressures
from estimator.loads.sheet import LoadSheet, load_sheet
from estimator.mounting.records import MountingChoice
from estimator.pricebook import Book
from estimator.units import in_units


@dataclass(frozen=True, slots=True)
class RoofLoads:
    """One roof: its calculation, what rail and attachment may take, the span each zone allows, the worst use there."""

    roof: int
    name: str
    sheet: LoadSheet
    strength: RoofStrength | None
    spans: tuple[ZoneSpan, ...]
    zones: tuple[ZoneUse, ...]


@dataclass(frozen=True, slots=True)
class LoadReport:
    """Loads by roof, and the distinct lines checked; ``check_of`` gives the line of each run (or held edge).

    ``splices`` are the rigid splices of every roof that has some.
    """

    roofs: tuple[RoofLoads, ...]
    checks: tuple[LineCheck, ...]
    check_of: tuple[int, ...]
    edges: tuple[tuple[int, int, int, int], ...]
    splices: tuple[SpliceCheck, ...] = ()

    @property
    def computed(self) -> bool:
        """Whether there are loads at all; else the spans come from whoever gave them."""
        return all(roof.sheet.computed for roof in self.roofs)


def report_loads(job: Job, pressures: Sequence[Pressures], loaded: LoadedSettingOut) -> LoadReport:
    """What was computed for every roof; a roof whose job gives spans and no loads says so in its sheet."""
    roofs = []
    for number, (roof, each) in enumerate(zip(job.roofs, pressures, strict=True)):
        spans = tuple(span for span in loaded.spans if span.roof == number)
        uses = tuple(use for use in loaded.zones if use.roof == number)
        roofs.append(
            RoofLoads(
                roof=number,
                name=roof.name,
                sheet=_in_job_units(job, load_sheet(each, _areas(each, spans, _least_areas(loaded, number), job))),
                strength=loaded.strengths[number] if loaded.strengths else None,
                spans=spans,
                zones=uses,
            )
        )
    return LoadReport(tuple(roofs), loaded.checks, loaded.check_of, loaded.edges)


def _in_job_units(job: Job, sheet: LoadSheet) -> LoadSheet:
    """What was found while loads were computed, told in the job's units."""
    units = job.display_units
    return replace(
        sheet, findings=tuple(replace(each, message=in_units(each.message, units)) for each in sheet.findings)
    )


def _least_areas(loaded: LoadedSettingOut, roof: int) -> dict[str, float]:
    """The least effective area of an attachment in every zone of a roof in which one stands."""
    roofs = [edge[0] for edge in loaded.edges] if loaded.edges else [run.roof for run in loaded.setting_out.runs]
    found: dict[str, float] = {}
    for place in {place for on, place in zip(roofs, loaded.check_of, strict=False) if on == roof and place >= 0}:
        for each in loaded.checks[place].attachments:
            found[each.zone] = min(each.area_m2, found.get(each.zone, each.area_m2))
    return found


def _areas(pressures: Pressures, spans: Sequence[ZoneSpan], used: dict[str, float], job: Job) -> dict[str, float]:
    """Effective area per zone: that of its allowed span, the smallest where there are several.

    Without rails there are no spans: the least area of an attachment there; a module's where nothing stands.

    Zones of inner modules are left out where nothing stands in them.
    """
    module = job.module.length_mm * job.module.width_mm / 1e6
    found: dict[str, float] = {}
    for span in spans:
        if span.area_m2 > 0:
            found[span.zone] = min(span.area_m2, found.get(span.zone, span.area_m2))
    found = found or dict(used)
    smallest = min(found.values(), default=module)
    shown = [zone.name for zone in pressures.zones if zone.exposed or zone.name in {*found, *used}]
    return {name: found.get(name, smallest) for name in shown}


def panel_settings(
    job: Job, layout: Layout, choice: MountingChoice, book: Book, heights_mm: Sequence[float], laid: SettingOut | None
) -> tuple[PanelSetting, ...]:
    """How the panels lie on every roof: height to their top, and the mass of hardware over the area of the modules.

    Without a setting-out yet (``laid`` None) the hardware is taken as weightless. ``heights_mm``: under the modules.
    Source: common practice, no source.
    """
    settings = []
    for roof, under_module in zip(layout.roofs, heights_mm, strict=True):
        area = sum(each.modules for each in roof.arrays) * job.module.length_mm * job.module.width_mm / 1e6
        mass = _hardware_kg(choice, book, roof.roof, laid) if laid else 0.0
        top = under_module + job.module.thickness_mm
        settings.append(PanelSetting(height_mm=top, hardware_kg_m2=round(mass / area, 3) if area else 0.0))
    return tuple(settings)


def _hardware_kg(choice: MountingChoice, book: Book, roof: int, laid: SettingOut) -> float:
    """Rails by length, one bracket an attachment, clamps by joint and end."""
    runs = [run for run in laid.runs if run.roof == roof]
    seats = [seat for seat in laid.seats if seat.roof == roof]
    attachments = sum(len(run.attachments_mm) for run in runs) + len(seats)
    mid = sum(run.mid_clamps for run in runs) + sum(seat.clamp == "mid_clamp" for seat in seats)
    end = sum(run.end_clamps for run in runs) + sum(seat.clamp == "end_clamp" for seat in seats)
    mass = attachments * book.parts[choice.bracket.part].unit_mass_kg
    mass += mid * book.parts[choice.mid_clamp.part].unit_mass_kg + end * book.parts[choice.end_clamp.part].unit_mass_kg
    if choice.rail:
        mass += sum(run.length_mm for run in runs) / 1000 * choice.rail.mass_kg_per_m
    return mass
