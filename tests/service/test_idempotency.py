"""A response under an Idempotency-Key: made once, by one request at a time, whatever is killed in between."""

import time

import pytest

from estimator.service import idempotency
from estimator.service.access import keys
from estimator.service.context import store_nothing
from estimator.service.idempotency import Claim, ClaimLost, StillRunning, StoredResponse, claim_key, kept_alive
from estimator.service.jobs import list_jobs, post_job
from tests.builders import a_job
from tests.service.contexts import DIRECT, a_client, a_context

MADE = StoredResponse(201, {"Location": "/v1/jobs/1"}, b"made")


@pytest.fixture
def setting(tmp_path):
    context, clock, catalogue = a_context(tmp_path)
    yield context, clock, catalogue, a_client(context, name="Ann")
    context.engine.dispose()


def made_under(claim, context, client, reference="T-1"):
    """A job posted by the request that holds the claim."""
    job = a_job(reference=reference, mounting=DIRECT)
    return post_job(context, client, job, {}, lambda session, _: claim.store(session, MADE))


def test_an_answer_is_kept_only_with_what_it_tells_of(setting):
    context, _, _, client = setting
    claim = idempotency.claim_key(context, client, "k", "print")
    job = a_job(mounting=DIRECT)

    def seal_and_fail(session, made):
        claim.store(session, idempotency.StoredResponse(201, {}, b"made"))
        raise RuntimeError("the power went")

    with pytest.raises(RuntimeError):
        post_job(context, client, job, {}, seal_and_fail)
    with pytest.raises(idempotency.StillRunning):
        idempotency.claim_key(context, client, "k", "print")
    idempotency.release_key(context, claim)
    again = idempotency.claim_key(context, client, "k", "print")
    post_job(
        context,
        client,
        job,
        {},
        lambda session, made: again.store(session, idempotency.StoredResponse(201, {}, b"made")),
    )
    assert idempotency.claim_key(context, client, "k", "print") == idempotency.StoredResponse(201, {}, b"made")
    with pytest.raises(idempotency.KeyReused):
        idempotency.claim_key(context, client, "k", "other print")


def test_a_request_that_was_killed_leaves_its_key_for_seconds_only(setting):
    context, clock, _, client = setting
    claim_key(context, client, "k", "print")
    clock.turn(seconds=14)
    with pytest.raises(StillRunning) as refusal:
        claim_key(context, client, "k", "print")
    assert refusal.value.retry_after in range(1, 10)
    clock.turn(seconds=2)
    assert isinstance(claim_key(context, client, "k", "print"), Claim)


def test_a_response_is_forgotten_after_two_days(setting):
    context, clock, _, client = setting
    made_under(claim_key(context, client, "k", "print"), context, client)
    clock.turn(hours=47)
    assert claim_key(context, client, "k", "print") == MADE
    clock.turn(hours=2)
    assert isinstance(claim_key(context, client, "k", "another print"), Claim)


def test_a_request_that_lost_its_key_makes_nothing_and_the_one_that_took_it_makes_one(setting):
    context, clock, _, client = setting
    lost = [claim_key(context, client, "k", "print")]
    for _ in range(2):
        clock.turn(seconds=16)
        lost.append(claim_key(context, client, "k", "print"))
    holds = lost.pop()
    for number, claim in enumerate(lost):
        with pytest.raises(ClaimLost):
            made_under(claim, context, client, f"lost-{number}")
        idempotency.release_key(context, claim)
    assert list_jobs(context, client, before=None, limit=9) == ()
    made_under(holds, context, client)
    assert [job.reference for job in list_jobs(context, client, before=None, limit=9)] == ["T-1"]
    assert claim_key(context, client, "k", "print") == MADE


def test_a_request_that_lives_keeps_its_key_however_long_it_takes(setting):
    context, clock, _, client = setting
    claim = claim_key(context, client, "k", "print")
    with kept_alive(context, claim, every_seconds=0.01):
        for _ in range(5):
            clock.turn(seconds=10)
            wait_until_renewed(context, clock)
            with pytest.raises(StillRunning):
                claim_key(context, client, "k", "print")
    made_under(claim, context, client)
    assert claim_key(context, client, "k", "print") == MADE


def wait_until_renewed(context, clock):
    for _ in range(500):
        with context.reading() as session:
            until = session.query(idempotency.IdempotencyRow.claimed_until).scalar()
        if until == clock() + idempotency.LEASE:
            return
        time.sleep(0.01)
    raise AssertionError("no sign of life")


def test_a_request_that_is_over_gives_no_more_signs_of_life(setting):
    context, clock, _, client = setting
    claim = claim_key(context, client, "k", "print")
    with kept_alive(context, claim, every_seconds=0.01):
        pass
    time.sleep(0.1)
    clock.turn(seconds=16)
    time.sleep(0.1)
    assert isinstance(claim_key(context, client, "k", "print"), Claim)


def test_a_rotated_key_is_the_same_client_and_another_key_is_not(setting):
    context, _, _, client = setting
    made_under(claim_key(context, client, "k", "print"), context, client)
    prefix = next(each.prefix for each in keys.list_keys(context) if each.id == client.key)
    token, _ = keys.rotate_key(context, prefix)
    rotated = keys.identify(context, token)
    assert rotated.key != client.key
    assert claim_key(context, rotated, "k", "print") == MADE
    assert isinstance(claim_key(context, a_client(context, name="Bea"), "k", "print"), Claim)


def test_nothing_is_stored_for_a_request_without_a_key(setting):
    context, _, _, client = setting
    post_job(context, client, a_job(mounting=DIRECT), {}, store_nothing)
    with context.reading() as session:
        assert session.query(idempotency.IdempotencyRow).count() == 0
