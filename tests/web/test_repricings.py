"""Open quotes held against an edition on its page: watched while it runs, reported, and drafted where ticked."""

import re

import pytest

from estimator.contract.requests.pricing import pricing_of
from estimator.service.context import store_nothing
from estimator.service.jobs import post_job
from estimator.service.people.accounts import list_people
from estimator.service.quoting import quotes
from estimator.service.quoting.stored import quotes as stored_quotes
from estimator.tasks.work import work_once
from tests.web.desks import Desk, a_posted_job


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    made = Desk(tmp_path_factory.mktemp("desk"))
    made.boss = made.person("admin")
    made.client = next(person.client for person, _ in list_people(made.context))
    document = a_posted_job("RE-1")
    pricing = pricing_of(document, {})
    kept = post_job(made.context, made.client, pricing.job, document, store_nothing)
    made.card = quotes.draft_quote(made.context, made.client, kept.id, pricing, store_nothing).card
    yield made
    made.context.engine.dispose()


def test_a_repricing_is_begun_watched_reported_and_drafted(desk):
    edition = f"/pricebooks/{desk.card.pricebook}/{desk.card.edition}"
    begun = desk.boss.send(f"{edition}/repricing", {}, on=edition)
    assert begun.status_code == 303, begun.text
    here = begun.headers["Location"]
    watched = desk.boss.get(here).text
    assert "<progress" in watched and "data-watch" in watched and "watch.js" in watched
    while work_once(desk.context):
        pass
    done = desk.boss.get(here).text
    assert "<progress" not in done and "data-watch" not in done and desk.card.number in done
    assert desk.boss.get(f"{here}/workbook.xlsx").data.startswith(b"PK")
    ticked = re.findall(r'name="quote" value="([^"]+)"', done)
    assert ticked == [desk.card.id]
    assert desk.boss.send(f"{here}/drafts", {"quote": ticked}).status_code == 303
    while work_once(desk.context):
        pass
    draft = re.search(r'href="/quotes/([^"]+)">its draft<', desk.boss.get(here).text)[1]
    assert stored_quotes.get_quote(desk.context, desk.client, draft).revises_id == desk.card.id
    assert desk.boss.send(f"{here}/drafts", {"quote": []}).status_code == 422
    assert desk.person("crm").get(here).status_code == 403
    assert desk.person("admin", "another house").get(here).status_code == 404
    late = desk.boss.send(f"{edition}/repricing", {"priced_on": "2001-01-01"}, on=edition)
    assert late.status_code == 422


def test_why_a_quote_has_no_price_by_an_edition_is_told_in_the_readers_language(desk):
    edition = f"/pricebooks/prairie-us/{desk.card.edition}"
    here = desk.boss.send(f"{edition}/repricing", {}, on=edition).headers["Location"]
    while work_once(desk.context):
        pass
    page = desk.person("admin", language="de").get(here).text
    assert "die Ausgabe ist in USD, das Angebot in EUR" in page and "the edition is in" not in page
    assert 'name="quote"' not in page
    assert "the edition is in USD, the quote in EUR" in desk.boss.get(here).text
