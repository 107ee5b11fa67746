"""Long cut lists and many pieces to a bar: answered within the work allowed, near the bound."""

import random
from collections import Counter

import pytest

from estimator.cutting import CuttingProblem, Demand, Effort, Saw, Stock, solve_cutting


def is_covered(problem, solution):
    cut = Counter()
    for pattern in solution.patterns:
        stock = problem.stocks[pattern.stock]
        assert sum(pattern.pieces) + problem.saw.kerf * (len(pattern.pieces) - 1) <= stock.length
        cut.update({piece: n * pattern.count for piece, n in Counter(pattern.pieces).items()})
    used = Counter()
    for pattern in solution.patterns:
        used[pattern.stock] += pattern.count
    assert all(problem.stocks[k].available is None or n <= problem.stocks[k].available for k, n in used.items())
    return cut == Counter({d.length: d.count for d in problem.demands})


def few_large_bars(seed):
    """A few dozen bars of uneven prices, all limited in number, and hundreds of small pieces that need most of them."""
    rng = random.Random(f"fll {seed}")
    stocks = tuple(
        Stock(f"B{i}", rng.randint(40_000, 120_000), rng.randint(2_000, 9_000), rng.randint(1, 6))
        for i in range(rng.randint(3, 12))
    )
    room = sum(stock.length * stock.available for stock in stocks)
    kinds = [rng.randint(800, 4_000) for _ in range(rng.randint(10, 80))]
    counts, used = Counter(), 0
    while used < room * 0.93:
        length = rng.choice(kinds)
        counts[length] += 1
        used += length + 30
    return CuttingProblem(stocks, tuple(Demand(*each) for each in sorted(counts.items())), Saw(30))


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_many_small_pieces_from_few_large_bars_come_within_one_bar_of_the_bound(seed):
    problem = few_large_bars(seed)
    found = solve_cutting(problem, Effort(1_000))
    assert is_covered(problem, found)
    assert found.gap <= max(stock.price for stock in problem.stocks)


def test_hundreds_of_lengths_and_bars_are_answered_within_the_work_allowed():
    rng = random.Random("hundreds")
    stocks = tuple(
        Stock(f"B{i}", length := rng.randint(20_000, 120_000), int(length * rng.uniform(0.09, 0.11))) for i in range(80)
    )
    widest = max(stock.length for stock in stocks)
    lengths = rng.sample(range(1_000, widest), 250)
    problem = CuttingProblem(stocks, tuple(Demand(n, rng.randint(1, 20)) for n in lengths), Saw(30))
    found = solve_cutting(problem, Effort(300))
    assert is_covered(problem, found)
    assert 0 < found.lower_bound <= found.cost
    assert found.work < 600
    assert found.gap < 0.1 * found.cost


@pytest.mark.parametrize("seed", range(12))
def test_a_patient_search_is_never_worse(seed):
    rng = random.Random(f"patient {seed}")
    counts = Counter(rng.randint(2_000, 29_000) for _ in range(rng.randint(8, 16)))
    stocks = (Stock("A", 60_000, 6_000), Stock("B", 41_000, rng.randint(3_900, 4_300)))
    problem = CuttingProblem(stocks, tuple(Demand(*each) for each in counts.items()), Saw(30))
    hasty, patient = (solve_cutting(problem, Effort(400, patient=patient)) for patient in (False, True))
    assert is_covered(problem, patient)
    assert patient.cost <= hasty.cost
    assert patient.lower_bound >= hasty.lower_bound
    assert patient.lower_bound <= hasty.cost
