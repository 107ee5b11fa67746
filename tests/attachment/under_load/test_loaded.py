"""Setting out under load: limits by zone, fewest attachments, every one checked with its real reaction."""

from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.attachment import limits_for
from estimator.attachment.beam.solve import Beam, solve_beams
from estimator.attachment.under_load.lines.check import check_lines, may_hold
from estimator.attachment.under_load.records import Line
from estimator.attachment.under_load.setting_out import set_out_under_load
from estimator.job import Mounting
from estimator.layout import lay_out
from estimator.loads import find_pressures
from estimator.mounting.words import GIVEN
from estimator.pricebook import StrengthTest
from estimator.site_loads import GivenPressure
from tests.builders import a_book, a_bracket, a_choice, a_job, a_rail, a_roof, an_array, some_loads, some_ribs
from tests.facts import facts


def strong_in(uplift=1500.0, downward=1500.0, along=1500.0, sheet="steel"):
    """Allowable strengths of a bracket in the fixture's sheet."""
    pairs = (("uplift", uplift), ("downward", downward), ("along_slope", along))
    return tuple(
        StrengthTest("B-AL", sheet, 0.4555, 448.0, way, 3 * n, safety_factor=3.0, characteristic_n=2 * n)
        for way, n in pairs
        if n
    )


def a_loaded_job(uplift=1000.0, downward=500.0, along=0.0, mounting=None, **array):
    loads = some_loads(pressures=(GivenPressure("all", uplift, downward, along),))
    roof = a_roof(eave_length_mm=60_000.0, arrays=(an_array(**({"rows": 1, "columns": 6} | array)),))
    job = a_job(roof, mounting=mounting)
    return replace(job, site=replace(job.site, loads=loads))


def a_loaded_choice(code="AL", rail=(), bracket=(), **changes):
    book = a_book()
    bracket = {"tests": strong_in(), "max_span_mm": 2400.0} | dict(bracket)
    rail = {"max_span_mm": 2400.0, "deflection_ratio": 0.0} | dict(rail)
    return a_choice(book, bracket=a_bracket(**bracket), rail=a_rail(**rail), **changes)


def set_out(job, choice, limits=None):
    pressures = [find_pressures(job.site.loads, roof, job.module) for roof in job.roofs]
    return set_out_under_load(job, lay_out(job), choice, limits or limits_for(job, choice), pressures)


def errors(loaded):
    return [f for f in loaded.setting_out.findings if f.severity == "error"]


def test_the_span_is_the_longest_of_whole_ribs_whose_reaction_the_bracket_takes():
    """8/7 w L against 1500 N with w = 0.85 N/mm: L up to 1544 mm, five ribs of 300 mm. Worked by hand."""
    loaded = set_out(a_loaded_job(), a_loaded_choice())
    (zone,) = loaded.spans
    assert (zone.ribs, zone.span_mm, zone.governs) == (5, 1500.0, "uplift at the bracket")
    assert (zone.uplift_pa, zone.downward_pa) == (-1000.0, 500.0)


def test_bending_governs_a_weak_rail():
    """3/28 w L2 against 0.5e6 N mm with w = 0.85 N/mm: L up to 2343 mm; against 0.1e6: 1047 mm, three ribs."""
    weak = {"section_modulus_mm3": 1000.0, "allowable_stress_mpa": 100.0}
    loaded = set_out(a_loaded_job(), a_loaded_choice(rail=weak))
    (zone,) = loaded.spans
    assert (zone.ribs, zone.governs) == (3, "bending of the rail")


def test_deflection_governs_a_limp_rail():
    """0.006884 w L4 / EI against L / 120 with w = 0.85 N/mm, EI = 5.568e8: L up to 923 mm, three ribs."""
    loaded = set_out(a_loaded_job(), a_loaded_choice(rail={"deflection_ratio": 120.0, "inertia_mm4": 8000.0}))
    (zone,) = loaded.spans
    assert zone.governs == "deflection of the rail"
    assert zone.ribs == int((5.568e8 / (0.006884 * 0.85 * 120)) ** (1 / 3) / 300)


def test_the_span_of_the_book_stands_where_the_loads_allow_more():
    loaded = set_out(a_loaded_job(uplift=100.0), a_loaded_choice(rail={"max_span_mm": 1250.0}))
    assert loaded.spans[0].governs == "rail R-AL"
    assert loaded.spans[0].span_mm == 1200.0


def test_every_attachment_carries_its_own_utilisation_from_the_beam_as_set_out():
    loaded = set_out(a_loaded_job(along=40.0), a_loaded_choice())
    run = loaded.setting_out.runs[0]
    solved = solve_beams([Beam(run.length_mm, run.attachments_mm, ((-0.85, 0.85 * 0.04),))])
    expected = -solved.reactions_n[:, 0] / 1500 + solved.reactions_n[:, 1] / 1500
    assert run.utilisations == pytest.approx(expected.tolist())
    assert run.zones == ("all",) * len(run.attachments_mm)
    assert errors(loaded) == []


