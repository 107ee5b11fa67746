"""The last results of long calculations, shared by requests that run at once."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from estimator.service.last_results import LastResults


def test_the_one_not_asked_for_longest_goes_first():
    kept = LastResults(2)
    kept["first"], kept["second"] = 1, 2
    assert kept["first"] == 1
    kept["third"] = 3
    assert set(kept) == {"first", "third"}
    del kept["first"]
    with pytest.raises(KeyError):
        kept["first"]


def test_many_requests_at_once_never_hold_more_than_it_may():
    kept = LastResults(8)

    def ask(number):
        for turn in range(200):
            key = (number * 7 + turn) % 40
            found = kept.get(key)
            assert found in (None, key)
            kept[key] = key
            assert len(kept) <= 8

    with ThreadPoolExecutor(8) as threads:
        list(threads.map(ask, range(8)))
    assert len(kept) == 8
