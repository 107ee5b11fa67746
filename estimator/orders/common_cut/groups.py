"""Which quotes can be cut together: the same rail, cut and joined alike, from the same bars on offer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.cutting.records import CutPlan, JointRules, Saw, Stock
from estimator.job import Choices
from estimator.mounting.records import MountingChoice
from estimator.orders.merge import set_by_hand
from estimator.orders.merged_books import MergedBooks
from estimator.orders.records import OffcutHeap, OrderedQuote
from estimator.orders.yard import key_of, yard_parts
from estimator.pricebook import BarStock, Book, Rail
from estimator.pricing.rail_offers import bar_offers, expansion_cost, joint_rules, saw_for, splice_cost
from estimator.pricing.unit_prices import YARD


@dataclass(frozen=True, slots=True)
class RailQuote:
    """A quote that takes part, with its rail and its cut plan."""

    quote: OrderedQuote
    rail: Rail
    plan: CutPlan


@dataclass(frozen=True, slots=True)
class CutGroup:
    """Quotes of one rail, the bars on offer at what they cost the house, and how they are sawn and joined.

    ``heaps`` are the parts among the bars that purchasing told as off-cuts on hand.
    """

    rail: str
    members: tuple[RailQuote, ...]
    offer: tuple[Stock, ...]
    rules: JointRules
    saw: Saw
    splice_price: int
    expansion_price: int
    heaps: frozenset[str] = frozenset()

    @property
    def quotes(self) -> tuple[str, ...]:
        """The quotes' numbers."""
        return tuple(member.quote.number for member in self.members)


def cut_groups(quotes: Sequence[OrderedQuote], books: MergedBooks) -> tuple[CutGroup, ...]:
    """Groups of two or more quotes; of one where off-cuts of its rail are on hand.

    A quote takes part if all its runs can be made and nobody set its bars by hand: what the estimator fixed stays.
    """
    by_key: dict[object, list[RailQuote]] = {}
    for quote in quotes:
        member = _member(quote)
        if member is not None:
            by_key.setdefault(_key(member), []).append(member)
    return tuple(_group(members, books) for members in by_key.values() if len(members) > 1 or _heaps(members, books))


def _member(quote: OrderedQuote) -> RailQuote | None:
    estimate = quote.estimate
    rail, plan = estimate.mounting.rail, estimate.cut_plan
    if rail is None or plan is None or plan.refused or not plan.bars:
        return None
    bars = {stock.part for stock in estimate.mounting.stocks}
    lines = [each.line for each in estimate.bill.lines if each.line.part in bars]
    planned = {each.part for each in plan.bars_by_length}
    whole = planned <= {line.part for line in lines}
    return RailQuote(quote, rail, plan) if whole and not any(set_by_hand(line) for line in lines) else None


def _key(member: RailQuote) -> object:
    """What must be alike: the profile, how it is cut and joined, and the bars that may be bought."""
    rail, estimate = member.rail, member.quote.estimate
    shape = replace(rail, name="", stocks=(), offcut_value_per_m=None, row=0)
    bought = frozenset(
        (stock.part, stock.length_mm)
        for stock in estimate.mounting.stocks
        if estimate.book.parts[stock.part].supplier != YARD
    )
    return shape, bought


def _group(members: Sequence[RailQuote], books: MergedBooks) -> CutGroup:
    """The bars at cost: prices to customers play no part in what purchasing saves."""
    at_cost = {name: replace(part, list_price=None) for name, part in books.parts.items()}
    book = replace(books.newest, parts=at_cost)
    youngest = max(members, key=lambda member: member.quote.estimate.book.valid_from)
    estimate = youngest.quote.estimate
    heaps = _heaps(members, books)
    choice = replace(estimate.mounting, stocks=_stocks(members, heaps))
    choices = replace(Choices(), margin=Decimal(0), labour=estimate.choices.labour)
    return CutGroup(
        rail=youngest.rail.rail,
        members=tuple(members),
        offer=bar_offers(choice, book, choices),
        rules=joint_rules(youngest.rail),
        saw=saw_for(youngest.rail, book),
        splice_price=_dearest(splice_cost, choice, members, choices),
        expansion_price=_dearest(expansion_cost, choice, members, choices),
        heaps=frozenset(heap.part for heap in heaps),
    )


def _heaps(members: Sequence[RailQuote], books: MergedBooks) -> tuple[OffcutHeap, ...]:
    """The off-cuts told of the rail that these quotes have."""
    rails = {member.rail.rail for member in members}
    return tuple(heap for heap in books.heaps if heap.rail in rails)


def _dearest(
    price: Callable[[MountingChoice, Book, Choices], int],
    choice: MountingChoice,
    members: Sequence[RailQuote],
    choices: Choices,
) -> int:
    """A splice at the highest price in the quotes, so that no plan moves one in to save on bars without a reason."""
    costs = []
    for member in members:
        book = member.quote.estimate.book
        parts = {name: replace(part, list_price=None) for name, part in book.parts.items()}
        costs.append(price(choice, replace(book, parts=parts), choices))
    return max(costs)


def _stocks(members: Sequence[RailQuote], heaps: Sequence[OffcutHeap]) -> tuple[BarStock, ...]:
    """Every bar once; where one is limited, the quotes saw the same bars, so there are no more than one of them saw.

    Heaps that purchasing told stand in the place of what the quotes saw of them.
    """
    stocks = {heap.part: BarStock(heap.part, heap.length_mm, heap.count) for heap in heaps if heap.count}
    told = {key_of(heap) for heap in heaps}
    for member in members:
        own = yard_parts(member.quote.estimate.book)
        for stock in member.quote.estimate.mounting.stocks:
            if own.get(stock.part) in told:
                continue
            known = stocks.get(stock.part, stock)
            limits = [each.available for each in (known, stock) if each.available is not None]
            stocks[stock.part] = replace(stock, available=max(limits) if limits else None)
    return tuple(sorted(stocks.values(), key=lambda stock: (-stock.length_mm, stock.part)))
