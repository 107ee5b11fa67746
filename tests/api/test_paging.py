"""A page's cursor serves one list of one organisation, and nobody makes one up."""

from dataclasses import dataclass, replace

import pytest

from estimator.api.paging import page
from estimator.api.request import Request
from estimator.contract.answers.fields import Each, Link, Words
from estimator.contract.answers.writing import Answer
from estimator.contract.requests.queries import QueryRefused
from estimator.service.context import Client


@dataclass(frozen=True)
class Thing:
    id: str


class ThingSchema(Answer):
    record = Thing
    id = Words("Its id.", example="1")


class ThingPageSchema(Answer):
    items = Each("Things.", ThingSchema, "0")
    next = Link("The next page.", "1", null=True)


ASKED = Request(None, Client("house", "key", "crm", "CRM", "client"), {}, {"limit": 2}, cursor_secret=b"secret")


def begun_at(request, path="/v1/things"):
    """Where a page begins, as its list is asked for it."""
    seen = []

    def find(before, limit):
        seen.append(before)
        return [Thing(str(number)) for number in range(limit)]

    reply = page(request, path, find, ThingPageSchema)
    return seen[0], reply.body["next"].rpartition("cursor=")[2]


def test_a_page_ends_with_the_place_where_the_next_begins():
    first, cursor = begun_at(ASKED)
    assert first is None
    assert begun_at(replace(ASKED, query={"limit": 2, "cursor": cursor}))[0] == "1"


def test_a_cursor_serves_no_other_list_no_other_organisation_and_no_other_secret():
    cursor = begun_at(ASKED)[1]
    again = replace(ASKED, query={"limit": 2, "cursor": cursor})
    with pytest.raises(QueryRefused):
        begun_at(again, "/v1/others")
    with pytest.raises(QueryRefused):
        begun_at(replace(again, client=Client("another", "key", "crm", "CRM", "client")))
    with pytest.raises(QueryRefused):
        begun_at(replace(again, cursor_secret=b"guessed"))
    with pytest.raises(QueryRefused):
        begun_at(replace(again, query={"limit": 2, "cursor": "2" + cursor[1:]}))
