"""Workers: take an operation, renew its lease while it is worked on, and end it, whatever the result."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import partial
from threading import Event, Thread

import structlog
from prometheus_client import Histogram
from sqlalchemy.exc import DBAPIError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as PoolEmpty

from estimator.contract.problems.documents import Problem, problem_entry, problem_of
from estimator.contract.problems.table import SERVER_FAULT
from estimator.errors import EstimatorError
from estimator.service import calculations
from estimator.service.context import ServiceContext
from estimator.service.operations import (
    Kind,
    Lease,
    LeaseLost,
    fail_operation,
    put_back,
    renew_lease,
    take_operation,
)
from estimator.service.quoting.papers.issued import keep_next_papers
from estimator.service.quoting.stored.costs import keep_next_costs
from estimator.tasks.hang_up import GONE, NobodyWaits
from estimator.tasks.kinds import KINDS, Work
from estimator.tasks.pool import CalculationBroken, Pool

SIGN_OF_LIFE_SECONDS = 3.0
LOOK_EVERY_SECONDS = 0.5
PAPERS_EVERY_SECONDS = 1.0
HANDED_BACK_SECONDS = 5.0
ENDING = Event()
"""This process was asked to end: what is under way is handed back at once, and nothing is taken up."""
SECONDS = Histogram("estimator_operation_seconds", "Seconds of a try of an operation", ["kind", "outcome"])
log = structlog.get_logger("estimator")


@dataclass(slots=True)
class Hold:
    """A lease while it is worked on: how far the work is, and whether the lease still stands."""

    lease: Lease
    progress: tuple[int, int | None] | None = None
    lost: Event = field(default_factory=Event)
    over: Event = field(default_factory=Event)

    def tell(self, done: int, total: int | None) -> None:
        """How far it is; written down at the next sign of life."""
        self.progress = (done, total)
        if ENDING.is_set():
            raise NobodyWaits

    def is_over(self) -> bool:
        """Whether work on it should stop: the lease is lost, or this process ends."""
        return self.lost.is_set() or ENDING.is_set()


def patiently(context: ServiceContext, pool: Pool) -> ServiceContext:
    """The context with its long calculations in a pool that may take as long as they need."""
    call = partial(pool.call, patient=True)
    return replace(
        context,
        make_offer=lambda job, book, choices, on, _memory, before: call(
            calculations.make_offer, job, book, choices, on, before
        ),
        calculate=call,
        on_paper=call,
    )


def work_once(context: ServiceContext, kinds: tuple[Kind, ...] | None = None, operation_id: str | None = None) -> bool:
    """Take one operation and work on it; false where none waits."""
    lease = None if ENDING.is_set() else take_operation(context, kinds, operation_id)
    if lease is None:
        return False
    work_on(context, lease, KINDS[lease.kind])
    return True


def work_on(context: ServiceContext, lease: Lease, work: Work) -> None:
    """Work, and end the operation: with what was made, with a problem, or for another try."""
    structlog.contextvars.bind_contextvars(operation=lease.operation, kind=lease.kind)
    begun, outcome = time.monotonic(), "failed"
    try:
        with _held(context, lease) as hold:
            work(context, lease, hold.tell)
        outcome = "succeeded"
        log.info("operation", seconds=round(time.monotonic() - begun, 3), attempt=lease.attempt)
    except (LeaseLost, NobodyWaits):
        outcome = "let_go"
        log.info("operation let go", seconds=round(time.monotonic() - begun, 3))
        if ENDING.is_set():
            put_back(context, lease, at_once=True)
    except EstimatorError as refusal:
        fail_operation(context, lease, problem_entry(problem_of(refusal)), refusal.told)
    except (DBAPIError, PoolEmpty, CalculationBroken) as fault:
        outcome = "put_back"
        log.warning("operation put back", error=str(fault)[-2_000:], attempt=lease.attempt)
        put_back(context, lease)
    except Exception as fault:
        log.error("fault", exc_info=fault)
        fail_operation(context, lease, problem_entry(Problem(SERVER_FAULT, "", SERVER_FAULT.status)))
    finally:
        SECONDS.labels(lease.kind, outcome).observe(time.monotonic() - begun)
        structlog.contextvars.unbind_contextvars("operation", "kind")


@contextmanager
def _held(context: ServiceContext, lease: Lease) -> Iterator[Hold]:
    hold = Hold(lease)
    Thread(target=_renew, args=(context, hold), name="lease", daemon=True).start()
    gone = GONE.set(hold.is_over)
    try:
        yield hold
    finally:
        GONE.reset(gone)
        hold.over.set()


def _renew(context: ServiceContext, hold: Hold) -> None:
    while not hold.over.wait(SIGN_OF_LIFE_SECONDS):
        progress, hold.progress = hold.progress, None
        try:
            if not renew_lease(context, hold.lease, progress):
                hold.lost.set()
                return
        except SQLAlchemyError as fault:
            log.warning("lease not renewed", error=type(fault).__name__)


class Workers:
    """Threads that look for operations and work on them, beside the web's or on their own."""

    def __init__(
        self, context: ServiceContext, pool: Pool, threads: int = 1, look_every_seconds: float = LOOK_EVERY_SECONDS
    ) -> None:
        self._context, self._threads, self._every = patiently(context, pool), threads, look_every_seconds
        self._over, self._called = Event(), Event()
        self._begun: list[Thread] = []

    def start(self) -> None:
        """Begin; the threads end with the process."""
        for at in range(self._threads):
            self._begun.append(Thread(target=self._again, name=f"worker {at + 1}", daemon=True))
            self._begun[-1].start()

    def call(self) -> None:
        """Tell the workers that something waits."""
        self._called.set()

    def stop(self) -> None:
        """End after what is under way."""
        self._over.set()
        self._called.set()

    def hand_back(self, seconds: float = HANDED_BACK_SECONDS) -> None:
        """The process ends: what is under way is another's from now on."""
        ENDING.set()
        self.stop()
        for each in self._begun:
            each.join(seconds)

    def _again(self) -> None:
        while not self._over.is_set():
            if not _safely(lambda: work_once(self._context)):
                self._called.wait(self._every)
                self._called.clear()


class PaperKeeper:
    """A thread that writes the papers of issued quotes, one after the other, in the pool.

    Before that it writes down the costs of open quotes that were kept by a version without them.
    """

    def __init__(self, context: ServiceContext, pool: Pool, look_every_seconds: float = PAPERS_EVERY_SECONDS) -> None:
        self._context, self._every, self._over = patiently(context, pool), look_every_seconds, Event()

    def start(self) -> None:
        """Begin; the thread ends with the process."""
        Thread(target=self._again, name="papers", daemon=True).start()

    def stop(self) -> None:
        """End after what is under way."""
        self._over.set()

    def _again(self) -> None:
        while not self._over.is_set() and self._look(keep_next_costs):
            pass
        while not self._over.is_set():
            if not self._look(keep_next_papers):
                self._over.wait(self._every)

    def _look(self, keep: Callable[[ServiceContext], bool]) -> bool:
        try:
            return keep(self._context)
        except Exception as fault:  # the thread goes on: the papers stay due, and whoever asks for one gets it
            log.warning("papers put off", error=type(fault).__name__, detail=str(fault)[-2_000:])
            return False


def _safely(look: Callable[[], bool]) -> bool:
    try:
        return look()
    except SQLAlchemyError as fault:
        log.warning("no look at operations", error=type(fault).__name__)
        return False
