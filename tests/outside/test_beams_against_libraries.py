"""Rails as beams against PyNiteFEA (finite elements, stiffness method) and indeterminatebeam (symbolic), to 1e-8.

Random spans, cantilevers (also none), loads that change within spans and on cantilevers, and loads that change sign.
Numbers are compared relative to the largest of their kind on the beam; spans of 200 mm beside some of 2,500 mm cost the
stiffness method that many digits.
"""

from itertools import accumulate, pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimator.attachment.beam.solve import Beam, solve_beams
from tests.outside.beam_libraries import ENLARGED, in_indeterminatebeam, in_pynite

TO = 1e-8
quick = settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
slow = settings(max_examples=3, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@st.composite
def beams(draw, most_spans=6, shortest=200):
    spans = draw(st.lists(st.integers(shortest, 2500), min_size=1, max_size=most_spans))
    left, right = (draw(st.sampled_from([0, 1, 60, 350, 800])) for _ in range(2))
    supports = tuple(float(x) for x in accumulate(spans, initial=left))
    length = supports[-1] + right
    borders = draw(st.lists(st.floats(0.0, length).map(lambda x: round(x, 1)), max_size=3, unique=True))
    load = st.integers(-300, 300).filter(lambda w: abs(w) > 3).map(lambda w: w / 100)
    loads = tuple((draw(load),) for _ in range(len(borders) + 1))
    return Beam(length, supports, loads, tuple(sorted(borders)), stiffness_n_mm2=5.57e9)


def agree(ours, theirs, at_least=0.0):
    ours, theirs = np.asarray(ours, dtype=float), np.asarray(theirs, dtype=float)
    assert np.abs(ours - theirs).max() <= TO * max(np.abs(theirs).max(), np.abs(ours).max(), at_least)


@quick
@given(beams())
def test_reactions_moments_and_deflections_are_those_of_the_stiffness_method(beam):
    ours, model = solve_beams([beam]), in_pynite(beam)
    member = model.members["beam"]
    largest = max(ours.sagging_n_mm.max(), -ours.hogging_n_mm.min())
    agree(ours.reactions_n[:, 0], [model.nodes[name].RxnFY["now"] for name in model.support_names])
    agree(ours.moments_n_mm[:, 0], [-member.moment("Mz", x, "now") for x in beam.supports_mm], at_least=largest)
    agree(ours.deflections_mm[:, 0], [-member.deflection("dy", x, "now") for x in ours.deflected_at_mm[:, 0]])
    agree(ours.sagging_n_mm[:, 0], [-member.moment("Mz", x, "now") for x in ours.sagging_at_mm[:, 0]], at_least=largest)
    tips = [-member.deflection("dy", x, "now") for x in (0.0, beam.length_mm)]
    agree(ours.tips_mm[0, :, 0], tips, at_least=np.abs(ours.deflections_mm).max())


@quick
@given(beams(most_spans=4))
def test_no_place_between_bends_more_than_the_extremes_say(beam):
    ours, member = solve_beams([beam]), in_pynite(beam).members["beam"]
    edges = (0.0, *beam.supports_mm, beam.length_mm)
    moments, bent = [], []
    for a, b in pairwise(edges):
        xs = np.linspace(a, b, 41)
        moments.append([-member.moment("Mz", x, "now") for x in xs])
        bent.append([abs(member.deflection("dy", x, "now")) for x in xs])
    moments, bent = np.array(moments), np.array(bent)
    assert (moments.max(axis=1) <= ours.sagging_n_mm[:, 0] + TO * np.abs(moments).max()).all()
    assert (moments.min(axis=1) >= ours.hogging_n_mm[:, 0] - TO * np.abs(moments).max()).all()
    assert (bent.max(axis=1) <= np.abs(ours.deflections_mm[:, 0]) + TO * bent.max()).all()
    assert (bent.max(axis=1) >= 0.98 * np.abs(ours.deflections_mm[:, 0]) - TO * bent.max()).all()


@slow
@given(beams(most_spans=3, shortest=900))
def test_reactions_moments_and_deflections_are_those_of_the_symbolic_solution(beam):
    """Spans as on roofs: that library's supports are springs, felt in the ninth place where spans are very short."""
    ours, other = solve_beams([beam]), in_indeterminatebeam(beam)
    agree(ours.reactions_n[:, 0], [other.get_reaction(x, "y") / ENLARGED for x in beam.supports_mm])
    largest = max(ours.sagging_n_mm.max(), -ours.hogging_n_mm.min())
    inner = beam.supports_mm[1:-1]
    if inner:
        agree(ours.moments_n_mm[1:-1, 0], [other.get_bending_moment(x) / ENLARGED for x in inner], at_least=largest)
    bent = [-other.get_deflection(x) / ENLARGED for x in ours.deflected_at_mm[:, 0]]
    agree(ours.deflections_mm[:, 0], bent)


@pytest.mark.parametrize(
    "beam",
    [
        Beam(3000.0, (0.0, 3000.0), ((1.5,),), (), 1e9),
        Beam(3700.0, (350.0, 3350.0), ((1.5,),), (), 1e9),
        Beam(3700.0, (350.0, 3350.0), ((1.5,), (-0.5,)), (3500.0,), 1e9),
        Beam(13_200.0, tuple(300.0 + 1200.0 * k for k in range(11)), ((-2.1,), (-1.3,)), (2650.0,), 5e9),
    ],
    ids=["one span", "two cantilevers", "border on a cantilever", "ten spans over a zone border"],
)
def test_plain_cases_agree_as_well(beam):
    ours, model = solve_beams([beam]), in_pynite(beam)
    member = model.members["beam"]
    agree(ours.reactions_n[:, 0], [model.nodes[name].RxnFY["now"] for name in model.support_names])
    agree(ours.deflections_mm[:, 0], [-member.deflection("dy", x, "now") for x in ours.deflected_at_mm[:, 0]])
