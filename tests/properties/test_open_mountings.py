"""Of mountings left open the one is taken that trying every one of them outright would take, though few are planned.

Source of the expectation: exhaustive trial of every mounting.
"""

import pytest

from tests.properties.open_jobs import compared

NUMBERS = (0, 1, 2, 3, 5, 8)


@pytest.mark.parametrize("number", NUMBERS)
def test_the_mounting_taken_is_that_of_trying_all_and_no_weight_is_above_its_rank(number):
    found = compared(number)
    assert found is not None
    ranks, taken, weights, made = found
    assert taken == min(ranks.values())[2]
    above = {
        name: (least.failing, least.total.amount, ranks[name])
        for name, least in weights.items()
        if least.failing > ranks[name][0] or least.total.amount > ranks[name][1]
    }
    assert not above
    for decision in made.decisions:
        for other in decision.alternatives:
            if other.not_planned is not None:
                of_option = [rank for name, rank in ranks.items() if other.option.replace("_", " ") in name]
                assert other.total is None
                assert min(of_option) >= (other.not_planned.errors, other.not_planned.at_least.amount)
