"""What all tables share: names of constraints, widths of columns, who did something."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import CheckConstraint, Date, LargeBinary, MetaData, String
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from estimator.storage.types import Amount, UtcDateTime

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
WHO_KINDS = ("key", "account", "command_line", "service")
"""Who may have done something: a key, a person with an account, the command line, or the service by itself."""


class Base(DeclarativeBase):
    """What all tables share: names of constraints that every database takes."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map = {datetime: UtcDateTime, Decimal: Amount, bytes: LargeBinary, date: Date}  # noqa: RUF012


def one_of(column: str, allowed: tuple[str, ...]) -> CheckConstraint:
    """A column takes one of these words."""
    return CheckConstraint(f"{column} IN ({', '.join(repr(word) for word in allowed)})", name=column)


Id = String(36)
Word = String(80)


class WhoColumns:
    """Who did something: a key or an account (or the service itself), by its name and role of that time."""

    who_kind: Mapped[str] = mapped_column(Word)
    who_id: Mapped[str] = mapped_column(Id)
    who_name: Mapped[str] = mapped_column(String(200))
    who_role: Mapped[str] = mapped_column(Word)
