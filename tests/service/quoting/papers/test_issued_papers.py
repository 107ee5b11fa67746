"""Papers of an issued quote are kept soon after it is issued, each once, whoever stops in between or asks meanwhile."""

from dataclasses import replace

import pytest
from sqlalchemy import select

from estimator.documents.papers import QUOTE_FORMS
from estimator.service.context import store_nothing
from estimator.service.quoting import quotes
from estimator.service.quoting.papers.documents import quote_document, write_paper
from estimator.service.quoting.papers.issued import keep_next_papers, papers_of, put_papers_down
from estimator.storage import tables
from tests.service.contexts import a_client, a_context, a_draft


class Killed(BaseException):
    """The process ends without a word."""


@pytest.fixture
def setting(tmp_path):
    context, clock, _ = a_context(tmp_path)
    yield context, clock, a_client(context, name="Ann")
    context.engine.dispose()


def an_issued(context, client):
    quote = a_draft(context, client).card.id
    quotes.issue_quote(context, client, quote, 1, (), store_nothing)
    return quote


def kept(context):
    with context.reading() as session:
        rows = session.scalars(select(tables.QuoteDocumentRow)).all()
        return {(row.kind, row.edition): row.content for row in rows}


def writing(context, written, stop_after=None):
    """The context with a record of what is written, that ends after so many papers."""

    def call(function, *arguments):
        if function is write_paper:
            if stop_after is not None and len(written) >= stop_after:
                raise Killed
            written.append(arguments[-1].key(arguments[1]))
        return function(*arguments)

    return replace(context, on_paper=call)


EVERY = {
    (form.name, edition)
    for form in QUOTE_FORMS.values()
    for edition in (("customer", "estimator") if form.editions else ("customer",))
}


def test_a_draft_has_no_papers_due(setting):
    context, _, client = setting
    a_draft(context, client)
    assert not keep_next_papers(context)
    assert kept(context) == {}


def test_every_paper_is_kept_after_issuing_and_handed_out_as_it_is(setting):
    context, _, client = setting
    quote = an_issued(context, client)
    assert kept(context) == {}  # issuing itself writes none
    assert keep_next_papers(context)
    assert not keep_next_papers(context)
    there = kept(context)
    assert set(there) == EVERY
    unable = replace(context, on_paper=lambda *_: pytest.fail("a paper was written again"))
    for name, edition in EVERY:
        assert quote_document(unable, client, quote, name, edition)[1] == there[name, edition]


def test_where_a_writer_is_killed_another_goes_on_with_what_is_missing(setting):
    context, clock, client = setting
    an_issued(context, client)
    written = []
    with pytest.raises(Killed):
        keep_next_papers(writing(context, written, stop_after=3))
    half = kept(context)
    assert len(half) == 3
    assert not keep_next_papers(writing(context, written))  # perhaps it is only slow
    clock.turn(seconds=31)
    assert keep_next_papers(writing(context, written))
    assert sorted(written) == sorted(EVERY)
    assert set(kept(context)) == EVERY
    assert {name: kept(context)[name] for name in half} == half


def test_a_quote_whose_papers_end_every_writer_is_given_up_and_holds_up_nobody(setting):
    context, clock, client = setting
    an_issued(context, client)
    for _ in range(5):
        with pytest.raises(Killed):
            keep_next_papers(writing(context, [], stop_after=0))
        clock.turn(seconds=31)
    assert not keep_next_papers(context)
    with context.reading() as session:
        assert session.scalars(select(tables.DuePapersRow)).all() == []


def test_a_paper_handed_out_before_stands(setting):
    context, _, client = setting
    quote = an_issued(context, client)
    first = quote_document(context, client, quote, "quote_pdf", "customer")[1]
    written = []
    keep_next_papers(writing(context, written))
    assert len(written) == len(EVERY) - 1
    assert first in kept(context).values()


def test_papers_that_become_due_again_while_they_are_written_stay_due(setting):
    context, _, client = setting
    quote = an_issued(context, client)

    def call(function, *arguments):
        if function is papers_of:
            with context.writing() as session:
                row = session.get_one(tables.QuoteRow, quote)
                row.version += 1
                put_papers_down(session, context, row)
        return function(*arguments)

    assert keep_next_papers(replace(context, on_paper=call))
    written = []
    assert keep_next_papers(writing(context, written))
    assert written == []
