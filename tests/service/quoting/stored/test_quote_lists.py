"""Lists of quotes: what is looked for is found, what is urgent stands first, and nobody sees another house's."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.job import Customer
from estimator.service.context import store_nothing
from estimator.service.jobs import post_job
from estimator.service.ordering.order_lists import OrderRequest, order_quotes
from estimator.service.quoting import quotes
from estimator.service.quoting.stored import lists as quote_lists
from estimator.service.quoting.stored.lists import QuoteSearch
from estimator.storage.tables import QuoteRow
from tests.builders import a_job
from tests.service.contexts import DIRECT, a_client, a_context, a_pricing_request


@pytest.fixture
def house(tmp_path):
    made, clock, _ = a_context(tmp_path)
    yield made, clock, a_client(made)
    made.engine.dispose()


def a_quote(context, client, reference, title="", customer="", **changes):
    job = replace(a_job(reference=reference, mounting=DIRECT), title=title, customer=Customer(customer or "Hill farm"))
    document = {"reference": reference, "title": title, "customer": {"name": customer or "Hill farm"}}
    kept = post_job(context, client, job, document, store_nothing)
    pricing = replace(a_pricing_request(job), job_document=document, **changes)
    return quotes.draft_quote(context, client, kept.id, pricing, store_nothing).card


def issued(context, client, *words):
    card = a_quote(context, client, *words)
    return quotes.issue_quote(context, client, card.id, card.version, (), store_nothing)


def found(house, **search):
    return [each.reference for each in quote_lists.find_quotes(house[0], house[2], QuoteSearch(**search)).quotes]


def test_every_word_is_looked_for_in_number_reference_title_and_customer(house):
    context, _, client = house
    a_quote(context, client, "T-1", "Cold store", "Hill farm")
    number = a_quote(context, client, "T-2", "Käselager", "Dairy 100%").number
    assert found(house, words="cold") == ["T-1"]
    assert found(house, words="KÄSE dairy") == ["T-2"]
    assert found(house, words=number) == ["T-2"]
    assert found(house, words="100%") == ["T-2"]
    assert found(house, words="%") == ["T-2"]
    assert found(house, words="cold dairy") == []
    assert found(house, customer="hill") == ["T-1"]
    assert found(house) == ["T-2", "T-1"]


def test_states_are_those_of_the_day_and_follow_every_change(house):
    context, clock, client = house
    a_quote(context, client, "T-1")
    card = issued(context, client, "T-2")
    assert found(house, state="draft") == ["T-1"]
    assert found(house, state="issued") == ["T-2"]
    clock.at = clock.at.replace(year=clock.at.year, day=1, month=12)
    assert card.valid_until < clock.at.date()
    assert found(house, state="expired") == ["T-2"]
    assert found(house, state="issued") == []


def test_totals_ages_and_ends_narrow_the_list_and_order_it(house):
    context, clock, client = house
    first = a_quote(context, client, "T-1")
    assert found(house, least=first.total, most=first.total) == ["T-1"]
    assert found(house, least=first.total + Decimal("0.01")) == []
    clock.turn(days=3)
    a_quote(context, client, "T-2")
    assert found(house, within_days=2) == ["T-2"]
    assert found(house, ending_days=(first.valid_until - clock.at.date()).days) == ["T-1"]
    assert found(house, order="ending") == ["T-1", "T-2"]


def test_what_is_urgent_is_told_by_its_reason(house):
    context, clock, client = house
    card = issued(context, client, "T-1")
    assert quote_lists.urgent_quotes(context, client) == ()
    clock.turn(days=(card.valid_until - clock.at.date()).days - 7)
    told = quote_lists.urgent_quotes(context, client)
    assert [(each.reason, each.count, each.quotes[0].attention) for each in told] == [("ending", 1, "ending")]
    quotes.answer_quote(context, client, card.id, card.version, "accepted", store_nothing)
    assert [each.reason for each in quote_lists.urgent_quotes(context, client)] == ["to_order"]
    assert [each.reference for each in quote_lists.quotes_to_order(context, client)] == ["T-1"]


def reasons(house):
    return [each.reason for each in quote_lists.urgent_quotes(house[0], house[2])]


def test_what_was_ordered_or_mended_asks_for_attention_no_more_and_what_was_declined_for_eight_weeks(house):
    context, clock, client = house
    card = issued(context, client, "T-1")
    quotes.answer_quote(context, client, card.id, card.version, "accepted", store_nothing)
    order_quotes(context, client, OrderRequest((card.id,), {}), store_nothing)
    assert reasons(house) == []
    with context.writing() as session:  # whatever else is written of an ordered quote
        session.get(QuoteRow, card.id).prepared_by = "Somebody else"
    assert reasons(house) == []
    declined = issued(context, client, "T-2")
    quotes.answer_quote(context, client, declined.id, declined.version, "declined", store_nothing)
    assert reasons(house) == ["declined"]
    clock.turn(days=56)
    assert reasons(house) == ["declined"]
    clock.turn(days=1)
    assert reasons(house) == []


def test_a_draft_whose_checks_fail_asks_for_attention_until_it_expires(house):
    context, clock, client = house
    card = a_quote(context, client, "T-1")
    with context.writing() as session:
        session.get(QuoteRow, card.id).errors = 2
    (told,) = quote_lists.urgent_quotes(context, client)
    assert (told.reason, told.count, told.quotes[0].errors) == ("failing", 1, 2)
    clock.turn(days=(card.valid_until - clock.at.date()).days + 1)
    assert reasons(house) == []


def test_another_house_finds_nothing(house):
    context, _, client = house
    number = a_quote(context, client, "T-1").number
    stranger = a_client(context, organisation="another house")
    assert quote_lists.find_quotes(context, stranger, QuoteSearch()).quotes == ()
    assert quote_lists.revisions_of(context, stranger, number) == ()
    assert [each.revision for each in quote_lists.revisions_of(context, client, number)] == [1]


def test_a_long_list_comes_in_pages(house, monkeypatch):
    context, _, client = house
    monkeypatch.setattr(quote_lists, "PAGE", 2)
    for number in range(3):
        a_quote(context, client, f"T-{number}")
    page = quote_lists.find_quotes(context, client, QuoteSearch())
    assert ([each.reference for each in page.quotes], page.more) == (["T-2", "T-1"], True)
    page = quote_lists.find_quotes(context, client, QuoteSearch(page=2))
    assert ([each.reference for each in page.quotes], page.more) == (["T-0"], False)
