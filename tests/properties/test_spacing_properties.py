"""The placement of attachments against exhaustive search, on random ribs and limits."""

from itertools import combinations, pairwise
from math import ceil

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.attachment.geometry.limit_steps import LimitSteps, as_steps
from estimator.attachment.geometry.spacing.one_run import NoPlacement, place_evenly, place_on_ribs
from estimator.attachment.geometry.spacing.ribs_under_run import RibsUnderRun, best_avoiding

mm = st.integers(1, 12).map(lambda number: number * 100.0)


@st.composite
def limits(draw, length):
    breaks = draw(st.lists(st.integers(1, max(1, int(length) - 1)), max_size=2, unique=True).map(sorted))
    values = draw(st.lists(mm, min_size=len(breaks) + 1, max_size=len(breaks) + 1))
    return LimitSteps(tuple(float(at) for at in breaks), tuple(values))


@st.composite
def runs(draw):
    pitches = draw(st.lists(st.sampled_from([150.0, 200.0, 300.0, 350.0]), max_size=9))
    regular = draw(st.booleans())
    offsets = [draw(st.sampled_from([0.0, 50.0, 120.0, 300.0]))]
    for pitch in pitches:
        offsets.append(offsets[-1] + (pitches[0] if regular else pitch))
    length = offsets[-1] + draw(st.sampled_from([0.0, 50.0, 130.0, 290.0]))
    length = max(length, 1.0)
    return (
        offsets,
        length,
        draw(limits(length)),
        draw(limits(length)),
        draw(st.frozensets(st.integers(0, 9), max_size=5)),
    )


def legal(chosen, offsets, length, spans, cantilevers):
    first, last = offsets[chosen[0]], offsets[chosen[-1]]
    return (
        first <= cantilevers.least(0.0, first) + 0.001
        and length - last <= cantilevers.least(last, length) + 0.001
        and all(offsets[j] - offsets[i] <= spans.least(offsets[i], offsets[j]) + 0.001 for i, j in pairwise(chosen))
    )


def exhaustive(offsets, length, spans, cantilevers, avoid):
    for count in range(2, len(offsets) + 1):
        found = [c for c in combinations(range(len(offsets)), count) if legal(c, offsets, length, spans, cantilevers)]
        if found:
            return min(found, key=lambda c: preference(c, offsets, length, avoid))
    return None


def preference(chosen, offsets, length, avoid):
    longest = max(offsets[j] - offsets[i] for i, j in pairwise(chosen))
    uneven = abs(offsets[chosen[0]] - (length - offsets[chosen[-1]]))
    return len(avoid & set(chosen)), round(longest, 3), round(uneven, 3), chosen


@given(runs())
@settings(max_examples=400, deadline=None)
def test_the_choice_of_ribs_is_the_one_exhaustive_search_prefers(run):
    offsets, length, spans, cantilevers, avoid = run
    best = exhaustive(offsets, length, spans, cantilevers, avoid)
    chosen = place_on_ribs(offsets, length, spans, cantilevers, avoid)
    assert (None if isinstance(chosen, NoPlacement) else chosen) == best


@given(runs())
@settings(max_examples=100, deadline=None)
def test_with_no_rib_to_avoid_both_ways_of_choosing_agree(run):
    offsets, length, spans, cantilevers, _ = run
    chosen = place_on_ribs(offsets, length, spans, cantilevers)
    if not isinstance(chosen, NoPlacement):
        ribs = RibsUnderRun.under(offsets, length, spans, cantilevers)
        assert best_avoiding(ribs, len(chosen), frozenset()) == chosen


@given(runs())
@settings(max_examples=100, deadline=None)
def test_a_run_looked_at_from_the_other_end_takes_as_many_attachments(run):
    offsets, length, spans, cantilevers, _ = run
    mirrored = [length - at for at in reversed(offsets)]
    chosen = place_on_ribs(offsets, length, spans, cantilevers)
    other = place_on_ribs(mirrored, length, mirror(spans, length), mirror(cantilevers, length))
    assert isinstance(chosen, NoPlacement) == isinstance(other, NoPlacement)
    if not isinstance(chosen, NoPlacement):
        assert len(chosen) == len(other)


def mirror(steps, length):
    return LimitSteps(tuple(length - at for at in reversed(steps.breaks_mm)), steps.limits_mm[::-1])


@given(st.floats(200, 30_000), st.floats(200, 3_000), st.floats(50, 800))
@settings(max_examples=200, deadline=None)
def test_even_attachments_along_a_rib_keep_the_limits_with_the_stated_number(length, span, cantilever):
    places = place_evenly(length, span, cantilever)
    assert len(places) == max(2, ceil((length - 2 * cantilever - 0.001) / span) + 1)
    assert abs(places[0] - (length - places[-1])) < 1e-6 and places[0] <= cantilever + 0.001
    steps = [b - a for a, b in pairwise(places)]
    assert max(steps) <= span + 0.001 and max(steps) - min(steps) < 1e-6 and min(steps) > 0


@given(st.data(), st.integers(500, 12_000))
@settings(max_examples=150, deadline=None)
def test_changing_limits_along_a_rib_are_kept_span_by_span(data, length):
    spans, cantilevers = data.draw(limits(length)), data.draw(limits(length))
    places = place_evenly(float(length), spans, cantilevers)
    assert places[0] <= cantilevers.least(0.0, places[0]) + 0.001
    assert length - places[-1] <= cantilevers.least(places[-1], length) + 0.001
    assert all(b - a <= as_steps(spans).least(a, b) + 0.001 for a, b in pairwise(places))
