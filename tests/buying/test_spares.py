"""Spare counts against the binomial distribution."""

from decimal import Decimal

import pytest
from scipy import stats

from estimator.buying import spares_for
from estimator.pricebook import SpareRule

# Source: computed with scipy.stats.nbinom; N, loss rate, spares at 90, 95 and 99 % confidence.
TABLE = [
    (10, "0.005", 0, 0, 1), (10, "0.01", 0, 1, 1), (10, "0.02", 1, 1, 2), (10, "0.05", 2, 2, 3),
    (50, "0.005", 1, 1, 2), (50, "0.01", 1, 2, 3), (50, "0.02", 2, 3, 4), (50, "0.05", 5, 6, 7),
    (100, "0.005", 1, 2, 3), (100, "0.01", 2, 3, 4), (100, "0.02", 4, 5, 6), (100, "0.05", 8, 9, 11),
    (500, "0.005", 5, 5, 7), (500, "0.01", 8, 9, 11), (500, "0.02", 14, 16, 18), (500, "0.05", 33, 35, 39),
    (1000, "0.005", 8, 9, 11), (1000, "0.01", 14, 16, 18), (1000, "0.02", 26, 28, 32), (1000, "0.05", 62, 65, 71),
]  # fmt: skip
CASES = [
    (net, rate, confidence, row[at])
    for net, rate, *row in TABLE
    for at, confidence in enumerate(["0.90", "0.95", "0.99"])
]


@pytest.mark.parametrize(("net", "loss_rate", "confidence", "spares"), CASES)
def test_spares_reach_the_confidence_of_the_table(net, loss_rate, confidence, spares):
    assert spares_for(net, SpareRule(loss_rate=Decimal(loss_rate), confidence=Decimal(confidence))) == spares


@pytest.mark.parametrize("net", [1, 7, 233, 4801, 48_000])
@pytest.mark.parametrize("loss_rate", ["0.001", "0.03"])
def test_spares_agree_with_the_negative_binomial_of_scipy(net, loss_rate):
    rule = SpareRule(loss_rate=Decimal(loss_rate), confidence=Decimal("0.97"))
    assert spares_for(net, rule) == int(stats.nbinom.ppf(0.97, net, 1 - float(loss_rate)))


@pytest.mark.parametrize(("net", "rate", "spares"), [(0, "0.02", 0), (1, "0.02", 1), (120, "0.02", 3), (100, "0", 0)])
def test_a_spare_rate_is_rounded_up_to_whole_parts(net, rate, spares):
    assert spares_for(net, SpareRule(rate=Decimal(rate))) == spares
