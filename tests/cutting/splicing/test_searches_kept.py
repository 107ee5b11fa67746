"""What a memory keeps changes the time of a search, never its plan."""

from estimator.cutting import CutRun, Effort, JointRules, Saw, Stock, plan_cuts

STANDS = tuple(300.0 + 1200.0 * k for k in range(12))


def plan(price, memory=None):
    runs = [CutRun(f"run {i}", 13_500.0, STANDS) for i in range(5)]
    offer = [Stock("R6", 60_000, price), Stock("R4", 42_000, 4300)]
    return plan_cuts(runs, offer, JointRules(100.0, 500.0, 2), Saw(30), 400, Effort(60, memory=memory))


def test_a_search_asked_for_again_is_not_made_again_and_gives_the_same_plan():
    memory = {}
    first = plan(6000, memory)
    assert len(memory) == 1
    (kept,) = memory.values()
    assert plan(6000, memory) == first == plan(6000)
    assert list(memory.values()) == [kept]


def test_other_prices_are_another_search():
    memory = {}
    plan(6000, memory)
    assert plan(5900, memory) == plan(5900)
    assert len(memory) == 2


def test_nothing_is_kept_where_a_clock_may_end_the_search():
    memory = {}
    runs = [CutRun("run", 13_500.0, STANDS)]
    effort = Effort(60, lambda: False, memory)
    plan_cuts(runs, [Stock("R6", 60_000, 6000)], JointRules(100.0, 500.0, 2), Saw(30), 400, effort)
    assert not memory
