from dataclasses import replace

import numpy as np
import pytest

from estimator.loads import PanelSetting, exposed_cells
from estimator.loads.asce7.wind import exposure
from estimator.loads.asce7.wind.exposure import ExposureRule, exposed_modules, exposure_rule
from estimator.loads.zoning.plane import Plane
from tests.builders import an_array, changed_loads
from tests.loads.cases import EU, MODULE, ROOF, US

W, L, GAP = 1000.0, 1700.0, 20.0
RULE = ExposureRule(roof_edge_mm=3000.0, gap_mm=1219.2, reach_mm=2550.0)
PLANE = Plane(60_000.0, 40_000.0, 0.0, "flat")


def a_block(x, y, rows, columns):
    return [
        (x + c * (W + GAP), y + r * (L + GAP), x + c * (W + GAP) + W, y + r * (L + GAP) + L)
        for r in range(rows)
        for c in range(columns)
    ]


def test_modules_amid_a_large_array_are_not_exposed():
    # Source: ASCE 7-16 29.4.4: exposed edges reach 1.5 Lp into the array
    flags = exposed_modules(a_block(15_000, 12_000, 10, 20), PLANE, RULE).reshape(10, 20)
    assert flags[0].all()
    assert flags[:, 0].all()
    assert not flags[5, 10]
    assert flags[5, :3].tolist() == [True, True, True]  # 0, 1020 and 2040 mm from the edge, all under 2550
    assert not flags[5, 3]
    assert flags[:2].all()
    assert not flags[2, 10]


def test_an_edge_near_the_roof_s_edge_is_not_exposed():
    # Source: ASCE 7-16 29.4.4: exposed only where the roof edge is further than 0.5 h
    near = exposed_modules(a_block(1000, 1000, 20, 55), PLANE, RULE).reshape(20, 55)
    assert not near[10, 0]
    assert not near[0, 20]


def test_a_neighbouring_array_shelters_up_to_the_gap():
    # Source: ASCE 7-16 29.4.4: gap up to max(4 h2, 4 ft)
    left = a_block(15_000, 12_000, 10, 10)
    edge = 15_000 + 10 * (W + GAP) - GAP
    close = exposed_modules(left + a_block(edge + 1200, 12_000, 10, 10), PLANE, RULE)[:100].reshape(10, 10)
    apart = exposed_modules(left + a_block(edge + 1300, 12_000, 10, 10), PLANE, RULE)[:100].reshape(10, 10)
    assert not close[5, 9]
    assert apart[5, 9]


def test_a_hole_in_the_array_exposes_what_stands_round_it():
    block = a_block(15_000, 12_000, 11, 21)
    hole = [r * 21 + c for r in (4, 5, 6) for c in (9, 10, 11)]
    left = [module for index, module in enumerate(block) if index not in hole]
    flags = dict(zip([i for i in range(len(block)) if i not in hole], exposed_modules(left, PLANE, RULE), strict=True))
    assert flags[5 * 21 + 8]
    assert not exposed_modules(block, PLANE, RULE)[5 * 21 + 8]


def test_modules_side_by_side_shelter_one_that_straddles_their_joint():
    below = a_block(15_000, 12_000, 3, 20)
    shifted = a_block(15_500, 12_000 + 3 * (L + GAP), 6, 19)
    flags = exposed_modules(below + shifted, PLANE, RULE)[60:].reshape(6, 19)
    assert not flags[1, 9]


def test_the_ridge_of_a_gable_roof_shelters_nothing():
    gable = Plane(60_000.0, 20_000.0, 0.0, "gable")
    rows = exposed_modules(a_block(1000, 1000, 11, 55), gable, RULE).reshape(11, 55)
    assert rows[10, 27]
    assert not rows[3, 27]


@pytest.mark.parametrize(("edition", "gap"), [("7-16", 1219.2), ("7-22", 300.0)])
def test_the_distances_of_the_clause(edition, gap):
    # Source: ASCE 7-16 and 7-22 29.4.4
    rule = exposure_rule(edition, 6096.0, 150.0, 2278.0)
    assert (rule.roof_edge_mm, rule.gap_mm, rule.reach_mm) == pytest.approx((3048.0, gap, 3417.0))


def test_a_large_roof_is_answered_as_each_module_would_be():
    block = a_block(15_000, 5_000, 12, 30)
    shuffled = np.random.default_rng(7).permutation(len(block))
    flags = exposed_modules(block, PLANE, RULE)
    again = exposed_modules(np.asarray(block)[shuffled], PLANE, RULE)
    assert (again == flags[shuffled]).all()


def test_cells_of_the_arrays_of_a_plane():
    holed = an_array(x_mm=12_000.0, y_mm=1000.0, rows=4, columns=20, omit=frozenset({(2, 3)}))
    roof = replace(ROOF, arrays=(an_array(x_mm=1000.0, y_mm=1000.0, rows=1, columns=2), holed))
    small, large = exposed_cells(changed_loads(US, mean_roof_height_mm=5000), roof, MODULE, PanelSetting(height_mm=150))
    assert (2, 3) not in large
    assert small <= {(0, 0), (0, 1)}
    assert 0 < len(large) < 79
    assert (0, 10) not in large  # the eave is nearer than half the height
    assert (3, 10) in large  # the ridge shelters nothing


def test_without_the_panels_height_every_cell_is_exposed():
    for loads, setting in ((US, PanelSetting()), (EU, PanelSetting(height_mm=150))):
        (cells,) = exposed_cells(loads, ROOF, MODULE, setting)
        assert cells == {(r, c) for r in range(2) for c in range(3)}


def looked_at_one_by_one(rects, plane, rule):
    """Every edge against every module: slow, and the same."""
    rects = np.asarray(rects, dtype=np.float64)
    exposed = np.zeros(len(rects), dtype=bool)
    for column, way in exposure.FACES:
        for index in np.flatnonzero(exposure.far_from_edge(rects, plane, rule, column, way)):
            if not exposure.sheltered(rects, int(index), rule.gap_mm, column, way):
                exposed |= exposure.within_reach(rects, exposure.edge_of(rects[index], column), rule.reach_mm)
    return exposed


@pytest.mark.parametrize("seed", range(6))
def test_neighbours_by_squares_give_what_looking_at_all_gives(seed):
    drawn = np.random.default_rng(seed)
    block = [each for each in a_block(9_000, 7_000, 12, 15) if drawn.random() > 0.15]
    rule = ExposureRule(2500.0, float(drawn.uniform(200, 1500)), float(drawn.uniform(1000, 3500)))
    assert (exposed_modules(block, PLANE, rule) == looked_at_one_by_one(block, PLANE, rule)).all()
