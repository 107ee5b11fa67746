import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.loads.asce7.wind.gcp_7_16 import coefficients_7_16
from estimator.loads.asce7.wind.gcp_7_22 import coefficients_7_22
from estimator.loads.asce7.wind.zone_layouts import lay_zones, zone_width
from estimator.loads.en1991.zones import lay_zones_en, strip_width
from estimator.loads.zoning.plane import Plane
from estimator.loads.zoning.polygons import HalfPlane, area, cut, rectangle
from estimator.loads.zoning.zone_map import OFF_THE_PLANE, Piece, ZoneMap, part_up_slope, zone_at, zones_along

FT = 304.8
H, L = 20 * FT, 60 * FT


def _zones(form, slope, edition="7-16", eave=150 * FT, run=30 * FT):
    plane = Plane(eave, run / np.cos(np.radians(slope)), slope, form)
    roof = coefficients_7_16(form, slope, H / L) if edition == "7-16" else coefficients_7_22(form, slope)
    return plane, lay_zones(plane, roof, zone_width(L, H), H)


def _at(zone_map, x, y):
    index = int(zone_at(zone_map, x, y))
    return "" if index == OFF_THE_PLANE else zone_map.zones[index]


def test_low_slope_bands_are_measured_in_heights():
    # Source: ASCE 7-16 and 7-22 Figure 30.3-2A: h 20 ft: 0.6h 12 ft, 1.2h 24 ft, 0.2h 4 ft
    _, zones = _zones("flat", 0.0, run=100 * FT)
    middle = 75 * FT
    assert [_at(zones, middle, y * FT) for y in (1, 11.9, 12.1, 23.9, 24.1, 50)] == ["2", "2", "1", "1", "1'", "1'"]
    assert [_at(zones, x * FT, 3.9 * FT) for x in (1, 11.9, 12.1)] == ["3", "3", "2"]
    assert [_at(zones, 3.9 * FT, y * FT) for y in (1, 11.9, 12.1)] == ["3", "3", "2"]
    assert _at(zones, 6 * FT, 6 * FT) == "2"  # the corner is an L, not a square


def test_the_ridge_of_a_low_gable_is_no_edge_of_the_roof():
    # Source: ASCE 7-16 Figure 30.3-2A, roofs up to 7 deg
    plane, zones = _zones("gable", 5.0, run=100 * FT)
    assert _at(zones, 75 * FT, plane.slope_mm) == "1'"


def test_gable_zones_of_7_16_have_eave_rake_and_ridge():
    # Source: ASCE 7-16 Figure 30.3-2B (layout from memory); a = 6 ft on plan
    plane, zones = _zones("gable", 14.036)
    a, top = 6 * FT, plane.slope_mm
    up = a / plane.cosine
    found = [_at(zones, x, y) for y in (1, up + 5, top - 1) for x in (1, a + 5, plane.eave_mm - 1)]
    assert found == ["3e", "2e", "3e", "2n", "1", "2n", "3r", "2r", "3r"]


def test_a_plan_distance_covers_more_of_a_steeper_slope():
    # Source: mechanics; the figures measure on plan
    _, zones = _zones("gable", 40.0)
    up = 6 * FT / np.cos(np.radians(40.0))
    assert _at(zones, 75 * FT, up - 1) == "2e"
    assert _at(zones, 75 * FT, up + 1) == "1"


def test_gable_zones_of_7_22_have_no_eave_strip():
    # Source: ASCE 7-22 Figure 30.3-2B
    plane, zones = _zones("gable", 14.036, "7-22")
    found = [_at(zones, x, y) for y in (1, plane.slope_mm - 1) for x in (1, 75 * FT)]
    assert found == ["2", "1", "3", "2"]


def test_hip_zones_of_7_22_lie_along_eave_hips_and_ridge():
    # Source: ASCE 7-22 Figure 30.3-2E
    plane, zones = _zones("hip", 14.036, "7-22")
    middle = plane.eave_mm / 2
    assert [_at(zones, middle, y) for y in (1, 10 * FT, plane.slope_mm - 1)] == ["3", "1", "2"]
    assert _at(zones, 1, 10 * FT) == ""  # beyond the hip
    beside_the_hip = 15 * FT * plane.cosine + 3 * FT
    assert _at(zones, beside_the_hip, 15 * FT) == "2"


def test_monoslope_corners_are_larger_on_the_high_side():
    # Source: ASCE 7-16 Figure 30.3-5A: 3' 2a x 4a, 3 2a x 2a, 2' 2a, 2 a
    plane, zones = _zones("monoslope", 8.0, run=100 * FT)
    a, top = 6 * FT, plane.slope_mm
    assert [_at(zones, x, top - 1) for x in (4 * a - 1, 4 * a + 1)] == ["3'", "2'"]
    assert [_at(zones, x, 1) for x in (2 * a - 1, 2 * a + 1)] == ["3", "2"]


def test_a_rail_changes_zone_where_the_strip_ends():
    _, zones = _zones("gable", 14.036)
    found = zones_along(zones, "x", 10 * FT, 1 * FT, 40 * FT)
    assert [(s.start_mm, s.zone) for s in found] == [(1 * FT, "2n"), (pytest.approx(6 * FT), "1")]


