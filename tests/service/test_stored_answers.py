"""What is kept of an answer holds for one version of the quote and of the contract, and for one kind of reader."""

from datetime import timedelta
from functools import partial

import orjson
import pytest

from estimator.contract.answers.quotes import SUMMARY, part_bytes, quote_bytes, quote_entry
from estimator.contract.answers.writing import dump
from estimator.contract.requests.queries import PARTS
from estimator.errors import NotFound
from estimator.service.context import store_nothing
from estimator.service.quoting import quotes, stored_answers, stored_quotes
from estimator.service.quoting.stored_answers import AnswerForm, quote_answer, quote_version
from tests.service.contexts import a_client, a_context, a_draft


@pytest.fixture
def setting(tmp_path):
    context, clock, _ = a_context(tmp_path)
    yield context, clock, a_client(context, name="Ann")
    context.engine.dispose()


def a_form(*, costs=True, contract="1", seen=None):
    """A form that writes down for which parts it was asked."""

    def write(whole, name):
        if seen is not None:
            seen.append(name)
        return part_bytes(whole, name, costs=costs)

    return AnswerForm(costs, contract, write)


def test_a_kept_answer_is_the_answer_that_would_be_written(setting):
    context, _, client = setting
    draft = a_draft(context, client)
    for costs in (True, False):
        form = AnswerForm(costs, "1", partial(part_bytes, costs=costs))
        for _ in range(2):  # written, then kept
            answer = quote_answer(context, client, draft.card.id, (SUMMARY,), form)
            told = quote_bytes(answer.state, answer.order_list_id, answer.parts)
            assert orjson.loads(told) == orjson.loads(dump(quote_entry(draft, costs=costs)))


def test_parts_asked_for_stand_in_the_estimate_as_the_whole_estimate_has_them(setting):
    context, _, client = setting
    draft = a_draft(context, client)
    answer = quote_answer(context, client, draft.card.id, (SUMMARY, *PARTS), a_form())
    estimate = orjson.loads(quote_bytes(answer.state, answer.order_list_id, answer.parts))["estimate"]
    plain = orjson.loads(quote_bytes(answer.state, answer.order_list_id, {SUMMARY: answer.parts[SUMMARY]}))["estimate"]
    assert set(estimate) - set(plain) == {
        "roofs",
        "loads",
        "reactions",
        "cut_plan",
        "derivations",
        "choices",
        "all_checks",
    }
    assert {name: estimate[name] for name in plain} == plain
    assert orjson.loads(answer.parts["cut_plan"]) == {"cut_plan": estimate["cut_plan"]}


def test_what_is_kept_is_not_written_again_and_needs_no_offer(setting, monkeypatch):
    context, _, client = setting
    draft = a_draft(context, client)
    seen = []
    quote_answer(context, client, draft.card.id, (SUMMARY, "loads"), a_form(seen=seen))
    monkeypatch.setattr(stored_quotes, "thaw", lambda _kept: pytest.fail("the offer was read"))
    quote_answer(context, client, draft.card.id, (SUMMARY,), a_form(seen=seen))
    quote_answer(context, client, draft.card.id, ("loads", SUMMARY), a_form(seen=seen))
    assert quote_version(context, client, draft.card.id) == (1, "draft")
    assert sorted(seen) == ["loads", SUMMARY]


def test_another_contract_another_reader_and_another_version_are_written_anew(setting):
    context, _, client = setting
    draft = a_draft(context, client)
    seen = []
    quote_answer(context, client, draft.card.id, (SUMMARY,), a_form(seen=seen))
    quote_answer(context, client, draft.card.id, (SUMMARY,), a_form(seen=seen, contract="2"))
    assert len(seen) == 2
    without = quote_answer(context, client, draft.card.id, (SUMMARY,), a_form(seen=seen, contract="2", costs=False))
    assert len(seen) == 3
    assert b"margin_rate" not in without.parts[SUMMARY]
    quotes.issue_quote(context, client, draft.card.id, 1, (), store_nothing)
    quote_answer(context, client, draft.card.id, (SUMMARY,), a_form(seen=seen, contract="2"))
    assert len(seen) == 4


def test_the_state_of_a_kept_answer_is_that_of_today(setting):
    context, clock, client = setting
    draft = a_draft(context, client)
    quotes.issue_quote(context, client, draft.card.id, 1, (), store_nothing)
    assert quote_answer(context, client, draft.card.id, (SUMMARY,), a_form()).state == "issued"
    clock.at += timedelta(days=400)
    assert quote_answer(context, client, draft.card.id, (SUMMARY,), a_form()).state == "expired"
    assert quote_version(context, client, draft.card.id) == (2, "expired")


def test_an_answer_of_another_house_is_not_found(setting):
    context, _, client = setting
    draft = a_draft(context, client)
    quote_answer(context, client, draft.card.id, (SUMMARY,), a_form())
    stranger = a_client(context, organisation="another")
    with pytest.raises(NotFound):
        quote_answer(context, stranger, draft.card.id, (SUMMARY,), a_form())
    with pytest.raises(NotFound):
        quote_version(context, stranger, draft.card.id)


def test_an_answer_that_cannot_be_kept_is_given_all_the_same(setting, monkeypatch):
    context, _, client = setting
    draft = a_draft(context, client)

    def busy(*_args, **_kwargs):
        raise stored_answers.OperationalError("insert", {}, Exception("database is locked"))

    monkeypatch.setattr(stored_answers, "KEPT", busy)
    written = stored_answers._written(context, client, draft.card.id, (SUMMARY,), a_form())
    assert written.parts[SUMMARY]
