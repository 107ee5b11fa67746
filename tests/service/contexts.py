"""A service context with a database of its own, the test book in its catalogue, and a clock that a test turns."""

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

from estimator.job import Choices, Mounting
from estimator.service.access import keys
from estimator.service.catalogue import Available
from estimator.service.context import ServiceContext, store_nothing
from estimator.service.jobs import post_job
from estimator.service.quoting.quotes import PricingRequest, draft_quote
from estimator.service.sealing import Seal
from estimator.storage.engine import open_engine
from estimator.storage.migrate import upgrade
from tests.builders import a_book, a_job
from tests.databases import empty_database
from tests.searches import offer

START = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
SEALING_KEY = "c2VhbGluZy1rZXktb2YtdGVzdHMtMzItYnl0ZXMtLS0="
DIRECT = Mounting(
    arrangement="direct",
    material="aluminium",
    max_span_mm=1200.0,
    max_cantilever_mm=400.0,
    spans_given_by="An engineer",
)


@dataclass
class Clock:
    """Time as the test says."""

    at: datetime = START

    def __call__(self):
        return self.at

    def turn(self, **much):
        self.at += timedelta(**much)


@dataclass
class OneBook:
    """A catalogue with one book that a test may exchange."""

    book: object = field(default_factory=a_book)

    def choose(self, organisation, pricebook, edition, on, job):
        return self.book

    def shared(self):
        return ()

    def standings(self, organisation):
        return {}

    def available(self, organisation):
        return (Available(self.book, False, lambda: self.book),)


def a_context(folder, url=None):
    """A context on a database of its own (SQLite unless told otherwise), its clock and its catalogue."""
    if url is None:
        url = empty_database(folder, "service.db")
    else:
        upgrade(url)
    clock, catalogue = Clock(), OneBook()
    context = ServiceContext(open_engine(url), catalogue, clock, offer, seal=Seal(lambda: (SEALING_KEY,)))
    return context, clock, catalogue


def a_client(context, role="estimator", organisation="house", name=None):
    token, _ = keys.create_key(context, organisation, role, name or role)
    return keys.identify(context, token)


def a_pricing_request(job=None, choices=None, **changes):
    job = job or a_job(mounting=DIRECT)
    return replace(PricingRequest(job, {"reference": job.reference}, choices or Choices(), {}), **changes)


def a_draft(context, client, reference="T-1", pricing=None):
    job = a_job(reference=reference, mounting=DIRECT)
    kept = post_job(context, client, job, {"reference": reference}, store_nothing)
    return draft_quote(context, client, kept.id, pricing or a_pricing_request(job), store_nothing)
