"""Several requests for the same things at the same time, on a real PostgreSQL: each is answered, none deadlocks.

The orders of locks were tried against PostgreSQL's own detection of deadlocks (error 40P01).
"""

import io
import zipfile
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier, Event, Thread
from uuid import uuid4

import pytest
from sqlalchemy import func, select, text
from sqlalchemy.exc import DBAPIError

from estimator.api.problems.database_faults import refusal_of, tried
from estimator.contract.problems.refusals import Busy
from estimator.errors import AlreadyUsed, Conflict
from estimator.job import Choices
from estimator.orders import OrderLists
from estimator.service.context import store_nothing
from estimator.service.jobs import post_job
from estimator.service.ordering import order_lists
from estimator.service.ordering.order_lists import OrderRequest, order_quotes
from estimator.service.outbox.events import list_events
from estimator.service.pricebooks import upload_edition
from estimator.service.quoting import quotes
from estimator.storage import migrate, tables
from tests import postgres
from tests.builders import a_job
from tests.references import missing, require_module
from tests.service.contexts import DIRECT, a_client, a_context, a_draft, a_pricing_request
from tests.storage.books.book_files import us_files


@pytest.fixture(scope="module")
def setting():
    if postgres.programs() is None:
        missing("postgresql")
    require_module("psycopg")
    with postgres.running() as url:
        context, _, _ = a_context(None, url)
        yield context, a_client(context, name="Ann"), url
        context.engine.dispose()
        migrate.downgrade(url, "base")


def at_once(*acts):
    """What each act gives or raises, all begun at the same moment."""
    barrier = Barrier(len(acts))

    def run(act):
        barrier.wait()
        try:
            return act()
        except (AlreadyUsed, Conflict) as refusal:
            return refusal

    with ThreadPoolExecutor(len(acts)) as pool:
        return [each.result() for each in [pool.submit(run, act) for act in acts]]


def issued(context, client):
    draft = a_draft(context, client, f"T-{uuid4()}").card.id
    quotes.issue_quote(context, client, draft, 1, (), store_nothing)
    return draft


def accepted(context, client):
    quote = issued(context, client)
    quotes.answer_quote(context, client, quote, 2, "accepted", store_nothing)
    return quote


def test_two_orders_of_the_same_quotes_the_other_way_round_do_not_wait_for_each_other_in_turn(setting, monkeypatch):
    context, client, _ = setting
    monkeypatch.setattr(order_lists, "make_order_lists", lambda *_: OrderLists((), (), ()))
    for _ in range(6):
        pair = tuple(accepted(context, client) for _ in range(2))
        found = at_once(
            *(
                lambda named=named: order_quotes(context, client, OrderRequest(named, {}), store_nothing)
                for named in (pair, pair[::-1]) * 2
            )
        )
        assert [isinstance(each, AlreadyUsed) for each in found].count(False) == 1


def test_revisions_of_one_number_made_at_once_get_numbers_of_their_own(setting):
    context, client, _ = setting
    first = issued(context, client)
    again = a_pricing_request(choices=Choices(notes="again"))
    second = quotes.revise_quote(context, client, first, again, store_nothing).card.id
    found = at_once(
        *(
            lambda old=old: quotes.revise_quote(context, client, old, again, store_nothing).card.revision
            for old in (first, second) * 3
        )
    )
    assert sorted(found) == [3, 4, 5, 6, 7, 8]


def test_of_two_revisions_accepted_at_once_one_is(setting):
    context, client, _ = setting
    for _ in range(4):
        first = issued(context, client)
        second = quotes.revise_quote(context, client, first, a_pricing_request(), store_nothing).card.id
        quotes.issue_quote(context, client, second, 1, (), store_nothing)
        found = at_once(
            *(
                lambda each=each: quotes.answer_quote(context, client, each, 2, "accepted", store_nothing)
                for each in (first, second)
            )
        )
        assert [isinstance(each, Conflict) for each in found].count(False) == 1


def test_drafts_that_use_an_edition_for_the_first_time_at_once_are_all_made(setting):
    context, _, _ = setting
    client = a_client(context, organisation=f"house {uuid4()}")
    found = at_once(*(lambda at=at: a_draft(context, client, f"T-{at}").card.number for at in range(4)))
    assert len(set(found)) == 4


