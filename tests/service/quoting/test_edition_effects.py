"""What an edition does to open quotes: all of them are in the sums, whether their costs were kept with them or not.

Sums by hand: what a quote orders of a part, times what one costs more.
"""

from dataclasses import replace
from decimal import Decimal

import pytest
from sqlalchemy import delete, func, select

from estimator.service.context import store_nothing
from estimator.service.quoting import quotes
from estimator.service.quoting.edition_effects import compare_editions
from estimator.service.quoting.stored import costs
from estimator.service.quoting.stored.costs import CostsPending, keep_next_costs
from estimator.service.quoting.stored.quotes import get_whole
from estimator.storage.tables import QuoteCostsRow
from tests.service.contexts import a_client, a_context, a_draft

DEARER = Decimal("0.10")


@pytest.fixture
def setting(tmp_path):
    context, clock, catalogue = a_context(tmp_path)
    before = catalogue.book
    part = a_bracket_of(before)
    dear = replace(part, cost=part.cost + DEARER, breaks=())
    after = replace(before, edition="2026-02", parts={**before.parts, part.part: dear})
    gone = replace(before, edition="2026-03", parts={k: v for k, v in before.parts.items() if k != part.part})
    editions = {each.edition: each for each in (before, after, gone)}
    catalogue.get = lambda _organisation, _book, edition: editions[edition]
    yield context, clock, a_client(context, name="Ann"), (before, part)
    context.engine.dispose()


def a_bracket_of(book):
    return next(each for each in book.parts.values() if each.role == "bracket" and not each.breaks)


def ordered_of(context, client, quote, part):
    lines = get_whole(context, client, quote).offer.estimate.bill.lines
    return sum(each.line.ordered for each in lines if each.line.part == part.part)


def compared(context, client, before, edition="2026-02", **more):
    return compare_editions(context, client, (before.id, edition), before.edition, **more)


def test_every_open_quote_is_in_the_sums_and_those_that_change_most_are_listed(setting):
    context, clock, client, (before, part) = setting
    made = [a_draft(context, client, f"T-{at}").card.id for at in range(4)]
    quotes.issue_quote(context, client, made[0], 1, (), store_nothing)
    over = [a_draft(context, client, f"O-{at}").card.id for at in range(2)]
    quotes.issue_quote(context, client, over[0], 1, (), store_nothing)
    quotes.answer_quote(context, client, over[0], 2, "declined", store_nothing)
    quotes.issue_quote(context, client, over[1], 1, (), store_nothing)
    quotes.answer_quote(context, client, over[1], 2, "accepted", store_nothing)

    found = compared(context, client, before, most=3)
    more = sum(ordered_of(context, client, each, part) for each in made) * DEARER
    assert more > 0
    assert found.effect.count == found.effect.dearer == 4
    assert (found.effect.cheaper, found.effect.with_parts_gone) == (0, 0)
    assert found.effect.after - found.effect.before == more
    assert (len(found.quotes), found.left_out) == (3, 1)
    assert {each.id for each in found.quotes} <= set(made)

    clock.turn(days=400)
    assert compared(context, client, before).effect.count == 0


def test_parts_that_are_gone_are_named_and_left_out_of_both_sums(setting):
    context, _, client, (before, part) = setting
    quote = a_draft(context, client).card.id
    found = compared(context, client, before, "2026-03")
    assert found.effect.with_parts_gone == 1
    assert found.effect.before == found.effect.after
    ((_, gone),) = [(each.id, each.gone) for each in found.quotes]
    assert gone == (part.part,)
    everything = compared(context, client, before).effect.before
    assert everything - found.effect.before == ordered_of(context, client, quote, part) * part.cost


def test_quotes_without_costs_get_theirs_before_they_are_summed_up(setting):
    context, _, client, (before, _) = setting
    for at in range(3):
        a_draft(context, client, f"T-{at}")
    as_kept = compared(context, client, before)
    forget(context)
    assert compared(context, client, before) == as_kept
    assert kept(context) == 3


def test_another_houses_quotes_are_not_counted(setting):
    context, _, client, (before, _) = setting
    a_draft(context, client)
    stranger = a_client(context, organisation="another")
    a_draft(context, stranger)
    assert compared(context, client, before).effect.count == 1
    forget(context)
    assert compared(context, stranger, before).effect.count == 1
    assert kept(context) == 1


def test_while_there_are_too_many_a_request_is_told_to_come_again(setting, monkeypatch):
    context, _, client, (before, _) = setting
    monkeypatch.setattr(costs, "MOST_AT_ONCE", 1)
    monkeypatch.setattr(costs, "PART", 1)
    for at in range(3):
        a_draft(context, client, f"T-{at}")
    forget(context)
    with pytest.raises(CostsPending) as pending:
        compared(context, client, before)
    assert pending.value.retry_after
    for left in (True, True, True, False):
        assert keep_next_costs(context) is left
    assert compared(context, client, before).effect.count == 3


def forget(context):
    with context.writing() as session:
        session.execute(delete(QuoteCostsRow))


def kept(context):
    with context.reading() as session:
        return session.scalar(select(func.count()).select_from(QuoteCostsRow))
