"""Dates on the command line: as ISO 8601 writes them, or today."""

from __future__ import annotations

from datetime import UTC, date, datetime

import click


class DateOption(click.ParamType[date]):
    """A date as ISO 8601 writes it."""

    name = "date"

    def convert(self, value: str | date, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """The date."""
        if isinstance(value, date):
            return value
        try:
            return date.fromisoformat(value)
        except ValueError:
            self.fail(f"{value!r} is no date such as 2027-03-15", param, ctx)


def today() -> date:
    """The date by the clock."""
    return datetime.now(UTC).date()