def test_a_rail_of_two_spans_is_tightened_because_its_middle_bracket_takes_five_quarters():
    """Two spans of 1500: 1.25 x 0.85 x 1500 = 1594 N on a bracket of 1500 N."""
    job = a_loaded_job(columns=3)
    loaded = set_out(job, a_loaded_choice())
    assert loaded.spans[0].span_mm == 1500.0
    for run in loaded.setting_out.runs:
        assert max(run.utilisations) <= 1.0
    assert errors(loaded) == []


def test_spans_given_in_the_job_are_used_as_given_and_checked():
    job = a_loaded_job(uplift=1400.0, mounting=Mounting(arrangement="rail_on_side", max_span_mm=1800.0))
    choice = a_loaded_choice()
    loaded = set_out(job, choice)
    assert limits_for(job, choice).span_source == GIVEN
    assert loaded.spans[0].span_mm == 1800.0
    spans = [b - a for a, b in pairwise(loaded.setting_out.runs[0].attachments_mm)]
    assert max(spans) == 1500.0  # five spans of 1500 leave less than 350 at either end
    (error,) = errors(loaded)
    assert error.code == "attachment_overloaded"
    assert error.found > 1.0
    assert error.found == pytest.approx(max(max(run.utilisations) for run in loaded.setting_out.runs))


def test_ribs_too_far_apart_for_any_span_say_what_would_help():
    job = a_loaded_job(uplift=4000.0)
    job = replace(job, roofs=(replace(job.roofs[0], ribs=some_ribs(spacing_mm=914.4)),), display_units="us")
    loaded = set_out(job, a_loaded_choice(bracket={"tests": strong_in(uplift=1000.0)}))
    codes = {f.code for f in errors(loaded)}
    assert "no_span_holds" in codes
    (finding,) = [f for f in errors(loaded) if f.code == "no_span_holds"]
    assert finding.found == 914.4 and 914.4 in facts(finding.message)
    assert "attachment_overloaded" in codes


def test_a_sheet_without_tested_strength_is_an_error_and_no_utilisation_is_stated():
    choice = a_loaded_choice(bracket={"tests": strong_in(sheet="foam_core_steel")})
    loaded = set_out(a_loaded_job(), choice)
    assert "no_strength_uplift" in {f.code for f in errors(loaded)}
    assert all(run.utilisations == () for run in loaded.setting_out.runs)
    assert loaded.zones[0].utilisation is None


def test_without_loads_the_limits_of_the_book_serve():
    job = replace(a_loaded_job(), site=a_job().site)
    loaded = set_out(job, a_loaded_choice())
    assert loaded.checks == ()
    assert loaded.setting_out.runs[0].attachments_mm


def test_rails_along_the_ribs_are_evenly_spaced_and_hold():
    job = a_loaded_job(rows=3, columns=2)
    loaded = set_out(job, a_loaded_choice(rail_direction="along_ribs"))
    run = loaded.setting_out.runs[0]
    assert loaded.spans[0].ribs is None
    spans = [b - a for a, b in pairwise(run.attachments_mm)]
    assert max(spans) - min(spans) < 1e-3
    assert max(run.utilisations) <= 1.0
    assert errors(loaded) == []


def test_neighbouring_rails_are_staggered_under_load_as_well():
    plain = set_out(a_loaded_job(rows=2, columns=5), a_loaded_choice())
    loaded = set_out(a_loaded_job(rows=2, columns=5), a_loaded_choice(stagger=True))
    first, second = loaded.setting_out.runs[:2]
    assert set(first.attachments_mm) != set(second.attachments_mm)
    count = [sum(len(run.attachments_mm) for run in each.setting_out.runs) for each in (plain, loaded)]
    assert count[0] == count[1]
    assert max(max(run.utilisations) for run in loaded.setting_out.runs) <= 1.0


def test_worst_utilisation_and_count_of_each_zone_are_those_of_its_attachments():
    loaded = set_out(a_loaded_job(rows=3), a_loaded_choice())
    (zone,) = loaded.zones
    used = [u for run in loaded.setting_out.runs for u in run.utilisations]
    assert (zone.attachments, zone.utilisation) == (len(used), max(used))


def test_a_clamp_pulled_harder_than_it_may_be_is_an_error():
    choice = a_loaded_choice()
    weak = replace(choice, mid_clamp=replace(choice.mid_clamp, allowable_n=800.0))
    (error,) = errors(set_out(a_loaded_job(), weak))
    assert error.code == "clamp_overloaded"
    assert error.found == pytest.approx(1000.0 * 1.0 * 0.85)


