"""The best-paid pattern for given prices, beside every pattern there is."""

import random

import pytest

from estimator.cutting.colgen.pricing import Knapsack
from estimator.cutting.instance import instance_of
from tests.cutting.every_pattern import every_pattern
from tests.outside.cutting_references import random_problem


@pytest.mark.parametrize("seed", range(20))
def test_no_pattern_pays_more_than_the_one_found(seed):
    """Exhaustive: every pattern of the instance is listed and its pay added up."""
    instance = instance_of(random_problem(seed + 300, kinds=4, most=3))
    rng = random.Random(seed)
    values = [rng.randrange(0, 900) for _ in instance.sizes]
    found = Knapsack(instance, instance.wanted).price(
        values, instance.wanted, [bar.price for bar in instance.bars], unit=1, limit=10
    )
    best = [0] * len(instance.bars)
    for column in every_pattern(instance):
        pay = sum(values[i] * n for i, n in column[1]) + instance.value_left(column[0], instance.used(column))
        best[column[0]] = max(best[column[0]], pay)
    assert all(worth >= pay for worth, pay in zip(found.worth, best, strict=True))
    if not instance.values:
        assert list(found.worth) == best
    for column in found.columns:
        assert instance.used(column) <= instance.bars[column[0]].room
        assert all(n <= instance.wanted[i] for i, n in column[1])
