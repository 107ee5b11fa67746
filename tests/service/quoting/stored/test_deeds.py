"""What may be done to a quote: what is offered is done, and what is not offered is refused."""

from dataclasses import replace

import pytest

from estimator.errors import Conflict
from estimator.service.context import store_nothing
from estimator.service.editions import deeds_of as deeds_of_edition
from estimator.service.ordering.order_lists import OrderRequest, order_quotes
from estimator.service.quoting import quotes
from estimator.service.quoting.stored import lists as quote_lists
from estimator.service.quoting.stored.deeds import deeds_of
from estimator.service.quoting.stored.quotes import get_quote
from tests.builders import a_job
from tests.service.contexts import DIRECT, a_client, a_context, a_pricing_request
from tests.service.quoting.stored.test_quote_lists import a_quote


@pytest.fixture
def house(tmp_path):
    made, clock, _ = a_context(tmp_path)
    yield made, clock, a_client(made)
    made.engine.dispose()


def deeds(context, client, quote_id, role="admin"):
    card = get_quote(context, client, quote_id)
    revisions = quote_lists.revisions_of(context, client, card.number)
    return deeds_of(replace(client, role=role), card, revisions, context.today())


def test_a_quote_offers_what_its_state_allows_from_draft_to_order(house):
    context, _, client = house
    card = a_quote(context, client, "D-1")
    assert deeds(context, client, card.id).allowed == {"revise", "issue"}
    card = quotes.issue_quote(context, client, card.id, card.version, (), store_nothing)
    assert deeds(context, client, card.id).allowed == {"revise", "answer"}
    card = quotes.answer_quote(context, client, card.id, card.version, "accepted", store_nothing)
    assert deeds(context, client, card.id).allowed == {"revise", "order"}
    order_quotes(context, client, OrderRequest((card.id,), {}), store_nothing)
    assert deeds(context, client, card.id).allowed == {"revise"}


@pytest.mark.parametrize(
    ("role", "offered"),
    [("estimator", {"revise", "issue"}), ("purchasing", set()), ("pricing", set()), ("crm", set())],
)
def test_a_draft_offers_each_role_what_its_scopes_include(house, role, offered):
    context, _, client = house
    card = a_quote(context, client, "D-2")
    assert deeds(context, client, card.id, role).allowed == offered


def test_a_draft_whose_validity_has_ended_is_not_offered_to_be_issued_and_says_why(house):
    context, clock, client = house
    card = a_quote(context, client, "D-3")
    clock.turn(days=60)
    found = deeds(context, client, card.id)
    assert "issue" not in found.allowed and found.not_issued is not None
    with pytest.raises(Conflict) as refused:
        quotes.issue_quote(context, client, card.id, card.version, (), store_nothing)
    assert refused.value.told == found.not_issued


def test_a_draft_that_a_later_revision_overtook_is_not_offered_to_be_issued(house):
    context, _, client = house
    card = a_quote(context, client, "D-4")
    pricing = a_pricing_request(a_job(reference="D-4", mounting=DIRECT))
    later = quotes.revise_quote(context, client, card.id, pricing, store_nothing).card
    assert "issue" in deeds(context, client, card.id).allowed
    quotes.issue_quote(context, client, later.id, later.version, (), store_nothing)
    state = get_quote(context, client, card.id).state
    assert "issue" not in deeds(context, client, card.id).allowed, state


@pytest.mark.parametrize(
    ("standing", "role", "offered"),
    [
        ("waiting", "pricing", {"approve", "withdraw"}),
        ("approved", "pricing", {"withdraw", "reprice"}),
        ("approved", "estimator", {"reprice"}),
        ("withdrawn", "admin", set()),
        ("waiting", "purchasing", set()),
    ],
)
def test_an_edition_offers_what_its_standing_and_the_role_allow(house, standing, role, offered):
    assert deeds_of_edition(replace(house[2], role=role), standing) == offered
