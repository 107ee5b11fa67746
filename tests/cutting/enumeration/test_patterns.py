"""The patterns a plan below a given cost may still use, beside every pattern there is."""

import pytest

from estimator.cutting.enumeration.patterns import patterns_within
from estimator.cutting.instance import instance_of
from tests.cutting.every_pattern import every_pattern
from tests.outside.cutting_references import random_problem


def is_full(instance, column):
    """Whether no further piece that is wanted fits beside the pattern's."""
    bar, taken = column[0], dict(column[1])
    left = instance.bars[bar].room - instance.used(column)
    sizes = zip(instance.sizes, instance.wanted, strict=True)
    return not any(size <= left and taken.get(i, 0) < n for i, (size, n) in enumerate(sizes))


@pytest.mark.parametrize("seed", range(20))
def test_every_pattern_that_pays_enough_is_listed_and_no_other(seed):
    """Exhaustive: what a pattern's pieces pay, against what its bar needs."""
    instance = instance_of(random_problem(seed + 400, kinds=4, most=3))
    prices = [size * 7 + (seed * 13) % 50 for size in instance.sizes]
    needs = [bar.room * 5 for bar in instance.bars]
    found = patterns_within(instance, instance.wanted, prices, needs, 100_000)
    assert found is not None
    pays = {
        column: sum(prices[i] * n for i, n in column[1])
        for column in every_pattern(instance)
        if is_full(instance, column)
    }
    expected = {column for column, pay in pays.items() if pay >= needs[column[0]]}
    assert {column for column in found if column[1]} == expected
    assert len(found) == len(set(found))
