"""Bars filled one by one from a given number of each."""

import pytest

from estimator.cutting.heuristics.value_correction import value_corrected_plan
from tests.cutting.search_states import state_of
from tests.outside.cutting_references import many_lengths


@pytest.mark.parametrize("seed", range(4))
def test_bars_filled_one_by_one_keep_their_number_and_give_every_piece(seed):
    problem = many_lengths(seed, 40)
    state = state_of(problem)
    instance = state.instance
    need = sum(size * n for size, n in zip(instance.sizes, instance.wanted, strict=True))
    bars = (need // instance.bars[0].room + 1, 1, 1, 1)
    plan = value_corrected_plan(state, bars, 0)
    assert plan is not None
    assert plan == value_corrected_plan(state_of(problem), bars, 0)
    used, cut = [0] * len(bars), [0] * len(instance.sizes)
    for column, times in plan.items():
        used[column[0]] += times
        assert instance.used(column) <= instance.bars[column[0]].room
        for i, n in column[1]:
            cut[i] += n * times
    assert cut == list(instance.wanted)
    assert all(n <= most for n, most in zip(used, bars, strict=True))
    too_few = (need // instance.bars[0].room, 0, 0, 0)
    assert value_corrected_plan(state, too_few, 0) is None