def test_the_severest_zone_in_the_band_counts_for_the_rail():
    plane, zones = _zones("gable", 14.036)
    just_above_the_eave_strip = 6 * FT / plane.cosine + 100
    plain = zones_along(zones, "x", just_above_the_eave_strip, 50 * FT, 60 * FT)
    banded = zones_along(zones, "x", just_above_the_eave_strip, 50 * FT, 60 * FT, half_band_mm=570)
    assert [s.zone for s in plain] == ["1"]
    assert [s.zone for s in banded] == ["2e"]


def test_a_rail_up_the_slope_crosses_eave_field_and_ridge():
    plane, zones = _zones("gable", 14.036)
    found = zones_along(zones, "y", 75 * FT, 0.0, plane.slope_mm)
    assert [s.zone for s in found] == ["2e", "1", "2r"]
    assert found[0].end_mm == pytest.approx(6 * FT / plane.cosine)


def test_a_rail_that_leaves_the_plane_keeps_the_last_zone():
    whole = rectangle(0, 0, 100, 100)
    zones = ZoneMap(whole, (Piece("1", whole),))
    assert [(s.start_mm, s.end_mm, s.zone) for s in zones_along(zones, "x", 50, -20, 150)] == [(-20, 150, "1")]


def test_snow_along_the_ridge_parts_the_zones_it_crosses():
    plane, zones = _zones("gable", 14.036)
    parted = part_up_slope(zones, plane.slope_mm - 15 * FT, " ridge snow")
    assert "1 ridge snow" in parted.zone_map.zones
    assert "2r" in parted.upper
    assert "1" not in parted.upper
    assert _at(parted.zone_map, 75 * FT, 1) == "2e"
    assert _at(parted.zone_map, 75 * FT, plane.slope_mm - 10 * FT) == "1 ridge snow"


def test_eurocode_zones_of_a_duopitch_roof():
    # Source: EN 1991-1-4 Figure 7.8 (sizes from memory): h 6 m, b 55 m: e 12 m
    plane = Plane(55_000, 12_300, 15.0, "gable")
    laid = lay_zones_en(plane, 6000, 55_000, 24_000)
    e = strip_width(55_000, 6000)
    assert e == 12_000
    eave = e / 10 / plane.cosine
    assert _at(laid.zone_map, e / 4 - 1, eave - 1) == "F0-I180-H90"
    assert _at(laid.zone_map, e / 4 + 1, eave - 1) == "G0-I180-H90"
    assert _at(laid.zone_map, 1, 1) == "F0-I180-F90"
    assert _at(laid.zone_map, 27_000, 5000) == "H0-I180-I90"
    assert _at(laid.zone_map, 27_000, 12_299) == "H0-J180-I90"
    assert _at(laid.zone_map, 1, 8000) == "H0-I180-G90"


def test_eurocode_flat_roof_has_four_zones():
    # Source: EN 1991-1-4 Figure 7.6
    plane = Plane(40_000, 30_000, 1.0, "flat")
    laid = lay_zones_en(plane, 5000, 40_000, 30_000)
    assert [_at(laid.zone_map, x, y) for x, y in ((1, 1), (20_000, 1), (20_000, 4000), (20_000, 15_000))] == [
        "F", "G", "H", "I",
    ]  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(
    form=st.sampled_from(["flat", "gable", "hip", "monoslope"]),
    edition=st.sampled_from(["7-16", "7-22"]),
    slope=st.floats(0.5, 26.9),
    at=st.floats(0.02, 0.98),
    band=st.floats(0, 800),
)
def test_a_rail_s_zones_agree_with_the_points_on_it(form, edition, slope, at, band):
    slope = min(slope, 7.0) if form == "flat" else slope
    plane, zones = _zones(form, slope, edition)
    y = at * plane.slope_mm
    stretches = zones_along(zones, "x", y, 0.0, plane.eave_mm, half_band_mm=band)
    assert stretches[0].start_mm == 0.0
    assert stretches[-1].end_mm == plane.eave_mm
    order = {zone: rank for rank, zone in enumerate(zones.zones)}
    for s in stretches:
        x = np.linspace(s.start_mm, s.end_mm, 7)[1:-1]
        points = zone_at(zones, x, np.full_like(x, y))
        assert all(order[s.zone] >= index for index in points.tolist())
        if band == 0:
            assert {index for index in points.tolist() if index != OFF_THE_PLANE} <= {order[s.zone]}


@settings(max_examples=40, deadline=None)
@given(slope=st.floats(5, 44), eave=st.floats(8000, 90_000), run=st.floats(3000, 20_000), h=st.floats(3000, 15_000))
def test_eurocode_pieces_cover_the_plane_once(slope, eave, run, h):
    plane = Plane(eave, run, slope, "gable")
    laid = lay_zones_en(plane, h, eave, 2 * run)
    assert sum(area(p.polygon) for p in laid.zone_map.pieces) == pytest.approx(eave * run, rel=1e-9)
    assert {p.zone for p in laid.zone_map.pieces} == {name for name, _ in laid.members}


def test_many_points_at_once():
    _, zones = _zones("gable", 14.036)
    x, y = np.meshgrid(np.linspace(0, 150 * FT, 300), np.linspace(0, 30 * FT, 200))
    assert zone_at(zones, x, y).shape == (200, 300)


def test_cutting_away_everything_leaves_nothing():
    whole = rectangle(0, 0, 10, 10)
    assert cut(whole, HalfPlane(1, 0, -1)) == ()
    assert area(cut(whole, HalfPlane(1, 1, 10))) == pytest.approx(50)
