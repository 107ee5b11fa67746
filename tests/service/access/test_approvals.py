"""Quotes beyond a role's limits wait for another person; revisions take each other's place; deeds are written down.

What must hold comes from the design (four eyes on discounts, an append-only log); there is no published source for it.
"""

from dataclasses import replace
from decimal import Decimal

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DatabaseError

from estimator.errors import Conflict, NotAllowed, StaleVersion
from estimator.job import Choices
from estimator.service.access import keys
from estimator.service.access.approvals import NeedsApproval
from estimator.service.access.audit import AuditFilter, Thing, export_lines, list_lines, note
from estimator.service.access.keys import KeyKind
from estimator.service.access.policy import put_policy
from estimator.service.context import store_nothing
from estimator.service.people.records import Person
from estimator.service.quoting import quotes
from estimator.service.quoting.stored.quotes import get_quote, list_quotes
from estimator.storage import migrate
from tests import postgres
from tests.facts import refusing
from tests.references import missing, require_module
from tests.service.contexts import a_client, a_context, a_draft, a_pricing_request

LIMITS = {
    "limits": {"estimator": {"most_discount": "0.10", "least_margin": "0.15"}, "pricing": {"most_discount": "0.3"}}
}


@pytest.fixture
def context(tmp_path):
    made, _, _ = a_context(tmp_path)
    yield made
    made.engine.dispose()


@pytest.fixture
def people(context):
    made = {role: a_client(context, role) for role in ("estimator", "pricing", "admin")}
    made["other"] = a_client(context, "estimator", name="another estimator")
    put_policy(context, made["admin"], 1, LIMITS, store_nothing)
    return made


def a_discount(share):
    return a_pricing_request(choices=Choices(discount=Decimal(share), margin=Decimal("0.5")))


def issue(context, client, quote, version=1):
    return quotes.issue_quote(context, client, quote, version, (), store_nothing)


def test_within_the_limits_nobody_is_asked(context, people):
    quote = a_draft(context, people["estimator"], pricing=a_discount("0.10")).card
    assert not quote.needs_approval
    assert issue(context, people["estimator"], quote.id).state == "issued"


@pytest.mark.parametrize(
    "choices",
    [
        Choices(discount=Decimal("0.11"), margin=Decimal("0.5")),
        Choices(line_discounts=(("B-AL", Decimal("0.2")),), margin=Decimal("0.5")),
        Choices(margin=Decimal("0.14")),
    ],
    ids=["discount", "discount of a line", "margin"],
)
def test_beyond_the_limits_another_person_approves(context, people, choices):
    drafted = a_draft(context, people["estimator"], pricing=a_pricing_request(choices=choices)).card
    assert drafted.needs_approval
    with pytest.raises(NeedsApproval):
        issue(context, people["estimator"], drafted.id)
    approved = quotes.approve_quote(context, people["pricing"], drafted.id, 1, "good customer", store_nothing)
    assert [(each.who.name, each.reason) for each in approved.approvals] == [("pricing", "good customer")]
    assert issue(context, people["estimator"], drafted.id, 2).state == "issued"


def test_nobody_approves_their_own_nor_with_a_key_that_they_made(context, people):
    admin = people["admin"]
    put_policy(context, admin, 2, {"limits": {"admin": {"most_discount": "0"}}}, store_nothing)
    quote = a_draft(context, admin, pricing=a_discount("0.05")).card
    made = keys.make_key(context, admin, KeyKind("pricing", "second hat"), store_nothing)
    for client in (admin, keys.identify(context, made.token)):
        with refusing(NotAllowed):
            quotes.approve_quote(context, client, quote.id, 1, "why not", store_nothing)
    rotated = keys.rotate_own_key(context, admin, admin.key, (7, 30), store_nothing)
    with refusing(NotAllowed):
        quotes.approve_quote(context, keys.identify(context, rotated.token), quote.id, 1, "x", store_nothing)
    assert quotes.approve_quote(context, people["pricing"], quote.id, 1, "fine", store_nothing).approvals


def test_who_may_not_offer_it_may_not_approve_it(context, people):
    quote = a_draft(context, people["estimator"], pricing=a_discount("0.4")).card
    for approver, most in (("other", "0.10"), ("pricing", "0.3")):
        with refusing(NotAllowed, holds=(Decimal("0.4"), Decimal(most))):
            quotes.approve_quote(context, people[approver], quote.id, 1, "x", store_nothing)
    assert quotes.approve_quote(context, people["admin"], quote.id, 1, "x", store_nothing).approvals


