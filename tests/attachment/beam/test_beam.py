"""The rail as a continuous beam: equilibrium, symmetry, cantilevers, load borders, many at once."""

import numpy as np
import pytest

from estimator.attachment.beam.solve import Beam, identical_beams, solve_beams, solve_supports


def test_a_cantilever_hangs_by_its_load_times_half_its_length():
    found = solve_beams([Beam(1300.0, (300.0, 1300.0), ((2.0,),))])
    assert found.moments_n_mm[0, 0] == pytest.approx(-2.0 * 300**2 / 2)
    assert found.hogging_n_mm[0, 0] == pytest.approx(-2.0 * 300**2 / 2)


def test_the_tip_of_a_cantilever_beyond_a_single_span_sinks_as_the_handbook_says():
    """w a (4 a2 L - L3 + 3 a3) / 24 EI; overhanging beam, uniform load throughout, standard handbook case."""
    L, a, w = 3000.0, 800.0, 1.5
    found = solve_beams([Beam(L + a, (0.0, L), ((w,),))])
    assert found.tips_mm[0, 1, 0] == pytest.approx(w * a * (4 * a**2 * L - L**3 + 3 * a**3) / 24)


def test_both_tips_of_a_symmetric_rail_sink_alike():
    found = solve_beams([Beam(3600.0, (300.0, 1800.0, 3300.0), ((0.7,),))])
    assert found.tips_mm[0, 0, 0] == pytest.approx(found.tips_mm[0, 1, 0], rel=1e-12)


def test_reactions_carry_the_whole_load_and_turn_nothing():
    beam = Beam(5000.0, (300.0, 1500.0, 2100.0, 3900.0), ((1.2,), (-0.7,), (0.9,)), (700.5, 4300.0))
    reactions = solve_beams([beam]).reactions_n[:, 0]
    pieces = [(0.0, 700.5, 1.2), (700.5, 4300.0, -0.7), (4300.0, 5000.0, 0.9)]
    assert reactions.sum() == pytest.approx(sum((b - a) * w for a, b, w in pieces))
    assert reactions @ np.array(beam.supports_mm) == pytest.approx(sum((b * b - a * a) / 2 * w for a, b, w in pieces))


def test_a_rail_turned_round_has_the_same_reactions_turned_round():
    one = Beam(5000.0, (300.0, 1500.0, 2100.0, 3900.0), ((1.2,), (-0.7,)), (700.5,))
    other = Beam(5000.0, (1100.0, 2900.0, 3500.0, 4700.0), ((-0.7,), (1.2,)), (4299.5,))
    found = solve_beams([one, other])
    assert found.reactions_n[found.supports_of(1), 0] == pytest.approx(found.reactions_n[found.supports_of(0), 0][::-1])
    assert found.deflections_mm[found.fields_of(1), 0] == pytest.approx(
        found.deflections_mm[found.fields_of(0), 0][::-1]
    )


def test_a_border_that_parts_equal_loads_changes_nothing():
    plain = solve_beams([Beam(4000.0, (200.0, 1900.0, 3800.0), ((1.1,),))])
    parted = solve_beams([Beam(4000.0, (200.0, 1900.0, 3800.0), ((1.1,),) * 4, (100.0, 1900.0, 2500.0))])
    for name in ("moments_n_mm", "reactions_n", "sagging_n_mm", "hogging_n_mm", "deflections_mm", "tips_mm"):
        assert getattr(parted, name) == pytest.approx(getattr(plain, name), rel=1e-11, abs=1e-9), name


def test_load_cases_solved_together_are_those_solved_alone():
    supports = (150.0, 1350.0, 2250.0)
    both = solve_beams([Beam(2500.0, supports, ((1.0, -2.0), (0.5, -3.0)), (900.0,), 2e9)])
    for case in (0, 1):
        loads = tuple((w[case],) for w in ((1.0, -2.0), (0.5, -3.0)))
        alone = solve_beams([Beam(2500.0, supports, loads, (900.0,), 2e9)])
        assert both.reactions_n[:, case] == pytest.approx(alone.reactions_n[:, 0], rel=1e-13)
        assert both.deflections_mm[:, case] == pytest.approx(alone.deflections_mm[:, 0], rel=1e-12)


def test_many_rails_of_unlike_length_are_each_solved_as_if_alone():
    rails = [
        Beam(1000.0 * n + 250.0, tuple(100.0 + 1000.0 * k for k in range(n + 1)), ((0.3 * n,), (1.0,)), (700.0,), 1e9)
        for n in (3, 1, 12, 2, 7)
    ]
    together = solve_beams(rails)
    for number, rail in enumerate(rails):
        alone = solve_beams([rail])
        assert together.reactions_n[together.supports_of(number)] == pytest.approx(alone.reactions_n, rel=1e-12)
        assert together.deflections_mm[together.fields_of(number)] == pytest.approx(alone.deflections_mm, rel=1e-12)
        assert together.tips_mm[number] == pytest.approx(alone.tips_mm[0], rel=1e-12)


def test_supports_solved_alone_carry_what_the_whole_rail_gives_them():
    rails = [
        Beam(
            1000.0 * n + 250.0,
            tuple(250.0 * over + 1000.0 * k for k in range(n + 1)),
            ((0.3 * n, -1.0), (1.0, 2.0)),
            (700.0,),
        )
        for n, over in ((3, 1), (1, 0), (12, 0.5))
    ]
    whole = solve_beams(rails)
    reactions, moments, _ = solve_supports(rails)
    assert reactions == pytest.approx(whole.reactions_n, rel=1e-9, abs=1e-6)
    assert moments == pytest.approx(whole.moments_n_mm, rel=1e-9, abs=1e-6)


def test_a_rail_without_load_stays_straight():
    found = solve_beams([Beam(3000.0, (0.0, 1000.0, 3000.0), ((0.0,),))])
    assert not found.reactions_n.any()
    assert not found.deflections_mm.any()


def test_identical_rails_are_counted_once_and_a_millimetre_tells_them_apart():
    a, b = Beam(3000.0, (0.0, 3000.0), ((1.0,),)), Beam(3001.0, (0.0, 3000.0), ((1.0,),))
    distinct, places = identical_beams([a, b, a, a, b])
    assert distinct == (a, b)
    assert places.tolist() == [0, 1, 0, 0, 1]


@pytest.mark.parametrize(
    ("beam", "says"),
    [
        (Beam(3000.0, (0.0,), ((1.0,),)), "two or more supports"),
        (Beam(3000.0, (500.0, 500.0), ((1.0,),)), "ascending"),
        (Beam(3000.0, (0.0, 3001.0), ((1.0,),)), "within 0 to 3000.0"),
        (Beam(3000.0, (0.0, 3000.0), ((1.0,),), (100.0,)), "one stretch more"),
        (Beam(3000.0, (0.0, 3000.0), ((1.0,), (1.0, 2.0)), (100.0,)), "load cases"),
        (Beam(3000.0, (0.0, 3000.0), ((1.0,), (1.0,)), (3100.0,)), "load borders ascend"),
    ],
)
def test_a_rail_that_cannot_stand_is_refused_with_the_reason(beam, says):
    with pytest.raises(ValueError, match=says):
        solve_beams([beam])
