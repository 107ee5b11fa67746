"""Whole jobs under load, recounted from the posted numbers: pressures by formulas written here, reactions by PyNiteFEA.

Steep roofs with much snow, ribs that lie unevenly under the modules, three rails, long rails with several expansion
gaps. Formulas: ASCE 7-16 26.10, 29.4.4, 30.3, 7.3, 7.4, 7.6.1, 2.4.1, with the numbers of the public records that
``tests/outside/test_loads_*`` name; shares of modules by a beam over their rails (PyNiteFEA).
"""

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from estimator.attachment import limits_for
from estimator.attachment.beam.solve import Beam
from estimator.attachment.load_report import report_loads
from estimator.attachment.reactions import find_reactions
from estimator.attachment.under_load.lines.check import stretches_of, tributary_lengths
from estimator.attachment.under_load.setting_out import set_out_under_load
from estimator.job import Mounting, Purlins
from estimator.layout import lay_out
from estimator.loads import PanelSetting, exposed_cells, find_pressures, zone_pressures
from estimator.pricebook import Splice
from tests.attachment.under_load.test_loaded import a_loaded_choice
from tests.builders import a_job, a_module, a_roof, an_array, changed_loads, some_ribs
from tests.loads.cases import EU, US
from tests.outside.beam_libraries import in_pynite

PSF, FT = 47.88025898, 304.8
MODULE = a_module(length_mm=1960.0, width_mm=1052.0, mass_kg=24.5)
SETTING = PanelSetting(height_mm=150.0, hardware_kg_m2=2.5)
JOINT = Splice("E-AL", "R-AL", "expansion_splice", gap_mm=20.0, least_gap_mm=80.0)
STRONG = {"max_span_mm": 1400.0}


def logarithmic(a1, v1, a2, v2):
    """Level up to a1 and from a2 on, straight over log10 between. Source: ASCE 7-16 Figures 30.3 and 29.4-8."""
    return lambda a: v1 + (v2 - v1) * math.log10(min(max(a, a1), a2) / a1) / math.log10(a2 / a1)


DOWN, EQUAL = logarithmic(10, 0.9, 100, 0.5), logarithmic(10, 0.8, 100, 0.4)
UP = {
    **dict.fromkeys(("1", "2e", "2r"), logarithmic(10, -1.8, 100, -0.8)),
    **dict.fromkeys(("2n", "3r"), logarithmic(10, -2.0, 200, -1.0)),
    "3e": logarithmic(2, -3.2, 300, -1.0),
}
"""GCp of gable roofs over 27 to 45 deg. Source: ASCE 7-16 Figure 30.3-2D, two public records."""


def allowable(zone, area_m2, slope_deg, snow_psf):
    """Normal pressures of ASCE 7-16 2.4.1 and the largest along the slope, Pa; 115 mph, exposure C, 20 ft."""
    qh = 0.00256 * 0.90 * 0.85 * 115**2
    bare = zone.removesuffix(" inner").removesuffix(" ridge snow")
    edge = 1.0 if zone.endswith(" inner") else 1.5
    area = area_m2 / 0.3048**2
    up = min(qh * UP[bare](area) * edge * EQUAL(area), -16.0) * PSF
    down = max(qh * DOWN(area) * EQUAL(area), 16.0) * PSF
    dead = (24.5 / (1.960 * 1.052) + 2.5) * 9.80665
    s, c = math.sin(math.radians(slope_deg)), math.cos(math.radians(slope_deg))
    snow = snow_psf[" ridge snow" in zone] * PSF
    D, S = dead * c, snow * c * c
    normal = [
        D, D + S, D + 0.6 * down, D + 0.45 * down + 0.75 * S, D + 0.45 * up + 0.75 * S, D + 0.6 * up, 0.6 * D + 0.6 * up
    ]  # fmt: skip
    return normal, dead * s + snow * s * c


def snow_of(slope_deg, run_ft, pg=50.0):
    """Even and ridge snow, psf: Ce 1.0, Ct 1.2, Is 1, Cs 1 up to 45 deg. Source: ASCE 7-16 7.3, 7.6.1."""
    ps = 0.7 * 1.0 * 1.2 * pg
    hd = 0.43 * run_ft ** (1 / 3) * (pg + 10) ** 0.25 - 1.5
    surcharge = hd * min(0.13 * pg + 14, 30) / math.sqrt(1 / math.tan(math.radians(slope_deg)))
    return ps, ps + surcharge


def a_site(job, slope_deg=30.0, **changes):
    loads = changed_loads(US, ground_snow_pa=50 * PSF, snow_exposure="partially", thermal_factor=1.2, slippery=False)
    loads = changed_loads(loads, building_width_mm=120 * FT, **changes)
    roofs = tuple(replace(roof, slope_deg=slope_deg, purlins=Purlins(1350.0, 250.0)) for roof in job.roofs)
    return replace(job, roofs=roofs, site=replace(job.site, loads=loads))


