"""Searches for cut plans that tests make in passing, kept for a whole process so that none is made twice.

A search is kept with everything its result depends on, so what is kept changes the time and never a plan; the tests of
the search itself keep nothing. Most documents and states of a quote are of the same few jobs.
"""

from typing import Any

from estimator.comparison import Offer
from estimator.comparison import offer as made_anew
from estimator.cutting.records import Memory

SEARCHES: Memory = {}


def offer(job: Any, book: Any, choices: Any, on: Any, _memory: Memory | None = None, *more: Any, **named: Any) -> Offer:
    """The offer for a job, its searches kept for the next test that asks for them."""
    return made_anew(job, book, choices, on, SEARCHES, *more, **named)