def a_zip(files):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return stream.getvalue()


def test_the_same_edition_uploaded_at_once_is_kept_once_and_another_of_its_name_is_refused(setting):
    context, _, _ = setting
    client = a_client(context, organisation=f"house {uuid4()}")
    files = us_files()
    other = {**files, "suppliers.csv": files["suppliers.csv"].replace(b"\n", b"\r\n")}
    same = at_once(*(lambda: upload_edition(context, client, a_zip(files), store_nothing).sha256 for _ in range(4)))
    assert len(set(same)) == 1
    with context.reading() as session:
        row = tables.UploadedEditionRow
        count = select(func.count()).select_from(row).where(row.organisation_id == client.organisation)
        assert session.scalar(count) == 1
    with pytest.raises(AlreadyUsed):
        upload_edition(context, client, a_zip(other), store_nothing)


def test_two_editions_of_one_name_uploaded_at_once_are_not_both_said_to_be_kept(setting):
    context, _, _ = setting
    files = us_files()
    other = {**files, "suppliers.csv": files["suppliers.csv"].replace(b"\n", b"\r\n")}
    client = a_client(context, organisation=f"house {uuid4()}")
    found = at_once(
        *(lambda each=each: upload_edition(context, client, a_zip(each), store_nothing) for each in (files, other))
    )
    assert [isinstance(each, AlreadyUsed) for each in found].count(True) == 1


def test_whoever_reads_events_on_misses_none_that_is_written_at_the_same_time(setting):
    """A position that appears after a higher one would be passed over by whoever reads on after what it saw."""
    context, _, _ = setting
    client = a_client(context, organisation=f"house {uuid4()}")
    over, seen = Event(), []

    def read_on():
        while True:
            last = over.is_set()
            found = list_events(context, client, after=seen[-1] if seen else 0, limit=50)
            seen.extend(each.position for each in found)
            if last and not found:
                return

    def post(at):
        job = a_job(reference=f"T-{at}", mounting=DIRECT)
        post_job(context, client, job, {"reference": job.reference}, store_nothing)

    with ThreadPoolExecutor(9) as pool:
        reader = pool.submit(read_on)
        list(pool.map(post, range(120)))
        over.set()
        reader.result()
    assert seen == list(range(1, 121))


def test_what_the_database_rolled_back_for_another_is_run_again(setting):
    context, _, _ = setting
    runs = []

    def rolled_back_once():
        runs.append(1)
        if len(runs) == 1:
            with context.writing() as session:
                session.execute(text("DO $$ BEGIN RAISE SQLSTATE '40P01'; END $$"))
        return "made"

    assert tried(rolled_back_once) == "made"
    assert len(runs) == 2


def test_what_is_rolled_back_again_and_again_is_told_to_come_later(setting):
    context, _, _ = setting

    def always():
        with context.writing() as session:
            session.execute(text("DO $$ BEGIN RAISE SQLSTATE '40001'; END $$"))

    with pytest.raises(Busy):
        tried(always)


def test_a_lock_that_others_hold_is_not_waited_for_for_ever(setting):
    context, _, _ = setting
    with context.writing() as session:
        assert session.scalar(text("SHOW lock_timeout")) == "10s"
        session.execute(text("LOCK TABLE job"))
        with pytest.raises(DBAPIError) as fault, context.writing() as other:
            other.execute(text("SET LOCAL lock_timeout = '50ms'"))
            other.execute(text("LOCK TABLE job"))
    assert isinstance(refusal_of(fault.value), Busy)


def test_two_drafts_at_once_never_get_one_number(setting):
    """The first holds the organisation's row until it is stored: the second waits for it. Without the lock, both read
    the same last number."""
    context, client, _ = setting
    second = []

    def draw():
        with context.writing() as session:
            second.append(quotes.next_number(session, client, context.today()))

    with context.writing() as session:
        first = quotes.next_number(session, client, context.today())
        session.flush()
        drawing = Thread(target=draw)
        drawing.start()
        drawing.join(0.5)
        assert second == []
    drawing.join(20)
    assert int(second[0].rpartition("-")[2]) == int(first.rpartition("-")[2]) + 1