def test_a_quote_within_the_limits_and_one_that_is_issued_are_not_approved(context, people):
    quote = a_draft(context, people["estimator"], pricing=a_discount("0.10")).card
    with refusing(Conflict):
        quotes.approve_quote(context, people["pricing"], quote.id, 1, "x", store_nothing)
    issue(context, people["estimator"], quote.id)
    with refusing(Conflict, holds=("issued",)):
        quotes.approve_quote(context, people["pricing"], quote.id, 2, "x", store_nothing)


def test_a_policy_put_in_at_the_same_time_is_not_lost(context, people):
    with pytest.raises(StaleVersion):
        put_policy(context, people["admin"], 1, LIMITS, store_nothing)


def test_a_revision_that_is_issued_takes_the_place_of_the_one_before(context, people):
    ann = people["estimator"]
    first = a_draft(context, ann).card
    second = quotes.revise_quote(context, ann, first.id, a_pricing_request(), store_nothing).card
    third = quotes.revise_quote(context, ann, first.id, a_pricing_request(), store_nothing).card
    issue(context, ann, first.id)
    assert get_quote(context, ann, first.id).state == "issued"
    issue(context, ann, third.id)
    shown = get_quote(context, ann, first.id)
    assert (shown.state, shown.version) == ("superseded", 3)
    with refusing(Conflict, holds=("accepted", "superseded")):
        quotes.answer_quote(context, ann, first.id, 3, "accepted", store_nothing)
    with refusing(Conflict, holds=(3, first.number)):
        issue(context, ann, second.id)
    listed = list_quotes(context, ann, before=None, limit=9, job_id=None, state="superseded")
    assert [each.id for each in listed] == [first.id]


def test_every_deed_is_written_down_with_who_when_what_and_from_where(context, people):
    ann = replace(people["estimator"], address="192.0.2.7", request_id="r-1")
    quote = a_draft(context, ann, pricing=a_discount("0.2")).card
    quotes.approve_quote(context, people["pricing"], quote.id, 1, "good customer", store_nothing)
    issue(context, ann, quote.id, 2)
    quotes.answer_quote(context, ann, quote.id, 3, "accepted", store_nothing)
    lines = list_lines(context, people["admin"], AuditFilter(thing=quote.id), before=None, limit=50)
    assert [(each.action, each.who.name) for each in lines] == [
        ("quote.accepted", "estimator"),
        ("quote.issued", "estimator"),
        ("quote.approved", "pricing"),
        ("quote.drafted", "estimator"),
    ]
    issued = lines[1]
    assert (issued.who.kind, issued.who.id, issued.key_id) == ("key", ann.id, ann.key)
    assert (issued.address, issued.request_id, issued.at) == ("192.0.2.7", "r-1", context.clock())
    assert lines[2].detail["why"] == "good customer"


def test_another_house_sees_none_of_it(context, people):
    a_draft(context, people["estimator"])
    stranger = a_client(context, "admin", organisation="another house")
    seen = list_lines(context, stranger, AuditFilter(), before=None, limit=50)
    assert {each.action for each in seen} == {"key.made", "key.used"}
    assert {each.action for each in export_lines(context, stranger, AuditFilter())} == {
        "key.made",
        "key.used",
        "audit.exported",
    }


def refuses_changes(engine):
    for statement in ("UPDATE audit SET action = 'x'", "DELETE FROM audit"):
        with pytest.raises(DatabaseError) as refused, engine.begin() as connection:
            connection.execute(text(statement))
        told = refused.value.orig
        by_a_trigger = getattr(told, "sqlite_errorname", None) or getattr(told, "sqlstate", None)
        assert by_a_trigger in {"SQLITE_CONSTRAINT_TRIGGER", "P0001"}


def test_no_line_of_the_log_can_be_changed_or_taken_out(context):
    note(context, a_client(context), "looked", Thing("quote", "x"))
    refuses_changes(context.engine)


def test_nor_on_postgresql():
    if postgres.programs() is None:
        missing("postgresql")
    require_module("psycopg")
    with postgres.running() as url:
        context, _, _ = a_context(None, url)
        note(context, a_client(context), "looked", Thing("quote", "x"))
        refuses_changes(context.engine)
        context.engine.dispose()
        migrate.downgrade(url, "base")


def test_a_person_with_an_account_is_written_down_as_one(context):
    ann = Person("a-1", a_client(context).organisation, "ann@example.org", "Ann", "admin", "en", "metric", "open", None)
    note(context, ann.client, "looked", Thing("quote", "x"))
    line = list_lines(context, ann.client, AuditFilter(who="a-1"), before=None, limit=5)[0]
    assert (line.who.kind, line.who.name, line.key_id) == ("account", "Ann", None)
