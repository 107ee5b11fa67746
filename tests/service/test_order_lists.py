"""Orders over accepted quotes: what is planned before anything is locked, and what their papers are dated."""

from dataclasses import replace
from datetime import date

import pytest

from estimator.service import order_lists, quotes
from estimator.service.jobs import post_job
from estimator.service.office import no_seal
from estimator.service.order_lists import OrderAsk, order_quotes
from tests.builders import a_job
from tests.service.offices import DIRECT, a_client, a_draft, an_ask, an_office


@pytest.fixture
def setting(tmp_path):
    office, _, _ = an_office(tmp_path)
    yield office, a_client(office, name="Ann")
    office.engine.dispose()


def accepted(office, client, reference="T-1", ask=None):
    draft = a_draft(office, client, reference, ask).card.id
    quotes.issue_quote(office, client, draft, 1, (), no_seal)
    quotes.answer_quote(office, client, draft, 2, "accepted", no_seal)
    return draft


def test_others_write_while_an_order_is_cut_together(setting, monkeypatch):
    office, client = setting
    written = []

    def planned(ordered, _move):
        job = a_job(reference="posted meanwhile", mounting=DIRECT)
        written.append(post_job(office, client, job, {"reference": job.reference}, no_seal).id)
        return ()

    monkeypatch.setattr(order_lists, "cut_together", planned)
    order = order_quotes(office, client, OrderAsk((accepted(office, client),), {}, None, True), no_seal)
    assert len(written) == 1
    assert order_lists.get_order_list(office, client, order.id).lists == order.lists


def test_a_quote_that_was_ordered_during_the_planning_is_not_ordered_again(setting, monkeypatch):
    office, client = setting
    quote = accepted(office, client)

    def planned(_ordered, _move):
        order_quotes(office, client, OrderAsk((quote,), {}), no_seal)
        return ()

    monkeypatch.setattr(order_lists, "cut_together", planned)
    with pytest.raises(order_lists.AlreadyUsed):
        order_quotes(office, client, OrderAsk((quote,), {}, None, True), no_seal)
    assert len(order_lists.list_order_lists(office, client, before=None, limit=9)) == 1


def test_papers_are_dated_as_purchasing_asked_else_the_day_the_order_was_made(setting):
    office, client = setting
    first, second = accepted(office, client, "A"), accepted(office, client, "B")
    asked = order_quotes(office, client, OrderAsk((first,), {}, date(2026, 7, 1)), no_seal)
    made = order_quotes(office, client, OrderAsk((second,), {}), no_seal)
    assert order_lists.get_order_list(office, client, asked.id).header.dated == date(2026, 7, 1)
    assert order_lists.get_order_list(office, client, made.id).header.dated == made.created_at.date()


def test_papers_speak_the_language_that_all_jobs_share_else_english(setting):
    office, client = setting
    spoken = []
    for number, languages in enumerate((("de",), ("de", "de"), ("de", "en"))):
        ids = []
        for at, language in enumerate(languages):
            job = replace(a_job(), language=language)
            ids.append(accepted(office, client, f"L-{number}-{at}", an_ask(job)))
        spoken.append(order_quotes(office, client, OrderAsk(tuple(ids), {}), no_seal).header.language)
    assert spoken == ["de", "de", "en"]
