"""Quotes by another edition. Outside reference: the whole estimate made anew by that edition, stage by stage."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from api_tests.posted import a_job, on_rails
from estimator.comparison.repricing import CAUSES, causes_of, reprice
from estimator.contract.faults import read_job
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.estimate import estimate
from estimator.job import Choices
from estimator.service.catalogue import Catalogue

ON = date(2026, 11, 25)


@pytest.fixture(scope="module")
def book():
    folder = Path(__file__).parents[2] / "pricebooks"
    return Catalogue([folder]).choose("", "hanse-eu", None, ON, read_job(a_job("B"), JobSchema()))


@pytest.fixture(scope="module")
def direct(book):
    return estimate(read_job(a_job("DIRECT"), JobSchema()), book, Choices(), ON)


@pytest.fixture(scope="module")
def railed(book):
    job = on_rails()
    job["roofs"][0]["arrays"][0] |= {"rows": 2, "columns": 8}
    return estimate(read_job(job, JobSchema()), book, Choices(), ON)


def dearer(book, factor, *roles, parts=()):
    """The book with parts of some roles (or all, or those named) at other costs."""

    def moved(part):
        meant = part.part in parts if parts else not roles or part.role in roles
        if not meant:
            return part
        breaks = tuple(replace(each, cost=each.cost * factor) for each in part.breaks)
        listed = None if part.list_price is None else part.list_price * factor
        return replace(part, cost=part.cost * factor, breaks=breaks, list_price=listed)

    return replace(book, edition="later", parts={name: moved(part) for name, part in book.parts.items()})


@pytest.mark.parametrize("made", ["direct", "railed"])
def test_the_same_edition_changes_nothing(request, book, made):
    old = request.getfixturevalue(made)
    found = reprice(old, book, ON)
    assert found.estimate.bill == old.bill
    assert found.plan == ("none" if made == "direct" else "kept")
    assert found.causes == tuple((name, Decimal(0)) for name in CAUSES)


def test_without_rails_it_is_the_estimate_made_anew(book, direct):
    other = dearer(book, Decimal("1.07"), "bracket", "screw")
    again = estimate(direct.job, other, Choices(), ON)
    found = reprice(direct, other, ON)
    assert found.estimate.bill == again.bill
    assert found.estimate.provenance == replace(again.provenance, input_sha256=direct.provenance.input_sha256)
    assert found.estimate.setting_out is direct.setting_out


def test_bars_that_all_got_dearer_alike_keep_their_plan_and_its_bound_stays_a_bound(book, railed):
    other = dearer(book, Decimal("1.06"))
    found, again = reprice(railed, other, ON), estimate(railed.job, other, Choices(), ON)
    plan = found.estimate.cut_plan
    assert found.plan == "kept"
    assert [bar.pieces for bar in plan.bars] == [bar.pieces for bar in railed.cut_plan.bars]
    assert plan.bar_cost == sum(each.price * each.count for each in plan.bars_by_length)
    assert plan.lower_bound <= again.cut_plan.cost
    assert plan.cost - again.cut_plan.cost <= plan.gap
    assert plan.gap <= plan.cost * (railed.cut_plan.gap / railed.cut_plan.cost + 0.005)
    rails = {line.line.part: line for line in found.estimate.bill.lines if line.line.role == "rail"}
    assert {part: line.unit_price for part, line in rails.items()} == {
        line.line.part: line.unit_price for line in again.bill.lines if line.line.part in rails
    }


@pytest.mark.parametrize("factor", [Decimal("1.06"), Decimal("0.96")])
@pytest.mark.parametrize("columns", [2, 4])
def test_a_plan_whose_offcuts_are_worth_something_is_kept_and_its_bound_stays_one(book, columns, factor):
    job = on_rails()
    job["roofs"][0]["arrays"][0] |= {"rows": 1, "columns": columns}
    old = estimate(read_job(job, JobSchema()), book, Choices(), ON)
    assert old.cut_plan.offcut_value > 0
    other = dearer(book, factor)
    found, again = reprice(old, other, ON), estimate(old.job, other, Choices(), ON)
    plan = found.estimate.cut_plan
    assert found.plan == "kept"
    assert plan.cost == plan.bar_cost + plan.splice_cost + plan.expansion_cost - plan.offcut_value
    assert 0.99 * plan.cost < plan.lower_bound <= again.cut_plan.cost


def test_bars_that_moved_against_each_other_are_planned_anew(book, railed):
    bought = railed.cut_plan.bars_by_length[0].part
    other = dearer(book, Decimal(3), parts=(bought,))
    found = reprice(railed, other, ON)
    assert found.plan == "made_anew"
    again = estimate(railed.job, other, Choices(), ON)
    assert found.estimate.bill.totals.total == again.bill.totals.total


def test_an_edition_that_says_otherwise_what_a_rail_may_carry_keeps_nothing(book, railed):
    rail = railed.mounting.rail
    other = replace(book, rails={**book.rails, rail.rail: replace(rail, inertia_mm4=rail.inertia_mm4 * 0.9)})
    assert reprice(railed, other, ON).plan == "all_anew"


@pytest.mark.parametrize("factor", [Decimal("0.9"), Decimal("1.0371"), Decimal(2)])
def test_the_causes_sum_to_the_difference_exactly(book, direct, railed, factor):
    for old in (direct, railed):
        other = replace(dearer(book, factor), labour_rate=book.labour_rate * factor)
        found = reprice(old, other, ON).estimate
        causes = causes_of(old.bill, found.bill)
        difference = found.bill.totals.total.amount - old.bill.totals.total.amount
        assert sum(amount for _, amount in causes) == difference
        assert difference != 0
