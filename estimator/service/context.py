"""The context of the service: the database, the books, the clock, and who asks."""

from __future__ import annotations

import os
import time
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime
from ipaddress import IPv4Network, IPv6Network
from typing import Any

from sqlalchemy import Connection, Engine
from sqlalchemy.orm import Session

from estimator.comparison.records import Offer
from estimator.cutting.records import CutPlan, Memory
from estimator.job import Choices, Job
from estimator.pricebook import Book
from estimator.service.calculations import Calculate, here
from estimator.service.catalogue import Catalogue
from estimator.service.identity_provider import BY_PASSWORD, SignInWays
from estimator.service.last_results import LastResults
from estimator.service.sealing import Seal
from estimator.storage.engine import for_looking_up, for_reading

OfferMaker = Callable[[Job, Book, Choices, date, Memory, tuple[CutPlan, ...]], Offer]
"""Job, book, choices, day, what searches found last, and the cut plans of the offer that is revised."""
SEARCHES_KEPT = 16
"""Searches for a cut plan: mountings and revisions often ask for the same one."""
COMPARISONS_KEPT = 32
EXPIRING_DAYS = 3
Network = IPv4Network | IPv6Network
StoreResponse = Callable[[Session, Any], None]
"""Stores the response to a request in the transaction that made what it tells of."""
Announce = Callable[[Session, str], None]
"""Tells workers of an operation by its id, in the transaction that puts it down."""


@dataclass(frozen=True, slots=True)
class AnswerForm:
    """How parts of a quote's answer are written: for whom, by which version of the contract, and by what.

    ``write`` makes a part (by its name) of a whole quote; ``renew`` makes the summary of one whose card alone has
    changed, from the summary before.
    """

    costs: bool
    contract: str
    write: Callable[[Any, str], bytes]
    renew: Callable[[Any, bytes], bytes]


def announce_nothing(_session: Session, _operation_id: str) -> None:
    """Where workers look for operations themselves."""


@dataclass(frozen=True, slots=True)
class Who:
    """Who did something, as it is kept: a key, a person with an account, the command line, or the service itself."""

    kind: str
    id: str
    name: str
    role: str


@dataclass(frozen=True, slots=True)
class Client:
    """Who asks, and from where: a client of an organisation, by one of its keys; ``id`` stays when keys are rotated.

    ``kind`` is "account" for a person with an account; ``id`` is then the account's, and ``key`` may be empty.
    """

    organisation: str
    key: str
    role: str
    name: str
    id: str
    kind: str = "key"
    address: str = ""
    request_id: str = ""

    @property
    def who(self) -> Who:
        """As it is written down."""
        return Who(self.kind, self.id, self.name, self.role)


@dataclass(frozen=True, slots=True)
class ServiceContext:
    """Database, books, clock, the way offers are made, and the last results of long calculations.

    ``calculate`` and ``on_paper`` call long calculations, and what writes papers: here, or in processes beside.
    ``answers``: for each kind of reader, how the answer is written that is kept beside a quote whenever it changes.
    """

    engine: Engine
    catalogue: Catalogue
    clock: Callable[[], datetime]
    make_offer: OfferMaker
    searches: LastResults = field(default_factory=lambda: LastResults(SEARCHES_KEPT))
    comparisons: LastResults = field(default_factory=lambda: LastResults(COMPARISONS_KEPT))
    announce: Announce = announce_nothing
    calculate: Calculate = here
    on_paper: Calculate = here
    operation_modules: int = 5_000
    webhook_networks: tuple[Network, ...] = ()
    expiring_days: int = EXPIRING_DAYS
    seal: Seal = field(default_factory=Seal.of_the_process)
    ways: SignInWays = BY_PASSWORD
    answers: tuple[AnswerForm, ...] = ()
    readers: Engine = field(init=False, repr=False)
    look_ups: Engine = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "readers", for_reading(self.engine))
        object.__setattr__(self, "look_ups", for_looking_up(self.engine))

    def today(self) -> date:
        """The date by the clock."""
        return self.clock().date()

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """One transaction that changes something: all of it or nothing."""
        with Session(self.engine, expire_on_commit=False) as session, session.begin():
            yield session

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """One transaction that changes nothing, and holds nobody up."""
        with Session(self.readers, expire_on_commit=False) as session, session.begin():
            yield session

    @contextmanager
    def looking_up(self) -> Iterator[Connection]:
        """For columns read by single statements: without objects of rows or a transaction, in a quarter of the time."""
        with self.look_ups.connect() as connection:
            yield connection


def store_nothing(_session: Session, _made: object) -> None:
    """For requests whose response need not be stored."""


def new_id() -> str:
    """An identifier that sorts by its time: UUID version 7. Source: RFC 9562, section 5.7."""
    milliseconds = time.time_ns() // 1_000_000
    chance = int.from_bytes(os.urandom(10), "big")
    high = (milliseconds & (2**48 - 1)) << 16 | 0x7 << 12 | chance >> 68 & 0xFFF
    low = 0b10 << 62 | chance & (2**62 - 1)
    return str(uuid.UUID(int=high << 64 | low))
