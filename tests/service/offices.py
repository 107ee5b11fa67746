"""An office with a database of its own, the test book on its shelf, and a clock that a test turns."""

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

from estimator.comparison.compare import offer
from estimator.job import Mounting, Wishes
from estimator.service import keys
from estimator.service.jobs import post_job
from estimator.service.office import Office, no_seal
from estimator.service.quotes import Ask, draft_quote
from estimator.storage.engine import open_engine
from estimator.storage.migrate import upgrade
from tests.builders import a_book, a_job

START = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
DIRECT = Mounting(arrangement="direct", material="aluminium", max_span_mm=1200.0, max_cantilever_mm=400.0)


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
    """A shelf with one book that a test may exchange."""

    book: object = field(default_factory=a_book)

    def choose(self, organisation, pricebook, edition, on, job):
        return self.book

    def books(self, organisation):
        return (self.book,)


def an_office(folder):
    """An office, its clock and its shelf."""
    url = f"sqlite:///{folder / 'office.db'}"
    upgrade(url)
    clock, shelf = Clock(), OneBook()
    return Office(open_engine(url), shelf, clock, offer), clock, shelf


def a_client(office, role="estimator", organisation="house", name=None):
    token, _ = keys.create_key(office, organisation, role, name or role)
    return keys.identify(office, token)


def an_ask(job=None, wishes=None, **changes):
    job = job or a_job(mounting=DIRECT)
    return replace(Ask(job, {"reference": job.reference}, wishes or Wishes(), {}), **changes)


def a_draft(office, client, reference="T-1", ask=None):
    job = a_job(reference=reference, mounting=DIRECT)
    kept = post_job(office, client, job, {"reference": reference}, no_seal)
    return draft_quote(office, client, kept.id, ask or an_ask(job), no_seal)
