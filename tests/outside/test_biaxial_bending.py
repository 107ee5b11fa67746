"""Rails bent about both axes against PyNiteFEA: a member in space under loads square to the roof and along it."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from Pynite import FEModel3D

from estimator.attachment.under_load.lines.check import PA_MM, check_lines
from estimator.attachment.under_load.records import Line
from tests.attachment.under_load.test_loaded import a_loaded_choice, a_loaded_job, set_out

LINES = {
    "one span": Line(2000.0, (200.0, 1800.0), 900.0, (), ("all",)),
    "uneven spans": Line(5000.0, (350.0, 1550.0, 2150.0, 4700.0), 850.0, (), ("all",)),
    "no overhang": Line(3600.0, (0.0, 1200.0, 2400.0, 3600.0), 567.0, (), ("all",)),
}
E_MPA, I_Y, I_Z, W_Y, W_Z = 69_600.0, 80_000.0, 46_000.0, 3_600.0, 2_100.0


def a_weak_rail(**changes):
    return {"weak_inertia_mm4": I_Z, "weak_section_modulus_mm3": W_Z, "deflection_ratio": 180.0} | changes


def in_space(line, square, along):
    """Loads in N/mm downward (-y) and along the slope (z), both held at every attachment."""
    model = FEModel3D()
    model.add_material("m", E_MPA, 27_000.0, 0.3, 0.0)
    model.add_section("s", 300.0, I_Z, I_Y, 1000.0)  # Iy bends along z, Iz along y
    places = sorted({0.0, line.length_mm, *line.attachments_mm})
    for x in places:
        model.add_node(f"N{x}", x, 0, 0)
    for number, x in enumerate(line.attachments_mm):
        model.def_support(f"N{x}", number == 0, True, True, number == 0, False, False)
    model.add_member("rail", f"N{places[0]}", f"N{places[-1]}", "m", "s")
    model.add_member_dist_load("rail", "Fy", -square, -square, case="L")
    model.add_member_dist_load("rail", "Fz", along, along, case="L")
    model.add_load_combo("now", {"L": 1.0})
    model.analyze_linear(check_stability=False)
    return model


def largest_together(model, line, limits):
    """The largest |My| / limit + |Mz| / limit in each field: parabolas through three points, with their vertex."""
    member, found = model.members["rail"], []
    edges = (0.0, *line.attachments_mm, line.length_mm)
    for start, end in pairwise(edges):
        if end == start:
            found.append(0.0)
            continue
        # just inside the field: PyNite parts members at their nodes
        at = np.linspace(start + 1e-9 * line.length_mm, end - 1e-9 * line.length_mm, 3)
        about = [[member.moment(axis, x, "now") for x in at] for axis in ("Mz", "My")]
        most = 0.0
        for sign in (1.0, -1.0):
            values = [m / limits[0] + sign * n / limits[1] for m, n in zip(*about, strict=True)]
            curve = np.polyfit(at - start, values, 2)
            tops = [each for each in (-curve[1] / (2 * curve[0]),) if 0 <= each <= end - start]
            most = max(most, *(abs(np.polyval(curve, x)) for x in (0.0, end - start, *tops)))
        found.append(most)
    return found


@pytest.mark.parametrize("name", LINES)
@pytest.mark.parametrize(("uplift", "downward", "along"), [(1000.0, 500.0, 400.0), (200.0, 1800.0, 900.0)])
def test_bending_about_both_axes_is_that_of_a_beam_in_space(name, uplift, downward, along):
    line, job = LINES[name], a_loaded_job(uplift=uplift, downward=downward, along=along)
    loaded = set_out(job, a_loaded_choice(rail=a_weak_rail()))
    strength = loaded.strengths[0]
    assert strength.both_axes
    (check,) = check_lines([line], loaded.pressures[0], strength)
    limits = (strength.moment_n_mm, strength.weak_moment_n_mm)
    w = [value * line.tributary_mm * PA_MM for value in (-uplift, downward, along)]
    cases = [in_space(line, square, w[2]) for square in w[:2]]
    together = np.max([largest_together(model, line, limits) for model in cases], axis=0)
    mine = [field.bending for field in check.fields]
    assert mine == pytest.approx(list(together), rel=1e-8, abs=1e-12)
    stronger = replace(strength, weak_moment_n_mm=float("inf"), weak_stiffness_n_mm2=float("inf"))
    (alone,) = check_lines([line], loaded.pressures[0], stronger)
    assert all(a.bending <= b.bending + 1e-12 for a, b in zip(alone.fields, check.fields, strict=True))
    assert max(b.bending for b in check.fields) > 1.2 * max(a.bending for a in alone.fields)


def test_deflection_about_both_axes_is_that_of_a_beam_in_space():
    line, job = LINES["one span"], a_loaded_job(uplift=1000.0, downward=500.0, along=400.0)
    loaded = set_out(job, a_loaded_choice(rail=a_weak_rail()))
    (check,) = check_lines([line], loaded.pressures[0], loaded.strengths[0])
    w = [value * line.tributary_mm * PA_MM for value in (1000.0, 400.0)]
    member = in_space(line, *w).members["rail"]
    span = check.fields[1]
    for axis, mine in (("dy", span.deflection_mm), ("dz", span.weak_deflection_mm)):
        assert abs(mine) == pytest.approx(abs(member.deflection(axis, 1000.0, "now")), rel=1e-8)
    assert span.deflection == pytest.approx(np.hypot(span.deflection_mm, span.weak_deflection_mm) / (1600.0 / 180.0))


def test_rails_along_the_ribs_are_not_bent_by_forces_along_the_slope():
    job = a_loaded_job(along=400.0)
    loaded = set_out(job, a_loaded_choice(rail=a_weak_rail(), rail_direction="along_ribs"))
    assert not loaded.strengths[0].both_axes


def test_a_rail_without_values_of_its_weak_axis_is_said_to_be_not_checked():
    said = [
        [f.severity for f in set_out(a_loaded_job(along=along), a_loaded_choice()).setting_out.findings
         if f.code == "weak_axis_not_checked"]
        for along in (400.0, 0.0)
    ]  # fmt: skip
    assert said == [["warning"], []]


def test_spans_are_shorter_where_the_slope_pushes():
    """By hand: w L2 3/28 (1000 Pa / M_y + 800 Pa / M_z) = 1 over 850 mm of module; stress 170 / 1.65 N/mm2 (ADM)."""
    strong = {"tests": (), "screws": None, "max_span_mm": 6000.0}
    choice = a_loaded_choice(rail=a_weak_rail(deflection_ratio=0.0, max_span_mm=6000.0), bracket=strong)
    job = a_loaded_job(uplift=1000.0, downward=0.0, along=800.0)
    (zone,) = set_out(job, choice).spans
    stress = 170.0 / 1.65
    w = 0.85 * 3 / 28 * (1.0 / (W_Y * stress) + 0.8 / (W_Z * stress))
    assert zone.free_mm == pytest.approx(w**-0.5, abs=1.0)
