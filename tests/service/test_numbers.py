"""Quotes and order lists are numbered on their own, each without a gap; numbers given so far stand."""

import re

import pytest
from sqlalchemy import text

from estimator.service.context import store_nothing
from estimator.service.jobs import post_job
from estimator.service.ordering.order_lists import OrderRequest, order_quotes
from estimator.service.quoting.quotes import answer_quote, draft_quote, issue_quote
from estimator.storage import migrate
from estimator.storage.engine import open_engine
from tests.builders import a_job
from tests.service.contexts import DIRECT, a_client, a_context, a_draft, a_pricing_request
from tests.storage.kept_house import unpack


class UndoneError(Exception):
    """What undoes a draft before it is kept."""


@pytest.fixture
def context(tmp_path):
    made, _, _ = a_context(tmp_path)
    yield made
    made.engine.dispose()


def an_order(context, client, reference):
    quote = a_draft(context, client, reference).card
    issue_quote(context, client, quote.id, 1, (), store_nothing)
    answer_quote(context, client, quote.id, 2, "accepted", store_nothing)
    return quote.number, order_quotes(context, client, OrderRequest((quote.id,), {}), store_nothing).number


def test_each_series_counts_on_its_own(context):
    client = a_client(context)
    made = [an_order(context, client, f"T-{at}") for at in range(3)]
    assert made == [(f"Q-2026-0000{at}", f"O-2026-0000{at}") for at in (1, 2, 3)]


def test_a_quote_that_is_undone_leaves_no_gap(context):
    client = a_client(context)
    job = a_job(reference="T-0", mounting=DIRECT)
    kept = post_job(context, client, job, {"reference": "T-0"}, store_nothing)

    def undo(_session, made):
        assert made.card.number == "Q-2026-00001"
        raise UndoneError

    with pytest.raises(UndoneError):
        draft_quote(context, client, kept.id, a_pricing_request(job), undo)
    assert a_draft(context, client, "T-1").card.number == "Q-2026-00001"


def test_numbers_of_version_0_1_stand_and_each_series_goes_on_after_its_own(tmp_path):
    """Version 0.1 had one series for both; what it gave is in the kept database."""
    url = unpack(tmp_path)
    engine = open_engine(url)
    with engine.connect() as connection:
        before = {
            table: sorted(connection.execute(text(f"SELECT number FROM {table}")).scalars())
            for table in ("quote", "order_list")
        }
    migrate.upgrade(url)
    with engine.connect() as connection:
        for table, numbers in before.items():
            assert sorted(connection.execute(text(f"SELECT number FROM {table}")).scalars()) == numbers
        rows = connection.execute(text("SELECT id, last_number, last_order_number FROM organisation")).all()
        for organisation, quotes, orders in rows:
            for table, counted in (("quote", quotes), ("order_list", orders)):
                asked = text(f"SELECT number FROM {table} WHERE organisation_id = :id")
                given = connection.execute(asked, {"id": organisation}).scalars()
                assert counted == max((int(re.search(r"\d+$", each)[0]) for each in given), default=0)
        assert any(orders and quotes != orders for _, quotes, orders in rows)
    engine.dispose()
