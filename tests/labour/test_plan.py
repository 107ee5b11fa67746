"""Hours by activity, worked by hand. Source: the book's labour table; common practice, no source."""

from dataclasses import replace
from decimal import Decimal

from estimator.labour import no_labour, plan_labour
from estimator.money import Money
from estimator.pricebook import Condition, LabourActivity
from estimator.takeoff.records import Counts, JobCounts, RoofCounts
from tests.builders import a_book, a_choice, a_job, a_roof, a_sheet
from tests.facts import facts


def some_counts(*attachments: int, modules: int = 6, splices: int = 0) -> JobCounts:
    roofs = tuple(
        RoofCounts(number, f"roof {number + 1}", Counts(attachments=each, modules=modules, splices=splices), ())
        for number, each in enumerate(attachments)
    )
    whole = Counts(attachments=sum(attachments), modules=modules * len(roofs), splices=splices * len(roofs))
    return JobCounts(whole, roofs)


def planned(counts, *activities, job=None):
    book = replace(a_book(), labour=activities, labour_rate=Decimal("48.00"), labour_cost_rate=Decimal("31.00"))
    return plan_labour(job or a_job(), book, a_choice(), counts)


def activity(minutes="4.5", for_each="attachments", per=1, when=None):
    return LabourActivity("brackets", "set brackets", Decimal(minutes), for_each, per, when or Condition())


def test_hours_are_minutes_times_the_count_to_the_hundredth_and_the_price_is_rounded_once():
    # 47 attachments x 4.5 min = 211.5 min = 3.525 h, half up 3.53 h; 3.53 x 48.00 = 169.44; 3.53 x 31.00 = 109.43
    (line,) = planned(some_counts(47), activity()).lines
    assert (line.hours, str(line.price.amount), str(line.cost.amount)) == (Decimal("3.53"), "169.44", "109.43")
    assert {Decimal(47), Decimal("4.5"), Decimal("3.53")} <= {*facts(line.why)}


def test_minutes_may_stand_for_several_of_a_count():
    # 10 modules, 30 min for each 4: 75 min = 1.25 h
    (line,) = planned(some_counts(8, modules=10), activity("30", "modules", 4)).lines
    assert (line.hours, line.minutes_each) == (Decimal("1.25"), Decimal("7.5"))


def test_an_activity_once_a_job_counts_one_and_one_without_anything_to_do_is_left_out():
    found = planned(some_counts(8), activity("90", "job"), activity("5", "splices"))
    assert [line.hours for line in found.lines] == [Decimal("1.50")]


def test_an_activity_for_one_kind_of_sheet_counts_the_roofs_that_have_it():
    job = a_job(a_roof(), a_roof(name="North", sheet=a_sheet(material="aluminium")))
    only = Condition(sheet_materials=frozenset({"aluminium"}))
    (line,) = planned(some_counts(10, 4), activity(when=only), job=job).lines
    assert line.basis_count == 4


def test_an_activity_of_another_arrangement_is_left_out_and_a_quote_without_labour_has_none():
    assert planned(some_counts(8), activity(when=Condition(arrangements=frozenset({"direct"})))).lines == ()
    assert (no_labour(a_book()).hours, no_labour(a_book()).price) == (Decimal(0), Money(Decimal("0.00"), "EUR"))
