"""An offer that was kept with the older words for arrangements comes back in those of today."""

import re
import zlib
from dataclasses import replace
from datetime import date

import pytest

from estimator.comparison.compare import compare_everything
from estimator.comparison.records import Offer
from estimator.estimate import estimate
from estimator.job import Choices, Mounting
from estimator.storage.records.codec import freeze, thaw
from tests.builders import a_book, a_job

OLDER = {"rail_on_side": "side_rail", "rail_on_top": "bottom_rail"}
CHANGED = ("bracket", "choice", "clamp", "mounting", "mounting_choice", "rail", "rule_condition", "side", "wishes")
DAY = date(2026, 11, 25)


def in_older_words(kept):
    """The bytes of an offer as they were before the words changed: versions and words of then."""
    text = zlib.decompress(kept).decode()
    for name in CHANGED:
        text, times = re.subn(rf'"{name}/[2-9]"', f'"{name}/1"', text)
        assert times, name
    for new, old in OLDER.items():
        text = text.replace(f'"{new}"', f'"{old}"')
    return zlib.compress(text.encode())


def a_book_of_then():
    """The book of the tests; strength tests did not tell yet in which arrangement they were made."""
    book = a_book()
    untold = {"arrangement": None, "rail_direction": None, "load_height_mm": None}
    brackets = {
        name: replace(each, tests=tuple(replace(test, **untold) for test in each.tests))
        for name, each in book.brackets.items()
    }
    return replace(book, brackets=brackets)


@pytest.fixture(scope="module", params=["rail_on_side", "rail_on_top"])
def offer(request):
    mounting = Mounting(arrangement=request.param, material="aluminium", max_span_mm=1200.0, max_cantilever_mm=400.0)
    job, book, choices = a_job(mounting=mounting), a_book_of_then(), Choices(arrangement=request.param)
    chosen = estimate(job, book, choices, DAY)
    return Offer(chosen, compare_everything(chosen, (job, book, choices, DAY)))


def test_an_offer_in_older_words_comes_back_in_those_of_today(offer):
    older = in_older_words(freeze(offer))
    assert b"rail_on" not in zlib.decompress(older)
    back = thaw(older)
    assert (back.estimate.job, back.estimate.choices) == (offer.estimate.job, offer.estimate.choices)
    assert back.estimate.mounting == replace(offer.estimate.mounting, expansion_splice=None)  # not kept then
    assert back.estimate.decisions == offer.estimate.decisions
    assert [(each.subject, each.option) for each in back.comparison.others] == [
        (each.subject, each.option) for each in offer.comparison.others
    ]
    assert {each.option for each in back.comparison.others if each.subject == "arrangement"} - {"direct"} <= set(OLDER)


def test_its_book_is_that_of_today(offer):
    back, book = thaw(in_older_words(freeze(offer))).estimate.book, offer.estimate.book
    assert (back.brackets, back.rails, back.clamps) == (book.brackets, book.rails, book.clamps)
    assert (back.rules, back.labour) == (book.rules, book.labour)
