"""The same build by another edition: counts and setting-out kept; prices, packs, freight and totals made again.

The cut plan is kept and its bars priced again, and its bound with them. It is made again only where prices of bars and
splices moved against each other so far that the bound leaves room for a better plan, or where other bars are on offer;
that search begins with the old one, so that its plan is no dearer.
Where the edition changes what a part is or may carry, nothing is kept: the job is estimated again.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from estimator.buying import buy
from estimator.cutting.records import TENTHS_PER_MM, BarPattern, CutPlan, Effort, Saw, Stock
from estimator.estimate import PROMPT, Estimate, estimate
from estimator.freight import charge_freight, no_freight
from estimator.job import Job
from estimator.labour import no_labour, plan_labour
from estimator.money import Money
from estimator.mounting import mounting_choices
from estimator.mounting.records import MountingChoice
from estimator.pricebook import Book
from estimator.pricing import price
from estimator.pricing.rail_offers import bar_offers, expansion_cost, saw_for, splice_cost, with_offcuts
from estimator.pricing.records import PricedBill
from estimator.takeoff import net_lines
from estimator.trial import check_in_force

PlanKept = Literal["none", "kept", "made_anew", "all_anew"]
CAUSES = ("prices", "quantities", "lines", "discount", "freight", "labour", "contingency", "tax")
ROOM = Fraction(1, 200)
"""A plan is kept while the bound leaves room for one that is cheaper by at most 0.5 % more than before.

Own decision, no source: labour for splices does not move with prices; without room almost no plan would be kept.
"""


@dataclass(frozen=True, slots=True)
class Repriced:
    """The estimate by the other edition, what became of the cut plan, and why the totals differ."""

    estimate: Estimate
    plan: PlanKept
    causes: tuple[tuple[str, Decimal], ...]


def reprice(old: Estimate, book: Book, on: date, effort: Effort = PROMPT) -> Repriced:
    """An estimate's build by another edition of a book, on a day.

    Refuses (ChoiceRefused, JobRefused) where the edition is not in force, or lacks what the build needs.
    """
    check_in_force(book, on)
    bare, job = book, _as_built(old)
    effort = replace(effort, before=(old.cut_plan,)) if old.cut_plan else effort
    book = with_offcuts(book, old.choices)
    mountings, _, _ = mounting_choices(job, book, old.choices)
    if len(mountings) != 1 or not is_same_build(mountings[0], old.mounting):
        return _told(old, estimate(job, bare, old.choices, on, effort), "all_anew")
    plan = plan_at_new_prices(old, book)
    if plan is None and old.cut_plan is not None:
        made = estimate(job, bare, old.choices, on, effort)
        return _told(old, made, "kept" if made.cut_plan and made.cut_plan.kept == "whole" else "made_anew")
    return _told(old, _at_new_prices(old, mountings[0], plan, (book, on)), "kept" if plan else "none")


def is_same_build(one: MountingChoice, other: MountingChoice) -> bool:
    """Whether two mountings are the same parts with the same measures and strengths; prices are not among them."""
    return replace(one, stocks=()) == replace(other, stocks=()) and {
        (each.part, each.length_mm) for each in one.stocks
    } == {(each.part, each.length_mm) for each in other.stocks}


def plan_at_new_prices(old: Estimate, book: Book) -> CutPlan | None:
    """The plan with its bars at the book's prices; nothing where there is none, or a better one may be found.

    Its bound is moved with the prices, so that it holds for every plan at the new ones.
    """
    plan, mounting = old.cut_plan, old.mounting
    if plan is None or mounting.rail is None:
        return None
    before = {each.part: each for each in bar_offers(mounting, old.book, old.choices)}
    after = {each.part: each for each in bar_offers(mounting, book, old.choices)}
    if saw_for(mounting.rail, book) != saw_for(mounting.rail, old.book) or before.keys() != after.keys():
        return None
    splices = [splice_cost(mounting, each, old.choices) for each in (old.book, book)]
    expansions = [expansion_cost(mounting, each, old.choices) for each in (old.book, book)]
    moved = _with_prices(plan, after, splices[1], expansions[1])
    worth = _worth(saw_for(mounting.rail, book))
    if worth and any(_lowest_price(each) < worth * each.length for each in (*before.values(), *after.values())):
        return None
    ratios = (min(_ratios(before, after)), Fraction(splices[1] or 1, splices[0] or 1))
    bound = _bound(plan, moved, ratios, (min(map(_price_of_length, after.values())), worth))
    moved = replace(moved, lower_bound=min(moved.cost, bound))
    room = Fraction(plan.gap, max(1, plan.cost)) + ROOM
    return moved if moved.gap <= room * moved.cost else None


def _bound(
    old: CutPlan, moved: CutPlan, ratios: tuple[Fraction, Fraction], by_length: tuple[Fraction, Fraction]
) -> int:
    """What every plan costs at least at the new prices.

    Every plan's bars cost at least the least ratio of bars more, its splices exactly theirs; what its off-cuts are
    worth does not move with prices. Where splices moved by less, a plan with more of them gains by it, and where bars
    got cheaper, one with more off-cuts loses less; but no more than it can have: a plan that beats this one pays for
    its splices, and for bars beyond what is wanted, what this one costs beyond the least that so much rail can cost.
    ``by_length``: the least price of rail and the worth of off-cuts, each for a tenth of a millimetre.
    """
    bars, splices = ratios
    price, worth = by_length
    bound = bars * (old.lower_bound - old.expansion_cost)
    wanted = sum(sum(bar.pieces) * bar.count for bar in old.bars)
    cost = moved.cost - moved.expansion_cost
    if splices < bars:
        bound -= (bars / splices - 1) * max(Fraction(0), cost - wanted * price)
    if worth and bars < 1:
        if worth >= price:
            return 0
        longest = max(Fraction(0), (cost - worth * wanted) / (price - worth))
        bound -= (1 - bars) * worth * max(Fraction(0), longest - wanted)
    return max(0, int(bound)) + moved.expansion_cost


def _worth(saw: Saw) -> Fraction:
    """What a tenth of a millimetre of an off-cut is worth."""
    return Fraction(saw.offcut_value_per_m, 1_000 * TENTHS_PER_MM) if saw.reusable_length is not None else Fraction(0)


def _lowest_price(stock: Stock) -> int:
    return min((stock.price, *(level.price for level in stock.breaks)))


def _price_of_length(stock: Stock) -> Fraction:
    return Fraction(_lowest_price(stock), stock.length)


def _ratios(before: dict[str, Stock], after: dict[str, Stock]) -> Iterator[Fraction]:
    """New over old, of every bar's price at every number of bars from which one of them holds."""
    for part, old in before.items():
        new = after[part]
        numbers = {1, *(level.from_bars for stock in (old, new) for level in stock.breaks)}
        yield from (Fraction(_price_at(new, each), max(1, _price_at(old, each))) for each in numbers)


