"""The edge factor of ASCE 7 clause 29.4.4, cell by cell: 1.5 for exposed modules, 1.0 for the others (uplift only)."""

from dataclasses import replace

import pytest

from estimator.attachment import limits_for
from estimator.attachment.load_report import report_loads
from estimator.attachment.under_load.setting_out import set_out_under_load
from estimator.job import Mounting
from estimator.layout import lay_out
from estimator.loads import PanelSetting, exposed_cells, find_pressures, zone_pressures
from estimator.loads.zoning.inner_cells import with_inner
from tests.attachment.under_load.test_loaded import a_loaded_choice
from tests.builders import a_book, a_choice, a_job, a_module, a_roof, an_array, changed_loads
from tests.loads.cases import FT, US

SETTING = PanelSetting(height_mm=150.0)


def a_hall(mounting=None, **array):
    """9 x 22 modules amid a roof whose edges are further than half its height from them."""
    laid = an_array(**({"x_mm": 8000.0, "y_mm": 5000.0, "rows": 9, "columns": 22} | array))
    roof = a_roof(eave_length_mm=170 * FT, slope_length_mm=85 * FT, slope_deg=14.036, arrays=(laid,))
    loads = changed_loads(US, mean_roof_height_mm=15 * FT, building_width_mm=180 * FT, ground_snow_pa=0.0)
    job = a_job(roof, mounting=mounting)
    return replace(job, site=replace(job.site, loads=loads))


def loaded(job, choice):
    pressures = [find_pressures(job.site.loads, roof, job.module, SETTING) for roof in job.roofs]
    found = set_out_under_load(job, lay_out(job), choice, limits_for(job, choice), pressures)
    return pressures[0], found, report_loads(job, pressures, found)


@pytest.mark.parametrize("direction", ["across_ribs", "along_ribs"])
def test_attachments_under_inner_modules_carry_the_factor_of_inner_modules(direction):
    job = a_hall(Mounting(rail_direction=direction))
    choice = a_loaded_choice(rail_direction=direction)
    _, found, report = loaded(job, choice)
    array, module = job.roofs[0].arrays[0], job.module
    (exposed,) = exposed_cells(job.site.loads, job.roofs[0], module, SETTING)
    assert 0 < len(exposed) < array.rows * array.columns
    met = set()
    for run in found.setting_out.runs:
        for at, zone in zip(run.attachments_mm, run.zones, strict=True):
            if run.axis == "x":
                pitch, first = module.width_mm + array.gap_x_mm, array.x_mm - array.gap_x_mm / 2
                cell = (run.line, min(max(int((run.start_x + at - first) // pitch), 0), array.columns - 1))
            else:
                pitch, first = module.length_mm + array.gap_y_mm, array.y_mm - array.gap_y_mm / 2
                cell = (min(max(int((run.start_y + at - first) // pitch), 0), array.rows - 1), run.line)
            met.add((cell in exposed, zone.endswith(" inner")))
    assert met == {(True, False), (False, True)}
    sheets = {zone.zone: zone for zone in report.roofs[0].sheet.zones}
    assert (sheets["1"].gamma_e, sheets["1 inner"].gamma_e) == (1.5, 1.0)


def test_the_reaction_amid_the_array_is_two_thirds_of_that_of_an_exposed_module():
    """Without snow and dead load uplift is proportional to gammaE. Source: ASCE 7-16 Eq. 29.4-7."""
    job = a_hall()
    job = replace(job, module=replace(job.module, mass_kg=1e-9))
    pressures, found, _ = loaded(job, a_loaded_choice(bracket={"max_span_mm": 1200.0}))
    inner = next(check for check in found.checks if "1 inner" in check.line.zones)
    forces = {}
    for each, left, right in zip(inner.attachments, inner.fields, inner.fields[1:], strict=False):
        if not left.cantilever and not right.cantilever:
            forces.setdefault((each.zone, round(each.area_m2, 6)), []).append(-each.normal_n)
    amid = {zone: min(values) if zone.endswith("inner") else max(values) for (zone, _), values in forces.items()}
    assert amid["1 inner"] < amid["1"]
    exposed, inside = (zone_pressures(pressures, zone, 0.9) for zone in ("1", "1 inner"))
    assert float(inside.wind_uplift_pa[0]) == pytest.approx(float(exposed.wind_uplift_pa[0]) / 1.5, rel=1e-12)
    assert float(inside.wind_downward_pa[0]) == float(exposed.wind_downward_pa[0])


def test_a_module_edge_held_without_rail_is_inner_where_both_its_modules_are():
    job = a_hall(Mounting(arrangement="direct"), rows=9)
    choice = a_choice(a_book(), arrangement="direct", rail=None)
    _, found, report = loaded(job, choice)
    sheets = {zone.zone: zone.area_m2 for zone in report.roofs[0].sheet.zones}
    for check in found.checks:  # pressures are shown at the area they are checked at, not at a whole module's
        assert all(sheets[each.zone] <= each.area_m2 + 1e-12 for each in check.attachments)
    (exposed,) = exposed_cells(job.site.loads, job.roofs[0], job.module, SETTING)
    rows, columns = job.roofs[0].arrays[0].rows, job.roofs[0].arrays[0].columns
    cells = {(r, c) for r in range(rows) for c in range(columns)}
    seats = [seat for seat in found.setting_out.seats if seat.zone]
    assert seats
    for seat in seats:
        beside = {(seat.seam - 1, seat.column), (seat.seam, seat.column)} & cells
        assert seat.zone.endswith(" inner") == (not beside & exposed), seat


@pytest.mark.parametrize("change", [{"height_mm": 300.0}, {"tilt_to_roof_deg": 5.0}, {"height_mm": None}])
def test_beyond_the_limits_of_the_clause_every_module_counts_as_exposed(change):
    job = a_hall()
    pressures = find_pressures(job.site.loads, job.roofs[0], job.module, replace(SETTING, **change))
    assert pressures.inner == ()
    assert "edge_factor_distances" not in {finding.code for finding in pressures.findings}


def test_a_module_longer_than_the_clause_covers_counts_as_exposed_everywhere():
    """Source: ASCE 7 29.4.4, gaps at most 6.7 ft (2042 mm) apart."""
    job = replace(a_hall(rows=7), module=a_module(length_mm=2278.0))
    assert find_pressures(job.site.loads, job.roofs[0], job.module, SETTING).inner == ()


def test_a_zone_without_inner_loads_keeps_its_own():
    assert with_inner(((), ("3e",)), (), (True,), frozenset({"1 inner"})) == ((), ("3e",))
    changing = with_inner(((900.0,), ("2n", "1")), (300.0, 1500.0), (False, True, False), frozenset({"1 inner"}))
    assert changing == ((900.0, 1500.0), ("2n", "1 inner", "1"))
