"""Characteristic values by EN 1990 Annex D against scipy's Student distribution, and the printed table of k_n.

No published worked example of a characteristic value with V_X unknown was found; scipy's quantiles stand in for one.
The row of Table D1 is from memory.
"""

from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from estimator.attachment.capacity.annex_d import (
    characteristic_of,
    fractile_factor,
    probability_within,
    student_quantile,
)
from estimator.errors import PricebookRefused

TABLE_D1_V_X_UNKNOWN = {3: 3.37, 4: 2.63, 5: 2.33, 6: 2.18, 8: 2.00, 10: 1.92, 20: 1.76, 30: 1.73}


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 9, 10, 29, 30, 100, 199])
@pytest.mark.parametrize("share", [0.6, 0.9, 0.95, 0.99])
def test_quantiles_are_scipys(freedom, share):
    assert student_quantile(share, freedom) == pytest.approx(stats.t.ppf(share, freedom), rel=1e-11)


@given(st.floats(0.01, 60.0), st.integers(1, 120))
def test_probabilities_are_scipys(t, freedom):
    assert probability_within(t, freedom) == pytest.approx(1 - 2 * stats.t.sf(t, freedom), rel=1e-9, abs=1e-13)


@pytest.mark.parametrize(("n", "printed"), TABLE_D1_V_X_UNKNOWN.items())
def test_the_factor_is_that_of_the_printed_table(n, printed):
    assert fractile_factor(n) == pytest.approx(printed, abs=0.0125)
    assert fractile_factor(n) == pytest.approx(stats.t.ppf(0.95, n - 1) * sqrt(1 + 1 / n), rel=1e-12)


@given(st.lists(st.floats(900.0, 1100.0), min_size=3, max_size=12))
def test_a_characteristic_value_is_mean_less_k_n_standard_deviations(results):
    n = len(results)
    expected = np.mean(results) - stats.t.ppf(0.95, n - 1) * sqrt(1 + 1 / n) * np.std(results, ddof=1)
    assert characteristic_of(results).value_n == pytest.approx(max(0.0, expected), rel=1e-9)


def test_a_future_result_lies_above_the_characteristic_value_19_times_in_20():
    """What k_n means (prediction method, as a Bayesian with a vague prior gives it): seen in 40,000 drawn series."""
    draws = np.random.default_rng(1).normal(100.0, 8.0, (40_000, 5))
    limits = draws[:, :4].mean(axis=1) - fractile_factor(4) * draws[:, :4].std(axis=1, ddof=1)
    assert (draws[:, 4] > limits).mean() == pytest.approx(0.95, abs=0.005)


@pytest.mark.parametrize("results", [[], [1000.0], [1000.0, 1010.0]])
def test_fewer_than_three_results_give_none(results):
    with pytest.raises(PricebookRefused):
        characteristic_of(results)
