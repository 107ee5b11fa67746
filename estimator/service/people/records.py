"""Somebody with an account, as the rest of the service and the pages see them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal, cast

from estimator.service.context import Client
from estimator.storage.tables import AccountRow
from estimator.units import DisplayUnits

Standing = Literal["invited", "open", "ended"]
UNITS: tuple[DisplayUnits, ...] = ("metric", "us", "metric_us", "us_metric")


@dataclass(frozen=True, slots=True)
class Person:
    """An account: its name is what "prepared by" prints; language and units are those of its pages."""

    id: str
    organisation: str
    login: str
    name: str
    role: str
    language: str
    units: DisplayUnits
    standing: Standing
    created_at: datetime
    signed_in_at: datetime | None = None

    @property
    def client(self) -> Client:
        """Who asks, as every function of the service takes it."""
        return Client(self.organisation, self.id, self.role, self.name, self.id, kind="account")


def person_of(row: AccountRow) -> Person:
    """What may be shown of an account."""
    standing: Standing = "ended" if row.ended_at else "open" if row.password or row.subject else "invited"
    return Person(
        id=row.id,
        organisation=row.organisation_id,
        login=row.login,
        name=row.name,
        role=row.role,
        language=row.language,
        units=cast(DisplayUnits, row.units),
        standing=standing,
        created_at=row.created_at,
        signed_in_at=row.signed_in_at,
    )