def _price_at(stock: Stock, bars: int) -> int:
    reached = [level for level in stock.breaks if level.from_bars <= bars]
    return max(reached, key=lambda level: level.from_bars).price if reached else stock.price


def _with_prices(plan: CutPlan, offers: dict[str, Stock], splice: int, expansion: int) -> CutPlan:
    counts = {each.part: each.count for each in plan.bars_by_length}
    prices = {part: _price_at(offers[part], count) for part, count in counts.items()}
    starts = {part: _reached_from(offers[part], count) for part, count in counts.items()}

    def at_new(bar: BarPattern) -> BarPattern:
        return replace(bar, price=prices[bar.part], price_from=starts[bar.part])

    bar_cost = sum(prices[part] * count for part, count in counts.items())
    splices, expansions = plan.splices * splice, plan.expansion_splices * expansion
    return replace(
        plan,
        bars=tuple(at_new(bar) for bar in plan.bars),
        bars_by_length=tuple(
            replace(each, price=prices[each.part], price_from=starts[each.part]) for each in plan.bars_by_length
        ),
        bar_cost=bar_cost,
        splice_cost=splices,
        expansion_cost=expansions,
        cost=bar_cost + splices + expansions - plan.offcut_value,
        kept="whole",
    )


def _reached_from(stock: Stock, bars: int) -> int:
    return max((level.from_bars for level in stock.breaks if level.from_bars <= bars), default=0)


def _as_built(old: Estimate) -> Job:
    """The job with its mounting given as it was chosen."""
    chosen = old.mounting
    given = replace(
        old.job.mounting,
        arrangement=chosen.arrangement,
        rail_direction=chosen.rail_direction if chosen.rail else old.job.mounting.rail_direction,
        material=chosen.material,
        bracket=chosen.bracket.part,
        rail=chosen.rail.rail if chosen.rail else None,
    )
    return replace(old.job, mounting=given)


def _at_new_prices(old: Estimate, mounting: MountingChoice, plan: CutPlan | None, by: tuple[Book, date]) -> Estimate:
    book, on = by
    job, choices, counts = old.job, old.choices, old.counts
    bought = buy(net_lines(job, book, mounting, counts, plan), book, choices.line_changes)
    shipped = charge_freight(bought, book, job.site.freight_zone)
    freight = shipped if choices.freight else no_freight(shipped)
    labour = plan_labour(job, book, mounting, counts) if choices.labour else no_labour(book)
    days = choices.validity_days if choices.validity_days is not None else book.defaults.validity_days
    stands = replace(
        old.provenance,
        pricebook=book.id,
        edition=book.edition,
        sha256=book.sha256,
        priced_on=on,
        valid_until=min(on + timedelta(days=days), book.valid_until),
    )
    return replace(
        old,
        book=book,
        mounting=mounting,
        cut_plan=plan,
        freight=freight,
        labour=labour,
        bill=price(bought, freight, labour, book, choices, job.customer.tier),
        provenance=stands,
    )


def _told(old: Estimate, new: Estimate, plan: PlanKept) -> Repriced:
    return Repriced(new, plan, causes_of(old.bill, new.bill))


def causes_of(old: PricedBill, new: PricedBill) -> tuple[tuple[str, Decimal], ...]:
    """The difference of two totals, parted by what brought it about; the parts sum to the difference exactly.

    Of a part in both, what a change of its quantity costs at the new price is the quantity's share.
    """
    before = {each.line.part: each for each in old.lines}
    after = {each.line.part: each for each in new.lines}
    shares = dict.fromkeys(CAUSES, Decimal(0))
    for part in before.keys() | after.keys():
        was, now = before.get(part), after.get(part)
        if was is None or now is None:
            shares["lines"] += (now.price.amount if now else 0) - (was.price.amount if was else 0)
            continue
        more = (now.line.ordered - was.line.ordered) * now.price.amount / (now.line.ordered or 1)
        quantity = Money(more, new.currency).rounded().amount
        shares["quantities"] += quantity
        shares["prices"] += now.price.amount - was.price.amount - quantity
    one, other = old.totals, new.totals
    shares["discount"] = one.discount.amount - other.discount.amount
    for name in ("freight", "labour", "contingency", "tax"):
        shares[name] = getattr(other, name).amount - getattr(one, name).amount
    return tuple(shares.items())
