"""Setting out by each standard and method: every attachment holds, and the method's own strengths are used."""

from dataclasses import replace

import pytest

from estimator.job import Mounting
from estimator.site_loads import GivenPressure
from tests.attachment.under_load.lines.test_zones import a_windy_job
from tests.attachment.under_load.test_loaded import a_loaded_choice, a_loaded_job, errors, set_out, strong_in
from tests.builders import some_loads

SITES = {
    "asce7-16": some_loads(
        standard="asce7-16", wind_speed_m_s=50.0, exposure="B", mean_roof_height_mm=5000.0, roof_form="gable",
        building_length_mm=30_000.0, building_width_mm=15_680.0, ground_snow_pa=1200.0,
    ),
    "asce7-22": some_loads(
        standard="asce7-22", wind_speed_m_s=50.0, exposure="B", mean_roof_height_mm=5000.0, roof_form="gable",
        building_length_mm=30_000.0, building_width_mm=15_680.0, ground_snow_pa=1200.0,
    ),
    "en1991": some_loads(
        standard="en1991", wind_speed_m_s=25.0, terrain="II", mean_roof_height_mm=5000.0, roof_form="gable",
        building_length_mm=30_000.0, building_width_mm=15_680.0, ground_snow_pa=850.0,
    ),
}  # fmt: skip


@pytest.mark.parametrize(
    ("standard", "method"),
    [("asce7-16", "asd"), ("asce7-16", "lrfd"), ("asce7-22", "asd"), ("asce7-22", "lrfd"), ("en1991", "en")],
)
@pytest.mark.parametrize("direction", ["across_ribs", "along_ribs"])
def test_every_attachment_holds_by_each_standard(standard, method, direction):
    job = a_windy_job(columns=8)
    loads = SITES[standard] if standard == "en1991" else replace(SITES[standard], method=method)
    job = replace(job, site=replace(job.site, loads=loads))
    loaded = set_out(
        job, a_loaded_choice(rail_direction=direction, bracket={"tests": strong_in(2500.0, 4000.0, 2500.0)})
    )
    assert errors(loaded) == []
    used = [u for run in loaded.setting_out.runs for u in run.utilisations]
    assert 0.4 < max(used) <= 1.0
    assert loaded.strengths[0].capacity.method == method


def test_design_strengths_are_those_of_the_book_times_one_point_six_over_its_safety_factor():
    """AISI S100: Omega = 1.6 / phi [from memory]; the same pressures given as design loads then use 1/1.6 as much."""
    asd = set_out(a_loaded_job(), a_loaded_choice(), limits=None)
    job = a_loaded_job()
    lrfd = replace(job, site=replace(job.site, loads=replace(job.site.loads, method="lrfd")))
    designed = set_out(lrfd, a_loaded_choice())
    strengths = [each.strengths[0].capacity.strength("uplift").strength_n for each in (asd, designed)]
    assert strengths[1] == pytest.approx(1.6 * strengths[0])
    assert designed.spans[0].span_mm >= asd.spans[0].span_mm


def test_each_roof_has_loads_and_strengths_of_its_own():
    job = a_loaded_job(columns=12)
    thin = replace(job.roofs[0].sheet, thickness_mm=0.7)
    job = replace(job, roofs=(job.roofs[0], replace(job.roofs[0], name="North", sheet=thin)))
    choice = a_loaded_choice()
    stronger = tuple(replace(t, sheet_thickness_mm=0.7, ultimate_n=2 * t.ultimate_n) for t in choice.bracket.tests)
    choice = replace(choice, bracket=replace(choice.bracket, tests=(*choice.bracket.tests, *stronger)))
    loaded = set_out(job, choice)
    by_roof = {zone.roof: zone.span_mm for zone in loaded.spans}
    assert by_roof[1] > by_roof[0]
    counts = [sum(len(r.attachments_mm) for r in loaded.setting_out.runs if r.roof == n) for n in (0, 1)]
    assert counts[1] < counts[0]


def test_cells_left_out_part_the_rails_and_every_part_holds():
    holes = frozenset({(0, 3), (1, 0)})
    loaded = set_out(a_loaded_job(rows=2, columns=8, omit=holes), a_loaded_choice())
    assert len({run.length_mm for run in loaded.setting_out.runs}) > 1
    assert errors(loaded) == []
    assert all(len(run.attachments_mm) == len(run.utilisations) >= 2 for run in loaded.setting_out.runs)


def test_given_limits_of_an_engineer_without_loads_are_kept_and_nothing_is_checked():
    job = a_loaded_job(mounting=Mounting(arrangement="rail_on_side", max_span_mm=900.0, max_cantilever_mm=200.0))
    job = replace(job, site=replace(job.site, loads=some_loads()))
    run = set_out(job, a_loaded_choice()).setting_out.runs[0]
    assert max(b - a for a, b in zip(run.attachments_mm, run.attachments_mm[1:], strict=False)) <= 900.0
    assert run.utilisations == ()


def test_snow_alone_presses_on_brackets_tested_downward():
    job = a_loaded_job()
    job = replace(job, site=replace(job.site, loads=some_loads(pressures=(GivenPressure("all", 0.0, 2000.0),))))
    loaded = set_out(job, a_loaded_choice())
    assert loaded.spans[0].governs == "downward load on the bracket"
    assert errors(loaded) == []
