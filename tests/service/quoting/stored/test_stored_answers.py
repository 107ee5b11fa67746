"""What is kept of an answer holds for one version of the quote and of the contract, and for one kind of reader."""

import io
from dataclasses import replace
from datetime import timedelta
from functools import partial

import openpyxl
import orjson
import pytest

from estimator.contract.answers.quotes.quotes import answer_forms, part_bytes, quote_bytes, quote_entry, renewed
from estimator.contract.answers.writing import dump
from estimator.contract.requests.queries import PARTS
from estimator.documents.papers import QUOTE_FORMS
from estimator.errors import NotFound
from estimator.service.access.policy import put_policy
from estimator.service.context import AnswerForm, store_nothing
from estimator.service.quoting import quotes
from estimator.service.quoting.returned_workbooks import revise_by_workbook
from estimator.service.quoting.stored import answers as stored_answers
from estimator.service.quoting.stored import quotes as stored_quotes
from estimator.service.quoting.stored.answers import SUMMARY, quote_answer, quote_version
from tests.service.contexts import a_client, a_context, a_draft, a_pricing_request


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

    return AnswerForm(costs, contract, write, partial(renewed, costs=costs))


def test_a_kept_answer_is_the_answer_that_would_be_written(setting):
    context, _, client = setting
    draft = a_draft(context, client)
    for costs in (True, False):
        form = AnswerForm(costs, "1", partial(part_bytes, costs=costs), partial(renewed, costs=costs))
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


@pytest.fixture
def keeping(setting):
    """The same, where the answer is kept whenever a quote changes, as in the service."""
    context, clock, client = setting
    return replace(context, answers=answer_forms()), clock, client


def accepted(context, client, draft):
    quotes.issue_quote(context, client, draft.card.id, 1, (), store_nothing)
    quotes.answer_quote(context, client, draft.card.id, 2, "accepted", store_nothing)
    return draft.card.id


def declined(context, client, draft):
    quotes.issue_quote(context, client, draft.card.id, 1, (), store_nothing)
    quotes.answer_quote(context, client, draft.card.id, 2, "declined", store_nothing)
    return draft.card.id


def revised(context, client, draft):
    return quotes.revise_quote(context, client, draft.card.id, a_pricing_request(), store_nothing).card.id


def superseded(context, client, draft):
    quotes.issue_quote(context, client, draft.card.id, 1, (), store_nothing)
    quotes.issue_quote(context, client, revised(context, client, draft), 1, (), store_nothing)
    assert stored_quotes.get_quote(context, client, draft.card.id).state == "superseded"
    return draft.card.id


def approved(context, client, draft):
    other = a_client(context, role="admin", name="Bob")
    put_policy(context, other, 1, {"limits": {"estimator": {"least_margin": "0.99"}}}, store_nothing)
    quotes.approve_quote(context, other, draft.card.id, 1, "customer of many years", store_nothing)
    return draft.card.id


def filled_in(content):
    """The workbook with another rate in the first cell for one."""
    book = openpyxl.load_workbook(io.BytesIO(content))
    cell = next(
        cell for sheet in book for row in sheet.iter_rows() for cell in row
        if isinstance(cell.value, (int, float)) and not cell.protection.locked and 0 < cell.value < 1
    )  # fmt: skip
    cell.value = round(cell.value + 0.05, 4)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def sent_back(context, client, draft):
    content = QUOTE_FORMS["workbook"].write(draft.offer, draft.header, "estimator")
    changed = filled_in(content)
    pricing = a_pricing_request()
    made = revise_by_workbook(
        context, client, (draft.card.id, changed, False), lambda _job, _choices: pricing, store_nothing
    )
    return made.quote.card.id


@pytest.mark.parametrize("change", [accepted, declined, revised, superseded, approved, sent_back])
def test_whatever_changes_a_quote_keeps_its_answer_as_it_would_be_written(keeping, monkeypatch, change):
    context, _, client = keeping
    changed = change(context, client, a_draft(context, client))
    whole = stored_quotes.get_whole(context, client, changed)
    with monkeypatch.context() as patched:
        patched.setattr(stored_answers, "written_now", lambda *_: pytest.fail("the answer was not kept"))
        for form in answer_forms():
            kept = quote_answer(context, client, changed, (SUMMARY,), form)
            assert kept.version == whole.card.version
            assert orjson.loads(kept.parts[SUMMARY]) == orjson.loads(form.write(whole, SUMMARY))


def test_parts_kept_of_an_offer_are_kept_on_where_the_card_alone_changes(keeping, monkeypatch):
    context, _, client = keeping
    draft = a_draft(context, client)
    form = answer_forms()[0]
    before = quote_answer(context, client, draft.card.id, ("runs",), form).parts["runs"]
    quotes.issue_quote(context, client, draft.card.id, 1, (), store_nothing)
    monkeypatch.setattr(stored_answers, "written_now", lambda *_: pytest.fail("the part was not kept on"))
    assert quote_answer(context, client, draft.card.id, ("runs", SUMMARY), form).parts["runs"] == before


def test_a_late_reader_does_not_put_an_older_answer_in_the_place_of_a_newer(keeping, monkeypatch):
    context, _, client = keeping
    draft = a_draft(context, client)
    form = a_form()
    whole = stored_quotes.whole

    def meanwhile(session, row, today):
        found = whole(session, row, today)
        quotes.issue_quote(context, client, draft.card.id, 1, (), store_nothing)
        return found

    with monkeypatch.context() as patched:
        patched.setattr(stored_answers, "whole", meanwhile)
        assert quote_answer(context, client, draft.card.id, (SUMMARY,), form).version == 1  # as it was when it was read
    monkeypatch.setattr(stored_answers, "written_now", lambda *_: pytest.fail("the newer answer is gone"))
    assert quote_answer(context, client, draft.card.id, (SUMMARY,), answer_forms()[0]).version == 2


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

    monkeypatch.setattr(stored_answers, "keep_part", busy)
    written = stored_answers.written_now(context, client, draft.card.id, (SUMMARY,), a_form())
    assert written.parts[SUMMARY]
