"""A quote stands on what it was priced by, whatever happens to the book, the job or the engine afterwards."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from estimator.documents.papers import QUOTE_FORMS
from estimator.errors import Conflict, NotFound, StaleVersion
from estimator.job import CheckOverride, Choices, KeepClear
from estimator.service.context import store_nothing
from estimator.service.jobs import post_job
from estimator.service.quoting import quotes
from estimator.service.quoting.papers.documents import quote_document
from estimator.service.quoting.stored import quotes as stored_quotes
from estimator.site_loads import GivenLoads, GivenPressure
from tests.builders import a_book, a_job, a_module, a_roof
from tests.documents.pdf_reading import text
from tests.facts import refusing
from tests.service.contexts import DIRECT, a_client, a_context, a_draft, a_pricing_request


@pytest.fixture
def setting(tmp_path):
    context, clock, catalogue = a_context(tmp_path)
    yield context, clock, catalogue, a_client(context, name="Ann")
    context.engine.dispose()


def issued(context, client, reference="T-1"):
    draft = a_draft(context, client, reference)
    return quotes.issue_quote(context, client, draft.card.id, 1, (), store_nothing)


def test_a_kept_offer_is_the_offer_that_was_made(setting):
    context, _, _, client = setting
    draft = a_draft(context, client)
    pricing = a_pricing_request(a_job(mounting=DIRECT))
    assert stored_quotes.get_whole(context, client, draft.card.id).offer == quotes.price(context, client, pricing)


def test_numbers_count_up_within_a_house_and_begin_anew_in_another(setting):
    context, _, _, client = setting
    numbers = [a_draft(context, client, reference).card.number for reference in ("A", "B")]
    assert numbers == ["Q-2026-00001", "Q-2026-00002"]
    stranger = a_client(context, organisation="another")
    assert a_draft(context, stranger, "A").card.number == "Q-2026-00001"
    with pytest.raises(NotFound):
        stored_quotes.get_quote(context, stranger, issued(context, client, "C").id)


def test_an_edition_whose_files_changed_after_its_first_use_is_refused(setting):
    context, _, catalogue, client = setting
    first = a_draft(context, client, "A")
    catalogue.book = a_book(sha256="f" * 64)
    with refusing(Conflict, holds=("fixture", "2026-01")):
        a_draft(context, client, "B")
    assert stored_quotes.get_whole(context, client, first.card.id).offer.estimate.book != catalogue.book


def test_an_issued_quote_expires_when_its_validity_ends_and_cannot_be_accepted_then(setting):
    context, clock, _, client = setting
    card = issued(context, client)
    clock.turn(days=(card.valid_until - clock.at.date()).days)
    assert stored_quotes.get_quote(context, client, card.id).state == "issued"
    clock.turn(days=1)
    assert stored_quotes.get_quote(context, client, card.id).state == "expired"
    with refusing(Conflict, holds=("accepted", "expired")):
        quotes.answer_quote(context, client, card.id, 2, "accepted", store_nothing)
    by_state = {
        state: stored_quotes.list_quotes(context, client, before=None, limit=9, job_id=None, state=state)
        for state in ("issued", "expired")
    }
    assert [len(each) for each in by_state.values()] == [0, 1]


def test_a_draft_past_its_validity_is_priced_anew_not_issued(setting):
    context, clock, _, client = setting
    draft = a_draft(context, client)
    clock.at += timedelta(days=400)
    with refusing(Conflict, holds=(draft.card.valid_until,)):
        quotes.issue_quote(context, client, draft.card.id, 1, (), store_nothing)


def test_an_override_is_signed_by_the_key_whatever_the_request_says(setting):
    context, _, _, client = setting
    job = a_job(a_roof(keep_clear=KeepClear(eave_mm=600.0)), mounting=DIRECT)
    kept = post_job(context, client, job, {}, store_nothing)
    draft = quotes.draft_quote(context, client, kept.id, a_pricing_request(job), store_nothing)
    standing = draft.offer.estimate.errors
    assert standing
    with pytest.raises(quotes.ChecksStand) as refused:
        quotes.issue_quote(context, client, draft.card.id, 1, (), store_nothing)
    assert refused.value.checks == draft.offer.errors == tuple(("", each) for each in standing)
    overrides = tuple(CheckOverride(each.code, each.place, "agreed", by="The Pope") for each in standing)
    quotes.issue_quote(context, client, draft.card.id, 1, overrides, store_nothing)
    whole = stored_quotes.get_whole(context, client, draft.card.id)
    assert {each.by for each in whole.offer.estimate.overridden} == {"Ann"}
    assert whole.offer.estimate.errors == ()


def test_a_module_rated_for_less_than_its_loads_is_issued_by_override_alone_and_printed(setting):
    """An uplift of 1334 Pa on modules rated for 500 Pa: an error; issued only by name, with its reason on the paper."""
    context, _, _, client = setting
    loads = GivenLoads(pressures=(GivenPressure("all", 1334.0, 900.0),))
    job = a_job(module=a_module(rated_uplift_pa=500.0, rated_downward_pa=2400.0), mounting=DIRECT)
    job = replace(job, site=replace(job.site, loads=loads))
    kept = post_job(context, client, job, {}, store_nothing)
    draft = quotes.draft_quote(context, client, kept.id, a_pricing_request(job), store_nothing)
    (rated,) = [each for each in draft.offer.estimate.errors if each.code == "module_rating"]
    assert (rated.found, rated.allowed) == (1334.0, 500.0)
    others = [each for each in draft.offer.estimate.errors if each is not rated]
    but_one = tuple(CheckOverride(each.code, each.place, "agreed") for each in others)
    with pytest.raises(quotes.ChecksStand) as refused:
        quotes.issue_quote(context, client, draft.card.id, 1, but_one, store_nothing)
    assert [each.code for _, each in refused.value.checks] == ["module_rating"]
    reason = "the maker's letter of 12 May allows it"
    named = (*but_one, CheckOverride(rated.code, rated.place, reason))
    quotes.issue_quote(context, client, draft.card.id, 1, named, store_nothing)
    whole = stored_quotes.get_whole(context, client, draft.card.id)
    assert whole.offer.estimate.errors == ()
    _, paper = quote_document(context, client, draft.card.id, "quote_pdf", "estimator")
    printed = " ".join(text(paper).split())
    assert "rated for 500 Pa" in printed
    assert reason in printed
    assert "Ann" in printed


def test_a_change_made_to_an_older_version_is_refused(setting):
    context, _, _, client = setting
    card = issued(context, client)
    with pytest.raises(StaleVersion):
        quotes.answer_quote(context, client, card.id, 1, "accepted", store_nothing)


def test_a_revision_of_an_accepted_quote_is_issued_and_accepted_and_an_older_one_is_not_any_more(setting):
    context, _, _, client = setting
    first = issued(context, client)
    drafts = [
        quotes.revise_quote(context, client, first.id, a_pricing_request(choices=Choices(notes=note)), store_nothing)
        for note in ("again", "and again")
    ]
    assert [(each.card.number, each.card.revision) for each in drafts] == [(first.number, 2), (first.number, 3)]
    quotes.answer_quote(context, client, first.id, 2, "accepted", store_nothing)
    quotes.issue_quote(context, client, drafts[1].card.id, 1, (), store_nothing)
    third = quotes.answer_quote(context, client, drafts[1].card.id, 2, "accepted", store_nothing)
    assert third.state == "accepted"
    assert stored_quotes.get_quote(context, client, first.id).state == "accepted"
    with refusing(Conflict, holds=(3, first.number)):
        quotes.issue_quote(context, client, drafts[0].card.id, 1, (), store_nothing)


def test_a_revision_keeps_the_cut_plan_where_nothing_cheaper_is_found_and_says_so(setting):
    context, _, _, client = setting
    job = a_job()
    draft = a_draft(context, client, pricing=a_pricing_request(job))
    first = stored_quotes.get_whole(context, client, draft.card.id)
    priced = a_pricing_request(job, choices=Choices(margin=Decimal("0.4")))
    again = quotes.revise_quote(context, client, first.card.id, priced, store_nothing)
    old, new = first.offer.estimate.cut_plan, again.offer.estimate.cut_plan
    assert (old.kept, new.kept, new.joints) == ("none", "whole", old.joints)
    assert [(bar.pieces, bar.labels) for bar in new.bars] == [(bar.pieces, bar.labels) for bar in old.bars]
    assert new.cost != old.cost


def test_a_document_of_an_issued_quote_stays_even_when_the_writer_changes(setting, monkeypatch):
    context, _, _, client = setting
    card = issued(context, client)
    _, handed_out = quote_document(context, client, card.id, "plan_svg", "customer")
    changed = {"plan_svg": replace(QUOTE_FORMS["plan_svg"], write=lambda *_: b"new look")}
    monkeypatch.setattr("estimator.service.quoting.papers.documents.QUOTE_FORMS", changed)
    assert quote_document(context, client, card.id, "plan_svg", "customer")[1] == handed_out
    draft = a_draft(context, client, "B")
    assert quote_document(context, client, draft.card.id, "plan_svg", "customer")[1] == b"new look"
