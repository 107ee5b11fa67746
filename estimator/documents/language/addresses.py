"""Addresses as their country writes them, the country in the reader's words."""

from __future__ import annotations

from babel import Locale

from estimator.documents.language.texts import Reader
from estimator.job import Address


def address_lines(address: Address, reader: Reader) -> tuple[str, ...]:
    """An address as its country writes it, the country in words."""
    return tuple(line for line in (*address.lines, address.town, country_name(address.country, reader)) if line)


def country_name(code: str, reader: Reader) -> str:
    """A country in the reader's language."""
    return str(Locale.parse(reader.texts.locale).territories.get(code.upper(), code)) if code else ""
