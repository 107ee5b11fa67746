"""Orders over accepted quotes: what is planned before anything is locked, and what their papers are dated."""

from dataclasses import replace
from datetime import date

import pytest
from sqlalchemy import update

from estimator.service.context import store_nothing
from estimator.service.jobs import post_job
from estimator.service.ordering import order_lists
from estimator.service.ordering.order_lists import OrderRequest, order_quotes
from estimator.service.quoting import quotes
from estimator.storage.tables import OrderListRow
from tests.builders import a_job
from tests.service.contexts import DIRECT, a_client, a_context, a_draft, a_pricing_request


@pytest.fixture
def setting(tmp_path):
    context, _, _ = a_context(tmp_path)
    yield context, a_client(context, name="Ann")
    context.engine.dispose()


def accepted(context, client, reference="T-1", pricing=None):
    draft = a_draft(context, client, reference, pricing).card.id
    quotes.issue_quote(context, client, draft, 1, (), store_nothing)
    quotes.answer_quote(context, client, draft, 2, "accepted", store_nothing)
    return draft


def test_others_write_while_an_order_is_cut_together(setting, monkeypatch):
    context, client = setting
    written = []

    def planned(ordered, _move, **_watch):
        job = a_job(reference="posted meanwhile", mounting=DIRECT)
        written.append(post_job(context, client, job, {"reference": job.reference}, store_nothing).id)
        return ()

    monkeypatch.setattr(order_lists, "cut_together", planned)
    order = order_quotes(context, client, OrderRequest((accepted(context, client),), {}, None, True), store_nothing)
    assert len(written) == 1
    assert order_lists.get_order_list(context, client, order.id).lists == order.lists


def test_a_quote_that_was_ordered_during_the_planning_is_not_ordered_again(setting, monkeypatch):
    context, client = setting
    quote = accepted(context, client)

    def planned(_ordered, _move, **_watch):
        order_quotes(context, client, OrderRequest((quote,), {}), store_nothing)
        return ()

    monkeypatch.setattr(order_lists, "cut_together", planned)
    with pytest.raises(order_lists.AlreadyUsed):
        order_quotes(context, client, OrderRequest((quote,), {}, None, True), store_nothing)
    assert len(order_lists.list_order_lists(context, client, before=None, limit=9)) == 1


def test_a_list_of_orders_tells_each_in_a_few_values_and_thaws_none(setting, monkeypatch):
    context, client = setting
    first = order_quotes(context, client, OrderRequest((accepted(context, client, "A"),), {}), store_nothing)
    second = order_quotes(context, client, OrderRequest((accepted(context, client, "B"),), {}), store_nothing)
    with monkeypatch.context() as patched:
        patched.setattr(order_lists, "thaw", None)
        told = order_lists.list_order_lists(context, client, before=None, limit=9)
    assert [each.id for each in told] == [second.id, first.id]
    for each, whole in zip(told, (second, first), strict=True):
        assert (each.number, each.quotes, each.dated) == (whole.number, whole.quotes, whole.header.dated)
        assert [(s.supplier, s.total, s.lines, s.mass_kg, s.order_by) for s in each.suppliers] == [
            (s.supplier.supplier, s.total, len(s.lines), s.mass_kg, s.order_by) for s in whole.lists.lists
        ]
        assert each.checks == len(whole.lists.findings)


def test_a_list_that_was_kept_without_a_summary_gets_one_when_it_is_shown(setting, monkeypatch):
    context, client = setting
    order_quotes(context, client, OrderRequest((accepted(context, client),), {}), store_nothing)
    told = order_lists.list_order_lists(context, client, before=None, limit=9)
    with context.writing() as session:
        session.execute(update(OrderListRow).values(summary=None))
    assert order_lists.list_order_lists(context, client, before=None, limit=9) == told
    monkeypatch.setattr(order_lists, "thaw", None)
    assert order_lists.list_order_lists(context, client, before=None, limit=9) == told


def test_papers_are_dated_as_purchasing_asked_else_the_day_the_order_was_made(setting):
    context, client = setting
    first, second = accepted(context, client, "A"), accepted(context, client, "B")
    asked = order_quotes(context, client, OrderRequest((first,), {}, date(2026, 7, 1)), store_nothing)
    made = order_quotes(context, client, OrderRequest((second,), {}), store_nothing)
    assert order_lists.get_order_list(context, client, asked.id).header.dated == date(2026, 7, 1)
    assert order_lists.get_order_list(context, client, made.id).header.dated == made.created_at.date()


def test_papers_speak_the_language_that_all_jobs_share_else_english(setting):
    context, client = setting
    spoken = []
    for number, languages in enumerate((("de",), ("de", "de"), ("de", "en"))):
        ids = []
        for at, language in enumerate(languages):
            job = replace(a_job(mounting=DIRECT), language=language)
            ids.append(accepted(context, client, f"L-{number}-{at}", a_pricing_request(job)))
        spoken.append(order_quotes(context, client, OrderRequest(tuple(ids), {}), store_nothing).header.language)
    assert spoken == ["de", "de", "en"]
