"""What holds for every cut plan, whatever is cut from whatever."""

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.cutting import (
    CutRun,
    CuttingProblem,
    Demand,
    Effort,
    JointRules,
    Saw,
    Stock,
    plan_cuts,
    solve_cutting,
)
from estimator.cutting.colgen.bounds import open_limits
from estimator.cutting.heuristics.greedy import greedy_plan, plan_cost
from estimator.cutting.instance import instance_of
from estimator.cutting.runs.joint_rules import is_legal, members_of
from estimator.places import Place

QUICK = settings(max_examples=40, deadline=None)

stocks = st.lists(
    st.tuples(st.sampled_from([30_000, 42_670, 60_000]), st.integers(500, 9000)), min_size=1, max_size=3, unique=True
)
saws = st.builds(
    Saw,
    kerf=st.sampled_from([0, 30, 32]),
    end_trim=st.sampled_from([0, 50]),
    reusable_length=st.sampled_from([None, 10_000]),
    offcut_value_per_m=st.sampled_from([0, 40]),
)
demands = st.lists(st.tuples(st.integers(1000, 29_000), st.integers(1, 9)), min_size=1, max_size=8)


@QUICK
@given(stocks, demands, saws)
def test_every_piece_is_cut_and_no_bar_is_overfull(offered, wanted, saw):
    problem = CuttingProblem(
        tuple(Stock(f"R{i}", *stock) for i, stock in enumerate(offered)), tuple(Demand(*d) for d in wanted), saw
    )
    found = solve_cutting(problem, Effort(300))
    asked, cut = {}, {}
    for length, count in wanted:
        asked[length] = asked.get(length, 0) + count
    for pattern in found.patterns:
        stock = problem.stocks[pattern.stock]
        assert sum(pattern.pieces) + saw.kerf * (len(pattern.pieces) - 1) <= stock.length - 2 * saw.end_trim
        for length in pattern.pieces:
            cut[length] = cut.get(length, 0) + pattern.count
    assert cut == asked
    assert found.lower_bound <= found.cost


@QUICK
@given(stocks, demands, saws)
def test_a_plan_is_never_dearer_than_the_greedy_one(offered, wanted, saw):
    problem = CuttingProblem(
        tuple(Stock(f"R{i}", *stock) for i, stock in enumerate(offered)), tuple(Demand(*d) for d in wanted), saw
    )
    instance = instance_of(problem)
    greedy = greedy_plan(instance, instance.wanted, open_limits(instance).high)
    assert solve_cutting(problem, Effort(300)).cost <= plan_cost(instance, greedy)


@settings(max_examples=15, deadline=None)
@given(
    st.lists(st.tuples(st.integers(2, 14), st.integers(1, 6)), min_size=1, max_size=3),
    st.sampled_from([900.0, 1200.0, 1665.0]),
    st.sampled_from([0, 30]),
    st.integers(0, 2000),
    st.sampled_from([1, 2]),
)
def test_every_run_is_covered_and_every_joint_stands_where_it_may(shapes, step, kerf, splice, bearing):
    rules = JointRules(100.0, 400.0, bearing)
    asked = []
    for modules, count in shapes:
        length = modules * 1154.0 + 80.0
        stands = tuple(200.0 + step * k for k in range(int((length - 250.0) // step) + 1))
        asked.extend(CutRun(Place(part=f"run {len(asked) + i}"), length, stands) for i in range(count))
    offer = [Stock("R6", 60_000, 6000), Stock("R4", 42_670, 4450)]
    plan = plan_cuts(asked, offer, rules, Saw(kerf=kerf), splice, Effort(300))
    refused = {refusal.run for refusal in plan.refused}
    for at, run in enumerate(asked):
        own = sorted((p.start, p.length) for bar in plan.bars for row in bar.labels for p in row if p.run == at)
        if at in refused:
            assert not own
            continue
        assert sum(length for _, length in own) == round(run.length_mm * 10)
        joints = [j.at for j in plan.joints if j.run == at]
        assert joints == [start for start, _ in own][1:]
        assert is_legal(members_of(run, rules)[0][1], joints, 60_000)
    assert plan.lower_bound <= plan.cost
    assert plan.cost == plan.bar_cost + plan.splice_cost + plan.expansion_cost - plan.offcut_value
    if plan.against_full_bars.possible:
        assert plan.cost <= plan.against_full_bars.cost
