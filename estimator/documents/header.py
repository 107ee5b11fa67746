"""What heads a document: the quote's number and state, dates, and who prepared it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

QuoteState = Literal["draft", "issued", "accepted", "declined", "expired"]
Edition = Literal["estimator", "customer"]
PaperSize = Literal["A4", "letter"]


@dataclass(frozen=True, slots=True)
class QuoteHeader:
    """The head of a quote. ``number`` stays over revisions; ``revision`` counts from 1. ``paper`` None: by country."""

    number: str
    revision: int
    state: QuoteState
    dated: date
    valid_until: date
    prepared_by: str = ""
    language: str = "en"
    paper: PaperSize | None = None