def a_steep_job(direction, rails=2, ribs=None, array=None):
    laid = an_array(**({"x_mm": 2500.0, "y_mm": 1200.0, "rows": 3, "columns": 8} | (array or {})))
    roof = a_roof(eave_length_mm=150 * FT, slope_length_mm=35 * FT, arrays=(laid,), ribs=ribs or some_ribs())
    mounting = Mounting(arrangement="rail_on_side", rail_direction=direction, rails_per_row=rails)
    return a_site(a_job(roof, module=MODULE, mounting=mounting))


def loaded(job, choice):
    pressures = [find_pressures(job.site.loads, roof, job.module, SETTING) for roof in job.roofs]
    found = set_out_under_load(job, lay_out(job), choice, limits_for(job, choice), pressures)
    return pressures[0], found, find_reactions(job, report_loads(job, pressures, found), found.setting_out)


def reactions_in_pynite(line, loads):
    """Reactions of a line under loads of its stretches, N/mm, by the stiffness method."""
    beam = Beam(
        line.length_mm,
        line.attachments_mm,
        tuple((load,) for load in loads),
        tuple(stretch.end_mm for stretch in stretches_of(line)[:-1]),
    )
    model = in_pynite(beam)
    return [model.nodes[name].RxnFY["now"] for name in model.support_names]


JOBS = {
    "uneven ribs": ("along_ribs", 2, some_ribs(spacing_mm=287.0, first_at_mm=93.0), None),
    "three rails": ("across_ribs", 3, some_ribs(spacing_mm=333.3, first_at_mm=71.0), None),
    "two rails, ribs of a foot": ("across_ribs", 2, some_ribs(spacing_mm=304.8, first_at_mm=152.4), None),
    "a hole in the array": ("across_ribs", 2, some_ribs(spacing_mm=250.0), {"omit": frozenset({(1, 3), (1, 4)})}),
}


@pytest.mark.parametrize("name", JOBS)
def test_every_attachment_of_a_steep_snowy_job_is_recounted(name):
    direction, rails, ribs, array = JOBS[name]
    job = a_steep_job(direction, rails, ribs, array)
    choice = a_loaded_choice(bracket=STRONG, rail_direction=direction, rails_per_row=rails)
    pressures, found, _ = loaded(job, choice)
    snow = snow_of(30.0, 35 * math.cos(math.radians(30.0)))
    assert pressures.snow.design_plan_pa == pytest.approx(snow[0] * PSF, rel=1e-6)
    assert pressures.snow.drift_plan_pa == pytest.approx(snow[1] * PSF, rel=1e-6)
    met = set()
    for check in found.checks[:5]:
        line, lengths = check.line, tributary_lengths(check.line)
        cases, along = [], []
        for stretch in stretches_of(line):
            met.add(stretch.zone)
            area = lengths[stretch.attachment] * line.tributary_mm / 1e6
            normal, down_slope = allowable(stretch.zone, area, 30.0, snow)
            cases.append([each * line.tributary_mm * 1e-6 for each in normal])
            along.append(down_slope * line.tributary_mm * 1e-6)
        by_case = [reactions_in_pynite(line, loads) for loads in zip(*cases, strict=True)]
        for loads, forces in zip(zip(*cases, strict=True), by_case, strict=True):
            ends = [0.0, *(stretch.end_mm for stretch in stretches_of(line))]
            carried = sum(w * (b - a) for w, (a, b) in zip(loads, pairwise(ends), strict=True))
            assert sum(forces) == pytest.approx(carried, rel=1e-9)
        slope = reactions_in_pynite(line, along)
        if line.reversed_mm:
            continue
        for n, each in enumerate(check.attachments):
            forces = [case[n] for case in by_case]
            assert each.uplift_n == pytest.approx(max(-min(forces), 0.0), rel=1e-6, abs=1e-6)
            assert each.downward_n == pytest.approx(max(*forces, 0.0), rel=1e-6)
            assert each.along_most_n == pytest.approx(abs(slope[n]), rel=1e-6)
    assert len(met) > 1


def test_what_rails_on_uneven_ribs_carry_is_the_reaction_of_the_module():
    """Every column has its ribs elsewhere; each rail carries what PyNiteFEA gives the module's support there."""
    job = a_steep_job("along_ribs", 2, some_ribs(spacing_mm=287.0, first_at_mm=93.0))
    choice = a_loaded_choice(bracket=STRONG, rail_direction="along_ribs")
    _, found, _ = loaded(job, choice)
    array, columns = job.roofs[0].arrays[0], {}
    for run in found.setting_out.runs:
        columns.setdefault(run.line, {})[run.position] = run
    widths = set()
    for column, rails in columns.items():
        left = array.left_of(column, MODULE.width_mm)
        places = tuple(rails[position].start_x - left for position in sorted(rails))
        model = in_pynite(Beam(MODULE.width_mm, places, ((1.0,),)))
        carried = [model.nodes[name].RxnFY["now"] for name in model.support_names]
        assert [rails[position].tributary_mm for position in sorted(rails)] == pytest.approx(carried, rel=1e-8)
        widths.add(round(carried[0], 1))
    assert len(widths) > 1  # the ribs do lie differently under the columns


