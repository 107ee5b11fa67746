"""Setting out where the load zones change along the rails: against exhaustive search and a finite-element library."""

from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.attachment import LimitSteps
from estimator.attachment.beam.solve import Beam
from estimator.attachment.under_load.lines.check import check_lines, stretches_of, tributary_lengths
from estimator.attachment.under_load.lines.explain import attachment_steps
from estimator.attachment.under_load.records import Line
from estimator.loads import effective_area_m2, zone_pressures
from tests.attachment.under_load.test_loaded import a_loaded_choice, errors, set_out, strong_in
from tests.builders import a_job, a_roof, an_array, some_loads, some_ribs
from tests.outside.beam_libraries import in_pynite

MPH = 0.44704


def a_windy_job(columns=4, rows=2, first=20.0, pitch=300.0, mph=115.0, x=600.0):
    """A gable roof by ASCE 7-16, its array near the left rake, so that rails cross from the rake strip inwards."""
    loads = some_loads(
        standard="asce7-16",
        wind_speed_m_s=mph * MPH,
        exposure="C",
        mean_roof_height_mm=5000.0,
        roof_form="gable",
        building_length_mm=30_000.0,
        building_width_mm=2 * 8000.0 * 0.98,
        ground_snow_pa=1000.0,
    )
    array = an_array(rows=rows, columns=columns, x_mm=x, y_mm=2600.0)
    roof = a_roof(
        eave_length_mm=30_000.0,
        slope_length_mm=8000.0,
        ribs=some_ribs(spacing_mm=pitch, first_at_mm=first),
        arrays=(array,),
    )
    job = a_job(roof)
    return replace(job, site=replace(job.site, loads=loads))


@cache
def two_zones():
    return set_out(a_windy_job(columns=10), a_loaded_choice(bracket={"tests": strong_in(uplift=1600.0)}))


def test_spans_are_shorter_in_the_strip_along_the_rake():
    loaded = two_zones()
    spans = {zone.zone: zone.span_mm for zone in loaded.spans}
    assert spans["2n"] < spans["1"]
    run = loaded.setting_out.runs[0]
    assert set(run.zones) == {"2n", "1"}
    assert errors(loaded) == []


def test_reactions_over_a_zone_border_are_those_of_a_finite_element_library():
    """PyNiteFEA, member loads by zone and attachment, the combination that governs each attachment."""
    loaded = two_zones()
    pressures, strength = loaded.pressures[0], loaded.strengths[0]
    check = loaded.checks[loaded.check_of[0]]
    line = check.line
    areas = effective_area_m2(pressures, tributary_lengths(line), line.tributary_mm)
    parts = stretches_of(line)
    names = {a.combination for a in check.attachments}
    for combination in names:
        loads = tuple(
            (zone_pressures(pressures, s.zone, areas[s.attachment]).normal_pa[combination, 0] * 850.0 * 1e-6,)
            for s in parts
        )
        beam = Beam(line.length_mm, line.attachments_mm, loads, tuple(s.end_mm for s in parts[:-1]), 5.568e9)
        model = in_pynite(beam)
        reactions = [model.nodes[name].RxnFY["now"] for name in model.support_names]
        for reaction, attachment in zip(reactions, check.attachments, strict=True):
            if attachment.combination == combination:
                assert attachment.normal_n == pytest.approx(reaction, rel=1e-9)
                allowed = strength.capacity.strength("uplift").strength_n
                assert attachment.utilisation == pytest.approx(
                    -reaction / allowed + attachment.along_n / 1500.0, rel=1e-9
                )


def test_a_smaller_tributary_area_is_pressed_harder():
    """ASCE 7-16 figures: coefficients grow as the effective area falls; ends of rails carry less area."""
    check = two_zones().checks[two_zones().check_of[0]]
    areas = [a.area_m2 for a in check.attachments]
    expected = np.array(tributary_lengths(check.line)) * 850.0 / 1e6
    assert areas == pytest.approx(expected.tolist())
    assert areas[0] == min(areas)


@settings(max_examples=25, deadline=None)
@given(
    pitch=st.sampled_from([250.0, 300.0, 406.4]),
    first=st.integers(0, 150),
    columns=st.integers(1, 4),
    mph=st.integers(95, 150),
    strength=st.integers(700, 2500),
)
def test_no_choice_of_fewer_ribs_holds_where_zones_change(pitch, first, columns, mph, strength):
    job = a_windy_job(columns, 1, float(first), pitch, float(mph), x=1200.0)
    loaded = set_out(job, a_loaded_choice(bracket={"tests": strong_in(uplift=float(strength))}))
    run = loaded.setting_out.runs[0]
    check = loaded.checks[loaded.check_of[0]]
    line = check.line
    zones = {zone.zone: zone for zone in loaded.spans}
    spans = LimitSteps(line.borders_mm, tuple(zones[z].span_mm or zones[z].free_mm for z in line.zones))
    cantilevers = LimitSteps(line.borders_mm, tuple(zones[z].cantilever_mm for z in line.zones))
    under = [first + k * pitch - run.start_x for k in range(400)]
    under = [x for x in under if 0 <= x <= run.length_mm]
    failing = bool(errors(loaded))
    for count in range(2, len(under) + 1 if failing else len(run.attachments_mm)):
        choices = [c for c in combinations(under, count) if keeps(c, line.length_mm, spans, cantilevers)]
        lines = [Line(line.length_mm, c, line.tributary_mm, line.borders_mm, line.zones) for c in choices[:2000]]
        found = check_lines(lines, loaded.pressures[0], loaded.strengths[0])
        assert all(each.worst > 1.0 for each in found)
    if not failing:
        assert check.worst <= 1.0 + 1e-9


def keeps(chosen, length, spans, cantilevers):
    def within(a, b, limit):
        return b - a <= limit.least(a, b) + 0.001

    return (
        within(0.0, chosen[0], cantilevers)
        and within(chosen[-1], length, cantilevers)
        and all(within(a, b, spans) for a, b in pairwise(chosen))
    )


def test_a_utilisation_is_told_back_to_its_pressure_and_its_strength():
    loaded = two_zones()
    check = loaded.checks[loaded.check_of[0]]
    steps = attachment_steps(loaded.pressures[0], loaded.strengths[0], check, 1)
    named = {step.symbol: step for step in steps}
    assert (named["gammaa"].clause.kind, named["gammaa"].clause.number) == ("figure", "29.4-8")
    assert named["A"].value == pytest.approx(check.attachments[1].area_m2 / 0.3048**2)
    used = abs(named["R"].value) / named["Ra"].value + abs(named["V"].value) / named["Va"].value
    assert named["utilisation"].value == pytest.approx(used)


def test_only_the_lines_that_stand_at_last_are_kept():
    loaded = two_zones()
    assert set(loaded.check_of) == set(range(len(loaded.checks)))
    for run, place in zip(loaded.setting_out.runs, loaded.check_of, strict=True):
        assert loaded.checks[place].line.attachments_mm == run.attachments_mm
