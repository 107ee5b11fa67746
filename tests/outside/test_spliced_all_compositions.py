"""Spliced jobs against a whole-number program over every legal composition and every pattern there is.

Attachments stand so that a span leaves only a few places for a splice, each of which can be listed.
"""

import random
from itertools import pairwise

import highspy
import numpy as np
import pytest

from estimator.cutting import CutRun, Effort, JointRules, Saw, Stock, plan_cuts
from estimator.places import Place
from tests.cutting.plan.plan_checker import faults_of, usable, worth

CLEAR = 3000
MOST_PATTERNS = 4000
INFINITE = highspy.kHighsInf


def small_job(seed):
    """Up to three kinds of runs; a span of three times the clear distance leaves one place near either end."""
    rng = random.Random(f"few places {seed}")
    length = rng.choice([60_000, 42_000, 30_000])
    offer = [Stock("R0", length, rng.choice([length // 10, rng.randint(2000, 7000)]), rng.choice([None, None, 4]))]
    if rng.random() < 0.6:
        other = round(length * rng.uniform(0.5, 1.1))
        offer.append(Stock("R1", other, round(other * rng.uniform(0.08, 0.12)), rng.choice([None, 1, 3])))
    if rng.random() < 0.4:
        offer.append(
            Stock("yard", round(length * rng.uniform(0.2, 0.9)), rng.choice([0, 700]), rng.randint(1, 2), True)
        )
    reusable = rng.choice([None, 0, 5_000, 20_000])
    saw = Saw(rng.choice([0, 30, 37]), rng.choice([0, 0, 333]), reusable, 0 if reusable is None else 600)
    longest = max(usable(stock, saw) for stock in offer)
    runs = []
    for kind in range(rng.randint(1, 3)):
        run_length = round(longest * rng.choice([rng.uniform(0.4, 1), rng.uniform(1.02, 1.6), rng.uniform(1.02, 2.4)]))
        stands, at = [], 1005
        while at < run_length:
            stands.append(at / 10)
            at += rng.choice([3 * CLEAR, 3 * CLEAR, 3 * CLEAR + 3, 3 * CLEAR + 9, 8000])
        runs += [
            CutRun(Place(part=f"{kind}/{n}"), run_length / 10, tuple(stands)) for n in range(rng.choice([1, 1, 2, 4]))
        ]
    rules = JointRules(CLEAR / 10, round(longest * rng.choice([0.012, 0.02, 0.03])) * 1.0, rng.choice([0, 1, 2]))
    return runs, offer, rules, saw, rng.choice([0, 7, 600, 9000])


def places_of(run):
    """Every place (tenths of a mm) a splice may stand at, with the number of attachments before it."""
    stands = [round(a * 10) for a in run.attachments_mm]
    return [
        (place, before)
        for before, (left, right) in enumerate(pairwise(stands), 1)
        for place in range(left + CLEAR, right - CLEAR + 1)
        if 3 * (place - left) <= right - left or 3 * (right - place) <= right - left
    ]


def compositions(run, rules, longest):
    """Every legal composition of a run as the sorted lengths of its pieces."""
    length, least, count = round(run.length_mm * 10), round(rules.min_piece_length_mm * 10), len(run.attachments_mm)
    if length <= longest:
        return {(length,)}
    places, found = places_of(run), set()

    def go_on(pieces, start, before):
        if least <= length - start <= longest and count - before >= rules.min_attachments_per_piece and pieces:
            found.add(tuple(sorted((*pieces, length - start))))
        for place, passed in places:
            if least <= place - start <= longest and passed - before >= rules.min_attachments_per_piece:
                go_on((*pieces, place - start), place, passed)

    go_on((), 0, 0)
    return found


def every_pattern(lengths, most, saw, room):
    """All sets of pieces that fit a room, and the room they leave; None where there are too many."""
    found = []

    def go_on(at, pieces, left):
        if pieces:
            found.append((pieces, left))
        for k in range(at, len(lengths)):
            size = lengths[k] + saw.kerf
            if size <= left and pieces.count(lengths[k]) < most[lengths[k]] and len(found) <= MOST_PATTERNS:
                go_on(k, (*pieces, lengths[k]), left - size)

    go_on(0, (), room)
    return found if len(found) <= MOST_PATTERNS else None


def least_cost(runs, offer, rules, saw, splice):
    """The optimum; None where there is too much to list or no plan."""
    longest = max(usable(stock, saw) for stock in offer)
    ways = {}
    for run in runs:
        ways.setdefault((run.length_mm, run.attachments_mm), []).append(run)
    kinds = [(len(same), sorted(compositions(same[0], rules, longest))) for same in ways.values()]
    if sum(len(own) for _, own in kinds) > 400:
        return None
    most = {}
    for times, own in kinds:
        for piece in {piece for pieces in own for piece in pieces}:
            most[piece] = most.get(piece, 0) + times * max(pieces.count(piece) for pieces in own)
    rows = {("stock", s): (0, INFINITE if each.available is None else each.available) for s, each in enumerate(offer)}
    rows |= {("kind", k): (times, times) for k, (times, _) in enumerate(kinds)} | {("piece", p): (0, 0) for p in most}
    columns = [
        ((len(pieces) - 1) * splice, [("kind", k), *(("piece", p) for p in pieces)], -1)
        for k, (_, own) in enumerate(kinds)
        for pieces in own
    ]
    for s, stock in enumerate(offer):
        patterns = every_pattern(sorted(most, reverse=True), most, saw, usable(stock, saw) + saw.kerf)
        if patterns is None:
            return None
        for pieces, left in patterns:
            cost = stock.price - worth(saw, stock.price, max(0, left - saw.kerf))
            columns.append((cost, [("stock", s), *(("piece", p) for p in pieces)], 1))
    return solved(rows, columns)


def solved(rows, columns):
    """Least cost of whole numbers of columns (cost, rows, sign of the pieces) within the rows' limits, by HiGHS."""
    lp = highspy.Highs()
    for option, value in [("output_flag", False), ("mip_rel_gap", 0.0), ("mip_abs_gap", 0.5), ("mip_max_nodes", 5000)]:
        lp.setOptionValue(option, value)
    number = {row: k for k, row in enumerate(rows)}
    for low, high in rows.values():
        lp.addRow(float(low), float(high), 0, np.array([], dtype=np.int32), np.array([], dtype=np.float64))
    for cost, entries, sign in columns:
        used = sorted(set(entries), key=number.get)
        values = [float(entries.count(row) * (sign if row[0] == "piece" else 1)) for row in used]
        index = np.array([number[row] for row in used], dtype=np.int32)
        lp.addCol(float(cost), 0.0, INFINITE, len(used), index, np.array(values))
    count = lp.getNumCol()
    lp.changeColsIntegrality(count, np.arange(count, dtype=np.int32), np.full(count, 1, dtype=np.uint8))
    lp.run()
    optimal = lp.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return round(lp.getInfo().objective_function_value) if optimal else None


@pytest.mark.parametrize("seed", [2, 3, 4, 6, 8, 10, 11, 13, 17, 18, 19, 20, 21, 25, 26, 27])
def test_no_plan_is_below_the_optimum_and_no_bound_above_it(seed):
    job = small_job(seed)
    plan = plan_cuts(*job, Effort(200))
    optimum = least_cost(*job)
    assert faults_of(plan, *job) == []
    assert optimum is not None
    assert plan.lower_bound <= optimum <= plan.cost
