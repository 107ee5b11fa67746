"""The cut plan of whole jobs: every run covered, every joint in its place, plain ways of buying beside it."""

from estimator.cutting import CutRun, Demand, JointRules, Saw, Stock, plan_cuts, plan_order
from estimator.cutting.runs.joint_rules import is_legal, members_of
from estimator.errors import Refused
from estimator.places import Place
from tests.cutting.plan.piece_list import cut_list
from tests.facts import facts, refusing

RULES = JointRules(100.0, 500.0, 2)
SAW = Saw(kerf=30)
BAR = Stock("R6", 60_000, 6000)


def run(label, length, first=400.0, step=1200.0):
    count = int((length - first) // step) + 1
    return CutRun(Place(part=label), length, tuple(first + step * k for k in range(count)))


def runs(length, count):
    return [run(f"South/A/row {i}/rail 1", length) for i in range(1, count + 1)]


def assert_covers(plan, asked):
    """Every run is covered once, end to end, by the pieces that the bars name."""
    pieces = sorted((p.run, p.start, p.length, p.number) for bar in plan.bars for places in bar.labels for p in places)
    for at, one in enumerate(asked):
        own = [p for p in pieces if p[0] == at]
        assert [p[3] for p in own] == list(range(len(own)))
        end = 0
        for _, start, length, _ in own:
            assert start == end
            end += length
        assert end == round(one.length_mm * 10)
        assert [p[1] for p in own][1:] == [j.at for j in plan.joints if j.run == at]


def test_a_rail_longer_than_one_bar_gets_a_splice_where_it_may_stand():
    asked = runs(8000.0, 3)
    plan = plan_cuts(asked, [BAR], RULES, SAW, 500)
    assert (plan.splices, plan.cost, plan.proven_optimal) == (3, 5 * 6000 + 3 * 500, True)
    assert_covers(plan, asked)
    member = members_of(asked[0], RULES)[0][1]
    for at in range(3):
        assert is_legal(member, [j.at for j in plan.joints if j.run == at], 60_000)


def test_a_rail_that_fits_a_bar_stays_whole():
    plan = plan_cuts(runs(5000.0, 4), [BAR], RULES, SAW, 1)
    assert (plan.splices, plan.bars_by_length[0].count, plan.proven_optimal) == (0, 4, True)


def test_expansion_splices_part_a_long_run_and_are_counted_apart():
    asked = [run("South/A/row 1/rail 1", 20_000.0)]
    plan = plan_cuts(asked, [BAR], JointRules(100.0, 500.0, 1, 7000.0), SAW, 500)
    assert plan.expansion_splices == 2
    assert [j.at for j in plan.joints if j.kind == "expansion"] == [66_667, 133_333]
    assert_covers(plan, asked)


def test_an_expansion_splice_too_near_an_attachment_is_told():
    asked = [CutRun(Place(part="South/A/row 1/rail 1"), 10_000.0, (500.0, 2750.0, 5050.0, 7250.0, 9500.0))]
    plan = plan_cuts(asked, [BAR], JointRules(100.0, 500.0, 1, 6000.0), SAW, 500)
    assert [f.code for f in plan.findings] == ["expansion_splice_near_attachment"]


def test_expansion_splices_too_near_attachments_are_told_once_an_array_with_their_places():
    asked = [
        CutRun(Place(roof="South", array=array, row=row, rail=1), 10_000.0, (500.0, 2750.0, at, 7250.0, 9500.0))
        for array, row, at in [("A", n, 5050.0) for n in range(1, 10)] + [("B", 1, 5020.0), ("B", 2, 5300.0)]
    ]
    found = plan_cuts(asked, [BAR], JointRules(100.0, 500.0, 1, 6000.0), SAW, 500).findings
    assert [(f.place.array, f.found) for f in found] == [("A", 50.0), ("B", 20.0)]
    assert {9, 3} <= {*facts(found[0].message)}  # nine places, the last three only counted
    assert any("row 6 / rail 1" in str(fact) for fact in facts(found[0].message))


def test_a_run_without_a_legal_joint_is_named_with_both_ways_out():
    bad = CutRun(Place(part="South/A/row 9/rail 2"), 7000.0, (3400.0, 3600.0))
    plan = plan_cuts([*runs(5000.0, 2), bad], [BAR], JointRules(100.0, 500.0, 1), SAW, 500)
    (refusal,) = plan.refused
    assert (refusal.run, refusal.place, refusal.shortest_bar) == (2, bad.place, 70_000)
    assert refusal.extra_attachments
    assert plan.findings[0].severity == "error"
    assert (plan.findings[0].code, plan.findings[0].place) == ("run_cannot_be_spliced", bad.place)
    assert plan.pieces == 2
    mended = CutRun(
        bad.place, bad.length_mm, tuple(sorted((*bad.attachments_mm, *(a / 10 for a in refusal.extra_attachments))))
    )
    assert not plan_cuts([mended], [BAR], JointRules(100.0, 500.0, 1), SAW, 500).refused


def test_the_plan_is_never_dearer_than_full_bars_and_a_remainder():
    plan = plan_cuts(runs(11_620.0, 7) + runs(8200.0, 5), [BAR, Stock("R4", 42_000, 4300)], RULES, SAW, 900)
    assert plan.lower_bound <= plan.cost <= plan.against_full_bars.cost <= plan.against_rounded_up.cost


def test_waste_is_what_was_bought_less_rails_and_kept_off_cuts():
    plan = plan_cuts(runs(4000.0, 1), [BAR], RULES, Saw(30, 0, 15_000, 100), 0)
    assert (plan.bought_length, plan.reusable_length, plan.waste_length) == (60_000, 19_970, 30)
    assert plan.cost == 6000 - 199
    assert plan.offcut_value == 199


def test_cuts_are_counted_as_the_saw_makes_them():
    # one bar, three pieces of 1980 mm, flush at the end: two cuts; with two pieces: two cuts and an off-cut
    assert plan_cuts(runs(1980.0, 3), [BAR], RULES, Saw(300), 0).cuts == 2
    assert plan_cuts(runs(1980.0, 2), [BAR], RULES, Saw(300), 0).cuts == 2


def test_an_off_cut_in_the_yard_is_offered_as_a_bar_at_its_own_price():
    yard = Stock("R6", 52_000, 1000, 1, True)
    plan = plan_cuts(runs(5000.0, 2), [BAR, yard], RULES, SAW, 0)
    assert plan.cost == 7000
    assert sum(bar.count for bar in plan.bars if bar.from_yard) == 1


def test_several_jobs_cut_together_never_cost_more_and_the_saving_is_stated():
    jobs = [("Barn", runs(4000.0, 1)), ("Hall", runs(1900.0, 1))]
    order = plan_order(jobs, [BAR], RULES, SAW, 500)
    assert [plan.cost for plan in order.apart] == [6000, 6000]
    assert (order.together.cost, order.saving) == (6000, 6000)
    assert [place.quote for place in order.together.run_places] == ["Barn", "Hall"]


def test_a_cut_list_needs_no_roof():
    plan = cut_list([Demand(17_220, 40)], [BAR], SAW)
    assert (plan.bars_by_length[0].count, plan.pieces, plan.proven_optimal) == (14, 40, True)
    with refusing(Refused, ("/pieces/0", "too_large"), holds=(6000.1,)):
        cut_list([Demand(60_001, 1)], [BAR], SAW)


def test_equal_runs_are_one_kind_however_many_there_are():
    few, many = (plan_cuts(runs(8000.0, n), [BAR], RULES, SAW, 500) for n in (30, 3000))
    assert many.cost <= 100 * few.cost
    assert many.pieces >= 6000


def test_the_same_runs_give_the_same_plan():
    asked = runs(11_620.0, 5) + runs(7000.0, 3)
    assert plan_cuts(asked, [BAR], RULES, SAW, 500) == plan_cuts(asked, [BAR], RULES, SAW, 500)


def test_no_bars_on_offer_is_refused():
    with refusing(Refused):
        plan_cuts(runs(5000.0, 1), [], RULES, SAW, 0)


def test_one_long_off_cut_on_hand_does_not_keep_other_runs_from_being_spliced():
    """By hand: two runs of 6.2 m, 12.4 m, lie in an off-cut of 6.5 m (10.00) and one bar of 6 m with a splice each."""
    yard = Stock("R6", 65_000, 1000, 1, True)
    asked = runs(6200.0, 2)
    plan = plan_cuts(asked, [BAR, yard], RULES, SAW, 500)
    assert (plan.cost, plan.splices, plan.proven_optimal) == (8_000, 2, True)
    assert_covers(plan, asked)
    # where it suffices, runs stay whole
    assert plan_cuts(runs(6200.0, 1), [BAR, yard], RULES, SAW, 500).splices == 0
    with refusing(Refused, holds=(2, 12_400.0, 6500.0)):
        plan_cuts(
            [CutRun(Place(part="row 1"), 6200.0), CutRun(Place(part="row 2"), 6200.0)], [BAR, yard], RULES, SAW, 500
        )
