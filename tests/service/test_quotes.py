"""A quote stands on what it was priced by, whatever happens to the book, the job or the engine afterwards."""

from dataclasses import replace
from datetime import timedelta

import pytest

from estimator.errors import Conflict, NotFound, StaleVersion
from estimator.job import CheckOverride, KeepClear, Wishes
from estimator.service import kept_quotes, quotes, receipts
from estimator.service.documents import quote_document
from estimator.service.jobs import post_job
from estimator.service.office import no_seal
from tests.builders import a_book, a_job, a_roof
from tests.service.offices import DIRECT, a_client, a_draft, an_ask, an_office


@pytest.fixture
def setting(tmp_path):
    office, clock, shelf = an_office(tmp_path)
    yield office, clock, shelf, a_client(office, name="Ann")
    office.engine.dispose()


def issued(office, client, reference="T-1"):
    draft = a_draft(office, client, reference)
    return quotes.issue_quote(office, client, draft.card.id, 1, (), no_seal)


def test_a_kept_offer_is_the_offer_that_was_made(setting):
    office, _, _, client = setting
    draft = a_draft(office, client)
    ask = an_ask(a_job(mounting=DIRECT))
    assert kept_quotes.get_whole(office, client, draft.card.id).offer == quotes.price(office, client, ask)


def test_numbers_count_up_within_a_house_and_begin_anew_in_another(setting):
    office, _, _, client = setting
    numbers = [a_draft(office, client, reference).card.number for reference in ("A", "B")]
    assert numbers == ["Q-2026-00001", "Q-2026-00002"]
    stranger = a_client(office, organisation="another")
    assert a_draft(office, stranger, "A").card.number == "Q-2026-00001"
    with pytest.raises(NotFound):
        kept_quotes.get_quote(office, stranger, issued(office, client, "C").id)


def test_an_edition_whose_files_changed_after_its_first_use_is_refused(setting):
    office, _, shelf, client = setting
    first = a_draft(office, client, "A")
    shelf.book = a_book(sha256="f" * 64)
    with pytest.raises(Conflict, match="files have changed since"):
        a_draft(office, client, "B")
    assert kept_quotes.get_whole(office, client, first.card.id).offer.estimate.book != shelf.book


def test_an_issued_quote_expires_when_its_validity_ends_and_cannot_be_accepted_then(setting):
    office, clock, _, client = setting
    card = issued(office, client)
    clock.turn(days=(card.valid_until - clock.at.date()).days)
    assert kept_quotes.get_quote(office, client, card.id).state == "issued"
    clock.turn(days=1)
    assert kept_quotes.get_quote(office, client, card.id).state == "expired"
    with pytest.raises(Conflict, match="expired"):
        quotes.answer_quote(office, client, card.id, 2, "accepted", no_seal)
    by_state = {
        state: kept_quotes.list_quotes(office, client, before=None, limit=9, job_id=None, state=state)
        for state in ("issued", "expired")
    }
    assert [len(each) for each in by_state.values()] == [0, 1]


def test_a_draft_past_its_validity_is_priced_anew_not_issued(setting):
    office, clock, _, client = setting
    draft = a_draft(office, client)
    clock.at += timedelta(days=400)
    with pytest.raises(Conflict, match="validity ended"):
        quotes.issue_quote(office, client, draft.card.id, 1, (), no_seal)


def test_an_override_is_signed_by_the_key_whatever_the_request_says(setting):
    office, _, _, client = setting
    job = a_job(a_roof(keep_clear=KeepClear(eave_mm=600.0)), mounting=DIRECT)
    kept = post_job(office, client, job, {}, no_seal)
    draft = quotes.draft_quote(office, client, kept.id, an_ask(job), no_seal)
    standing = draft.offer.estimate.errors
    assert standing
    with pytest.raises(quotes.ChecksStand) as refused:
        quotes.issue_quote(office, client, draft.card.id, 1, (), no_seal)
    assert refused.value.checks == standing
    overrides = tuple(CheckOverride(each.code, each.where, "agreed", by="The Pope") for each in standing)
    quotes.issue_quote(office, client, draft.card.id, 1, overrides, no_seal)
    whole = kept_quotes.get_whole(office, client, draft.card.id)
    assert {each.by for each in whole.offer.estimate.overridden} == {"Ann"}
    assert whole.offer.estimate.errors == ()


def test_a_change_made_to_an_older_version_is_refused(setting):
    office, _, _, client = setting
    card = issued(office, client)
    with pytest.raises(StaleVersion):
        quotes.answer_quote(office, client, card.id, 1, "accepted", no_seal)


def test_of_two_revisions_only_one_is_accepted(setting):
    office, _, _, client = setting
    first = issued(office, client)
    second = quotes.revise_quote(office, client, first.id, an_ask(wishes=Wishes(notes="again")), no_seal)
    assert (second.card.number, second.card.revision) == (first.number, 2)
    quotes.answer_quote(office, client, first.id, 2, "accepted", no_seal)
    quotes.issue_quote(office, client, second.card.id, 1, (), no_seal)
    with pytest.raises(Conflict, match="revision 1"):
        quotes.answer_quote(office, client, second.card.id, 2, "accepted", no_seal)


def test_a_document_of_an_issued_quote_stays_even_when_the_writer_changes(setting, monkeypatch):
    office, _, _, client = setting
    card = issued(office, client)
    _, handed_out = quote_document(office, client, card.id, "plan_svg", "customer")
    changed = {"plan_svg": replace(quote_document.__globals__["KINDS"]["plan_svg"], write=lambda *_: b"new look")}
    monkeypatch.setattr("estimator.service.documents.KINDS", changed)
    assert quote_document(office, client, card.id, "plan_svg", "customer")[1] == handed_out
    draft = a_draft(office, client, "B")
    assert quote_document(office, client, draft.card.id, "plan_svg", "customer")[1] == b"new look"


def test_an_answer_is_kept_only_with_what_it_tells_of(setting):
    office, _, _, client = setting
    receipt = receipts.claim(office, client, "k", "print")
    job = a_job(mounting=DIRECT)

    def seal_and_fail(session, made):
        receipt.seal(session, receipts.Answer(201, {}, b"made"))
        raise RuntimeError("the power went")

    with pytest.raises(RuntimeError):
        post_job(office, client, job, {}, seal_and_fail)
    with pytest.raises(receipts.StillRunning):
        receipts.claim(office, client, "k", "print")
    receipts.release(office, receipt)
    again = receipts.claim(office, client, "k", "print")
    post_job(office, client, job, {}, lambda session, made: again.seal(session, receipts.Answer(201, {}, b"made")))
    assert receipts.claim(office, client, "k", "print") == receipts.Answer(201, {}, b"made")
    with pytest.raises(receipts.KeyServesAnother):
        receipts.claim(office, client, "k", "other print")


def test_a_claim_left_by_a_killed_process_may_be_taken_up_after_a_while(setting):
    office, clock, _, client = setting
    receipts.claim(office, client, "k", "print")
    clock.turn(minutes=6)
    assert isinstance(receipts.claim(office, client, "k", "print"), receipts.Receipt)
    clock.turn(hours=49)
    assert isinstance(receipts.claim(office, client, "k", "another print"), receipts.Receipt)