@pytest.mark.parametrize("rails", [2, 3])
def test_rails_with_several_expansion_gaps_are_rails_of_their_own(rails):
    """24 modules of 1052 mm in a row, 25.7 m, rails of 7 m at most: at least four parts, each with its own beam."""
    gaps = tuple((after, 80.0) for after in range(1, 24))
    job = a_steep_job("across_ribs", rails, some_ribs(spacing_mm=333.3), {"rows": 2, "columns": 24, "wider_gaps": gaps})
    choice = a_loaded_choice(bracket=STRONG, rails_per_row=rails)
    choice = replace(choice, expansion_splice=JOINT, rail=replace(choice.rail, max_continuous_length_mm=7000.0))
    _, found, _ = loaded(job, choice)
    rows = {}
    for run in found.setting_out.runs:
        rows.setdefault((run.line, run.position), []).append(run)
    for parts in rows.values():
        parts.sort(key=lambda run: run.part)
        assert len(parts) >= 4 and all(run.joined for run in parts[:-1]) and not parts[-1].joined
        assert all(run.length_mm <= 7000.0 and len(run.attachments_mm) >= 2 for run in parts)
        for before, after in pairwise(parts):
            assert after.start_x - (before.start_x + before.length_mm) == pytest.approx(20.0)
    for run, place in zip(found.setting_out.runs, found.check_of, strict=True):
        check = found.checks[place]
        assert check.line.length_mm == pytest.approx(run.length_mm)
        assert check.line.attachments_mm == run.attachments_mm
    snow = snow_of(30.0, 35 * math.cos(math.radians(30.0)))
    check = found.checks[0]
    line, lengths = check.line, tributary_lengths(check.line)
    loads = []
    for stretch in stretches_of(line):
        normal, _ = allowable(stretch.zone, lengths[stretch.attachment] * line.tributary_mm / 1e6, 30.0, snow)
        loads.append(normal[1] * line.tributary_mm * 1e-6)
    forces = reactions_in_pynite(line, loads)
    assert all(a.downward_n >= force * (1 - 1e-9) for a, force in zip(check.attachments, forces, strict=True))


def test_reactions_of_a_steep_roof_by_the_eurocode_are_those_of_its_lines():
    """Forces in all are those of PyNiteFEA for the pressures of each zone; purlin lines share all of them."""
    job = a_steep_job("along_ribs", 2, some_ribs(spacing_mm=287.0, first_at_mm=93.0))
    steep = changed_loads(EU, ground_snow_pa=3200.0, building_width_mm=120 * FT)
    job = replace(job, site=replace(job.site, loads=steep))
    job = replace(job, roofs=tuple(replace(roof, slope_deg=40.0) for roof in job.roofs))
    pressures, found, reactions = loaded(job, a_loaded_choice(bracket=STRONG, rail_direction="along_ribs"))
    (roof,) = reactions.roofs
    uplift = downward = 0.0
    for run, place in zip(found.setting_out.runs, found.check_of, strict=True):
        line, lengths = found.checks[place].line, tributary_lengths(found.checks[place].line)
        cases = []
        for stretch in stretches_of(line):
            area = lengths[stretch.attachment] * line.tributary_mm / 1e6
            cases.append(zone_pressures(pressures, stretch.zone, area).normal_pa[:, 0] * line.tributary_mm * 1e-6)
        by_case = [reactions_in_pynite(line, loads) for loads in zip(*cases, strict=True)]
        uplift += sum(max(-min(forces), 0.0) for forces in zip(*by_case, strict=True))
        downward += sum(max(*forces, 0.0) for forces in zip(*by_case, strict=True))
        assert run.axis == "y"
    assert roof.total.all_uplift_n == pytest.approx(uplift, rel=1e-8)
    assert roof.total.all_downward_n == pytest.approx(downward, rel=1e-8)
    assert sum(line.downward_n for line in roof.purlins) == pytest.approx(downward, rel=1e-8)
    # snow held back by the array: mu1 0.8 at any slope, s = 0.8 x 3.2 kN/m2. Source: EN 1991-1-3 5.3.2(2), from memory
    assert pressures.snow.design_plan_pa == pytest.approx(0.8 * 3200.0)


def test_inner_modules_of_a_hall_are_those_that_no_exposed_edge_reaches():
    """1.5 Lp = 2940 mm from a free edge that stands further than 0.5 h from the roof's. Source: ASCE 7-16 29.4.4."""
    job = a_steep_job("across_ribs", array={"x_mm": 8000.0, "y_mm": 800.0, "rows": 4, "columns": 20})
    (cells,) = exposed_cells(job.site.loads, job.roofs[0], MODULE, SETTING)
    pitch = 1052.0 + 20.0
    for column in range(20):
        reached = min(column * pitch, (19 - column) * pitch) < 2940.0
        assert ((0, column) in cells) == reached, column  # the eave stands nearer than 0.5 h to the lowest row
        assert (3, column) in cells  # the ridge shelters nothing
