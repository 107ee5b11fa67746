"""The head of a document: the quote's number and state, dates, and who prepared it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

QuoteState = Literal["draft", "issued", "accepted", "declined", "expired", "superseded"]
Edition = Literal["estimator", "customer"]
PaperSize = Literal["A4", "letter"]


@dataclass(frozen=True, slots=True)
class Fact:
    """A label and what stands beside it."""

    label: str
    value: str


@dataclass(frozen=True, slots=True)
class QuoteHeader:
    """The head of a quote. ``number`` stays over revisions; ``revision`` counts from 1. ``paper`` None: by country.

    ``option``: the letter of the option that a paper of one option shows, where the quote has several.
    """

    number: str
    revision: int
    state: QuoteState
    dated: date
    valid_until: date
    prepared_by: str = ""
    language: str = "en"
    paper: PaperSize | None = None
    option: str = ""

    @property
    def code(self) -> str:
        """Number, revision and option in one word, as files and electronic documents name it."""
        return "-".join(part for part in (self.number, str(self.revision), self.option) if part)


@dataclass(frozen=True, slots=True)
class OrderHeader:
    """The head of an order list: its number (one per supplier is derived from it), date and the wanted language."""

    number: str
    dated: date
    language: str = "en"
    paper: PaperSize | None = None

    def number_for(self, supplier: str) -> str:
        """The number of one supplier's list."""
        return f"{self.number}-{supplier}"