@settings(max_examples=40, deadline=None)
@given(
    pitch=st.sampled_from([200.0, 300.0, 406.4]),
    first=st.integers(0, 150),
    columns=st.integers(1, 4),
    uplift=st.integers(300, 2500),
    strength=st.integers(600, 3000),
)
def test_no_choice_of_fewer_ribs_keeps_the_spans_of_its_zone(pitch, first, columns, uplift, strength):
    job = a_loaded_job(uplift=float(uplift), columns=columns)
    ribs = some_ribs(spacing_mm=pitch, first_at_mm=float(first))
    job = replace(job, roofs=(replace(job.roofs[0], ribs=ribs),))
    loaded = set_out(job, a_loaded_choice(bracket={"tests": strong_in(uplift=float(strength))}))
    if errors(loaded):
        return
    run, zone = loaded.setting_out.runs[0], loaded.spans[0]
    assert max(run.utilisations) <= 1.0 + 1e-9
    under = [first + k * pitch - run.start_x for k in range(300)]
    under = [x for x in under if 0 <= x <= run.length_mm]
    for fewer in range(2, len(run.attachments_mm)):
        for chosen in combinations(under, fewer):
            if not keeps(chosen, run.length_mm, zone.span_mm, zone.cantilever_mm):
                continue
            line = Line(run.length_mm, chosen, run.tributary_mm, (), ("all",))
            (check,) = check_lines([line], loaded.pressures[0], loaded.strengths[0])
            assert check.worst > 1.0, chosen


@settings(max_examples=30, deadline=None)
@given(data=st.data(), uplift=st.integers(300, 2500), along=st.integers(0, 300), strength=st.integers(600, 3000))
def test_what_is_left_out_quickly_never_holds(data, uplift, along, strength):
    """What is left out fails its whole check, too; what an attachment carries too much of is always left out."""
    job = a_loaded_job(uplift=float(uplift), along=float(along), columns=3)
    choice = a_loaded_choice(bracket={"tests": strong_in(uplift=float(strength), along=900.0)})
    loaded = set_out(job, choice)
    stands = st.lists(st.integers(1, 29), min_size=2, max_size=8, unique=True)
    lines = [
        Line(3000.0, tuple(100.0 * x for x in sorted(data.draw(stands))), 850.0, (), ("all",), reverse)
        for reverse in (0.0, 200.0, 900.0)
    ]
    good = may_hold(lines, loaded.pressures[0], loaded.strengths[0])
    checks = check_lines(lines, loaded.pressures[0], loaded.strengths[0])
    for may, check in zip(good, checks, strict=True):
        carried = max(attachment.utilisation for attachment in check.attachments)
        assert may or check.worst > 1.0
        assert not may or carried <= 1.0 + 2e-6


def keeps(chosen, length, span, cantilever):
    return (
        chosen[0] <= cantilever + 0.001
        and length - chosen[-1] <= cantilever + 0.001
        and all(b - a <= span + 0.001 for a, b in pairwise(chosen))
    )


def test_a_module_edge_held_without_rail_shares_its_load_as_a_beam_does():
    """Half a module (0.85 m) at 1000 Pa on an edge 1 m long, seats at 350 and 650 mm: 425 N each at an outer edge."""
    job = a_loaded_job(columns=1, mounting=Mounting(arrangement="direct"))
    choice = a_loaded_choice(arrangement="direct", rail_direction="across_ribs")
    loaded = set_out(job, choice)
    first, second = loaded.setting_out.seats[:2]
    x = np.array([first.x, second.x]) - 1000.0
    force = 1000.0 * 0.85 * 1.0
    right = force * (500.0 - x[0]) / (x[1] - x[0])
    assert [first.utilisation, second.utilisation] == pytest.approx([(force - right) / 1500, right / 1500])
    assert errors(loaded) == []


def test_an_edge_that_asks_for_more_seats_gets_them_while_ribs_last():
    job = a_loaded_job(columns=1, mounting=Mounting(arrangement="direct"))
    job = replace(job, roofs=(replace(job.roofs[0], ribs=some_ribs(spacing_mm=200.0, first_at_mm=100.0)),))
    choice = a_loaded_choice(arrangement="direct", bracket={"tests": strong_in(uplift=400.0)})
    loaded = set_out(job, choice)
    assert len(loaded.setting_out.seats) > 4
    assert errors(loaded) == []
    weaker = a_loaded_choice(arrangement="direct", bracket={"tests": strong_in(uplift=100.0)})
    (error,) = errors(set_out(job, weaker))
    assert error.code == "attachment_overloaded"


def test_a_weak_clamp_governs_an_edge_without_rail():
    job = a_loaded_job(columns=1, mounting=Mounting(arrangement="direct"))
    choice = a_loaded_choice(arrangement="direct")
    choice = replace(choice, end_clamp=replace(choice.end_clamp, allowable_n=150.0))
    loaded = set_out(job, choice)
    assert errors(loaded)[0].found == pytest.approx(max(seat.utilisation for seat in loaded.setting_out.seats))
