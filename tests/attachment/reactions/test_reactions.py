"""What an array puts on the building, by hand and by equilibrium: reactions of a line are its loads (statics)."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimator.attachment.load_report import report_loads
from estimator.attachment.reactions import find_reactions
from estimator.attachment.reactions.purlins import shares_of
from estimator.job import Mounting, Purlins
from estimator.loads import find_pressures
from estimator.site_loads import GivenPressure
from tests.attachment.under_load.test_loaded import a_loaded_choice, a_loaded_job, set_out
from tests.builders import a_book, a_choice, a_job, a_roof, an_array, some_loads, some_ribs


def reactions_of(job, choice):
    pressures = [find_pressures(job.site.loads, roof, job.module) for roof in job.roofs]
    loaded = set_out(job, choice)
    return loaded, find_reactions(job, report_loads(job, pressures, loaded), loaded.setting_out)


def with_purlins(job, purlins):
    return replace(job, roofs=tuple(replace(roof, purlins=purlins) for roof in job.roofs))


def test_all_attachments_together_carry_what_lies_on_the_rails():
    """Six modules of 1000 x 1700 mm in a row on rails of 6200 mm (50 mm beyond the modules), half each: by hand.

    1000 Pa x 0.85 m x 6.2 m = 5270 N a rail, 10,540 N on both; 500 Pa downward half of it, 120 Pa along 1264.8 N.
    """
    job = a_loaded_job(uplift=1000.0, downward=500.0, along=120.0)
    loaded, found = reactions_of(job, a_loaded_choice())
    (roof,) = found.roofs
    assert [run.length_mm for run in loaded.setting_out.runs] == [6200.0, 6200.0]
    assert roof.total.all_uplift_n == pytest.approx(10_540.0)
    assert roof.total.all_downward_n == pytest.approx(5_270.0)
    assert roof.total.all_along_n == pytest.approx(1_264.8)
    assert roof.total.area_m2 == pytest.approx(10.54)
    assert (roof.total.uplift_pa, roof.total.downward_pa, roof.total.along_pa) == pytest.approx((1000, 500, 120))
    assert roof.total.attachments == sum(len(run.attachments_mm) for run in loaded.setting_out.runs)
    largest = max(-a.normal_n for check in loaded.checks for a in check.attachments)
    assert roof.total.uplift_n == pytest.approx(largest)
    assert [zone.zone for zone in roof.zones] == ["all"]


def test_purlin_lines_take_their_share_by_the_lever():
    """Rails at 500 + 0.22 x 1700 = 874 and 500 + 0.78 x 1700 = 1826 mm up the slope, purlins every 1200 mm from 0 on.

    874 lies between purlins at 0 and 1200: shares 0.2717 and 0.7283; 1826 between 1200 and 2400: 0.4783 and 0.5217. So
    of 5270 N each: 1431.7, 3838.3 + 2520.8 = 6359.1, 2749.2 N. The sum is all of it: 10,540 N. Worked by hand.
    """
    job = with_purlins(a_loaded_job(uplift=1000.0, downward=500.0), Purlins(1200.0))
    _, found = reactions_of(job, a_loaded_choice())
    lines = found.roofs[0].purlins
    assert [(line.number, line.y_mm) for line in lines] == [(1, 0.0), (2, 1200.0), (3, 2400.0)]
    assert [line.uplift_n for line in lines] == pytest.approx([1431.7, 6359.1, 2749.2], abs=0.1)
    assert sum(line.uplift_n for line in lines) == pytest.approx(10_540.0)
    assert sum(line.downward_n for line in lines) == pytest.approx(5_270.0)
    # evenly loaded rails: per metre about the force over 6.2 m, at attachments of longer spans somewhat more
    assert 1.0 <= lines[1].uplift_n_m / (6359.1 / 6.2) < 1.15


@pytest.mark.parametrize("direction", ["across_ribs", "along_ribs"])
@pytest.mark.parametrize("pitch", [300.0, 287.0])
def test_a_metre_of_purlin_takes_about_its_spacing_of_roof(direction, pitch):
    """Purlins 1500 mm apart amid a full array: 1.5 m x 1000 Pa = 1500 N/m, more by the beams' uneven reactions alone.

    Rails across lie every 760 or 960 mm; on rails up the slope attachments of all columns stand at the same heights, up
    to 1544 mm apart, so a purlin near one of these takes up to half as much again.
    """
    job = with_purlins(a_loaded_job(uplift=1000.0, downward=500.0, rows=4, columns=8), Purlins(1500.0))
    (plane,) = job.roofs
    job = replace(job, roofs=(replace(plane, slope_length_mm=9000.0, ribs=some_ribs(spacing_mm=pitch)),))
    _, found = reactions_of(job, a_loaded_choice(rail_direction=direction))
    amid = [line for line in found.roofs[0].purlins if 2000.0 < line.y_mm < 6000.0]
    assert len(amid) >= 2
    for line in amid:
        most = 1.25 if direction == "across_ribs" else 1.5
        assert 0.6 * 1500 < line.uplift_n / 8.2 < most * 1500
        assert line.uplift_n / 8.2 <= line.uplift_n_m < 1.2 * most * 1500


@pytest.mark.parametrize(
    ("y", "shares"), [(-50.0, [(0, 1.0)]), (1500.0, [(1, 1.0)]), (5900.0, [(3, 0.0667), (4, 0.9333)])]
)
def test_shares_of_purlins_are_those_of_a_lever_and_sum_to_one(y, shares):
    found = list(shares_of(y, Purlins(1500.0), Purlins(1500.0).count(6200.0)))
    assert [line for line, _ in found] == [line for line, _ in shares]
    assert [share for _, share in found] == pytest.approx([share for _, share in shares], abs=1e-4)
    assert sum(share for _, share in found) == pytest.approx(1.0)


ARRANGEMENTS = ("across_ribs", "along_ribs", "direct")


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    how=st.sampled_from(ARRANGEMENTS),
    rails=st.sampled_from([2, 3]),
    columns=st.integers(1, 9),
    rows=st.integers(1, 4),
    ribs=st.sampled_from([200.0, 250.0, 305.0, 333.0]),
    orientation=st.sampled_from(["portrait", "landscape"]),
    loads=st.tuples(st.floats(50, 1500), st.floats(50, 1500), st.floats(0, 400)),
)
def test_the_reactions_of_every_line_are_its_loads(how, rails, columns, rows, ribs, orientation, loads):
    """Equilibrium, for every arrangement: the sum of reactions is the pressure over the surface the line carries."""
    uplift, downward, along = loads
    direct = how == "direct"
    mounting = Mounting(
        arrangement="direct" if direct else "rail_on_side",
        rail_direction="across_ribs" if direct else how,
        rails_per_row=rails,
    )
    array = an_array(rows=rows, columns=columns, orientation=orientation)
    roof = a_roof(eave_length_mm=60_000.0, slope_length_mm=20_000.0, arrays=(array,), ribs=some_ribs(spacing_mm=ribs))
    site_loads = some_loads(pressures=(GivenPressure("all", uplift, downward, along),))
    job = a_job(roof, mounting=mounting)
    job = with_purlins(replace(job, site=replace(job.site, loads=site_loads)), Purlins(1500.0, 200.0))
    if direct:
        choice = a_choice(a_book(), arrangement="direct", rail=None)
    else:
        choice = a_loaded_choice(rail_direction=how, rails_per_row=rails)
    loaded, found = reactions_of(job, choice)
    for check in loaded.checks:
        line = check.line
        surface = line.length_mm * line.tributary_mm / 1e6
        turned = line.reversed_mm * line.length_mm / 1e6
        pulled = [a.uplift_n / uplift for a in check.attachments]
        pressed = [a.downward_n / downward for a in check.attachments]
        if pulled == pytest.approx(pressed, abs=1e-9):  # no attachment turns its sign, so all of them count once
            assert sum(pulled) == pytest.approx(max(surface, turned))
        else:
            assert min(sum(pulled), sum(pressed)) >= surface * (1 - 1e-9)
        assert sum(a.along_most_n for a in check.attachments) >= along * surface * (1 - 1e-9)
    for roof_found in found.roofs:
        assert sum(zone.sums.attachments for zone in roof_found.zones) == roof_found.total.attachments
        assert sum(each.uplift_n for each in roof_found.purlins) == pytest.approx(roof_found.total.all_uplift_n)
        assert sum(each.along_n for each in roof_found.purlins) == pytest.approx(roof_found.total.all_along_n, abs=1e-6)


def test_without_loads_there_are_no_reactions_and_that_is_said():
    job = a_job()
    _, found = reactions_of(job, a_loaded_choice())
    assert found.roofs == () and found.missing is not None and "No loads" in found.missing
