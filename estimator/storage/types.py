"""Column types that mean the same on every database: exact amounts, instants with a zone, JSON texts."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import orjson
from sqlalchemy import BigInteger, DateTime, Dialect, Text
from sqlalchemy.types import TypeDecorator

AMOUNT_PLACES = 4


class Amount(TypeDecorator[Decimal]):
    """An exact decimal kept as a whole number of ten-thousandths, so that it sorts and sums on every database.

    Errors: ValueError for an amount with more than four decimals (nothing is rounded on its way to a table).
    """

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> int | None:
        """To whole ten-thousandths."""
        if value is None:
            return None
        scaled = value.scaleb(AMOUNT_PLACES)
        if scaled != scaled.to_integral_value():
            raise ValueError(f"{value} has more than {AMOUNT_PLACES} decimals")
        return int(scaled)

    def process_result_value(self, value: Any | None, dialect: Dialect) -> Decimal | None:
        """Back to the decimal."""
        return None if value is None else Decimal(int(value)).scaleb(-AMOUNT_PLACES)


class UtcDateTime(TypeDecorator[datetime]):
    """An instant, always with UTC as its zone, on databases that keep zones and on those that drop them."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """To UTC; an instant without a zone is refused."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("an instant needs a zone")
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Back with its zone."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


class Json(TypeDecorator[Any]):
    """A JSON document kept as text; nothing is asked inside it by the database."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any | None, dialect: Dialect) -> str | None:
        """To text."""
        return None if value is None else orjson.dumps(value).decode()

    def process_result_value(self, value: Any | None, dialect: Dialect) -> Any | None:
        """Back to the document."""
        return None if value is None else orjson.loads(value)
