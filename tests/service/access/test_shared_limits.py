"""Processes over one PostgreSQL share what a key may send: together they let through no more than one would."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlalchemy import text

from estimator.api.rate_limits import RequestShare, SharedBuckets, TokenBuckets
from estimator.contract.problems.refusals import TooMany
from estimator.service.access.shared_limits import DrawnRequests, draw, shares_limits
from estimator.service.people import sessions
from tests.service.contexts import Clock, a_context


def buckets(context, share):
    return SharedBuckets(share, lambda name, wanted: draw(context, name, wanted, share.burst, share.per_second))


def let_through(takers, name, tries):
    """How many of the tries come through, and then as many as each taker still holds: a thread may be late with its."""

    def one(at):
        try:
            takers[at % len(takers)].take(name)
        except TooMany as refusal:
            assert refusal.retry_after >= 1
            return 0
        return 1

    with ThreadPoolExecutor(8) as pool:
        count = sum(pool.map(one, range(tries)))
    for at in range(len(takers)):
        while one(at):
            count += 1
    return count


def let_pass(context, seconds):
    """The clock is the database's; instead of waiting, what it wrote down is dated back."""
    with context.engine.begin() as connection:
        back = text("UPDATE rate_limit SET at = at - make_interval(secs => :seconds)")
        connection.execute(back, {"seconds": seconds})


def test_two_machines_let_through_one_burst_together(machines):
    """300 at once and 0.001 a second: of 800 requests 300 are let through, by the definition of a token bucket."""
    assert all(shares_limits(each.engine) for each in machines)
    share = RequestShare(300, 0.001)
    assert let_through([buckets(each, share) for each in machines], "key a", 800) == 300


def test_another_name_has_a_share_of_its_own(machines):
    share = RequestShare(5, 0.001)
    one, two = (buckets(each, share) for each in machines)
    assert let_through([one], "key b", 10) == 5
    assert let_through([two], "key b", 10) == 0
    assert let_through([two], "key c", 10) == 5


def test_what_was_used_comes_again_with_time_and_never_above_the_burst(machines):
    """At 0.001 a second three thousand seconds bring three, ten thousand the whole burst of four, and no more."""
    share = RequestShare(4, 0.001)
    one = buckets(machines[0], share)
    assert let_through([one], "key d", 6) == 4
    let_pass(machines[0], 3_000)
    assert let_through([one], "key d", 6) == 3
    let_pass(machines[0], 10_000)
    assert let_through([one], "key d", 6) == 4


def test_a_process_draws_a_few_at_a_time_and_tells_what_is_left():
    asked = []

    def drawn(name, wanted):
        asked.append((name, wanted))
        return DrawnRequests(wanted, 500.0)

    taker = SharedBuckets(RequestShare(600, 60.0), drawn)
    assert [taker.take("a") for _ in range(6)] == [505, 504, 503, 502, 501, 500]
    assert asked == [("a", 6)]
    taker.take("a")
    assert asked == [("a", 6)] * 2


def test_one_process_keeps_its_own_buckets(tmp_path):
    context, _, _ = a_context(tmp_path)
    assert not shares_limits(context.engine)
    context.engine.dispose()


def test_a_bucket_gives_its_burst_and_then_its_share_of_each_second():
    """Token bucket, common practice: full at first; a request takes one, time gives back, never above the burst."""
    clock = Clock(at=0.0)
    taker = TokenBuckets(RequestShare(3, 2.0), lambda: clock.at)
    assert [taker.take("a") for _ in range(3)] == [2, 1, 0]
    with pytest.raises(TooMany) as refusal:
        taker.take("a")
    assert refusal.value.retry_after == 1
    clock.at = 0.5
    assert taker.take("a") == 0
    with pytest.raises(TooMany):
        taker.take("a")
    assert taker.take("b") == 2
    clock.at = 100.0
    assert [taker.take("a") for _ in range(3)] == [2, 1, 0]


def test_attempts_to_sign_in_from_one_address_are_counted_by_both_machines(machines, monkeypatch):
    monkeypatch.setattr(sessions, "FAILURES_AT_ONCE", 4)
    for at in range(4):
        with pytest.raises(sessions.SignInRefused):
            sessions.sign_in(machines[at % 2], f"nobody-{at}", "wrong", address="192.0.2.7")
    for machine in machines:
        with pytest.raises(sessions.SignInTooOften):
            sessions.sign_in(machine, "nobody", "wrong", address="192.0.2.7")
