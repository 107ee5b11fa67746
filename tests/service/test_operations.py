"""Operations by leases: done once, by whoever holds the lease. Source of the rules: common practice, no source."""

import pytest
from sqlalchemy import select

from estimator.errors import Conflict, NotFound, NotYet
from estimator.sentences import say
from estimator.service import operations
from estimator.service.context import store_nothing
from estimator.service.operations import (
    LEASE,
    MOST_ATTEMPTS,
    LeaseLost,
    cancel_operation,
    end_operation,
    fail_operation,
    get_operation,
    list_operations,
    operation_result,
    post_operation,
    put_back,
    renew_lease,
    take_operation,
)
from estimator.storage.tables import OrganisationRow
from tests.facts import refusing
from tests.service.contexts import a_client, a_context


@pytest.fixture
def house(tmp_path):
    context, clock, _ = a_context(tmp_path)
    yield context, clock, a_client(context)
    context.engine.dispose()


def start(context, client, kind="estimate"):
    return post_operation(context, client, kind, {"job": {}}, store_nothing)


def state_of(context, client, operation):
    return get_operation(context, client, operation.id, every=True).state


def test_the_oldest_that_waits_is_taken_once(house):
    context, clock, client = house
    first = start(context, client)
    clock.turn(seconds=1)
    second = start(context, client)
    assert [take_operation(context).operation for _ in range(2)] == [first.id, second.id]
    assert take_operation(context) is None


def test_a_lease_that_runs_out_is_taken_up_by_another_and_the_first_makes_nothing(house):
    context, clock, client = house
    operation, made = start(context, client), []
    lost = take_operation(context)
    clock.turn(seconds=LEASE.total_seconds() + 1)
    held = take_operation(context)
    assert held.operation == operation.id
    assert held.attempt == 2
    assert not renew_lease(context, lost)
    for lease in (lost, held):
        try:
            with context.writing() as session:
                session.add(OrganisationRow(id=lease.token, name=lease.token, last_number=0, created_at=clock()))
                end_operation(session, context, lease, None, b"{}")
        except LeaseLost:
            made.append("nothing")
    with context.reading() as session:
        made += [row.id for row in session.scalars(select(OrganisationRow)) if row.id in {lost.token, held.token}]
    assert made == ["nothing", held.token]
    assert operation_result(context, client, operation.id, every=False).content == b"{}"


def test_a_lease_that_is_renewed_stays(house):
    context, clock, client = house
    operation = start(context, client)
    lease = take_operation(context)
    for step in range(4):
        clock.turn(seconds=LEASE.total_seconds() - 1)
        assert renew_lease(context, lease, (step, 4))
        assert take_operation(context) is None
    assert (operation := get_operation(context, client, operation.id, every=False)).done == 3
    assert operation.total == 4


def test_what_is_made_when_the_transaction_fails_is_undone_and_the_lease_stays(house):
    context, _, client = house
    operation = start(context, client)
    lease = take_operation(context)

    with pytest.raises(ValueError), context.writing() as session:
        end_operation(session, context, lease)
        raise ValueError
    assert state_of(context, client, operation) == "running"
    assert renew_lease(context, lease)


def test_cancelling_takes_the_lease_away(house):
    context, _, client = house
    operation = start(context, client)
    lease = take_operation(context)
    assert cancel_operation(context, client, operation.id, every=False).state == "cancelled"
    assert not renew_lease(context, lease)
    with pytest.raises(LeaseLost), context.writing() as session:
        end_operation(session, context, lease)
    fail_operation(context, lease, {"title": "too late"})
    put_back(context, lease)
    assert state_of(context, client, operation) == "cancelled"
    assert cancel_operation(context, client, operation.id, every=False).state == "cancelled"


def test_the_answer_of_what_still_runs_is_asked_for_again_later(house):
    context, _, client = house
    operation = start(context, client)
    for state in ("queued", "running"):
        with pytest.raises(NotYet) as refusal:
            operation_result(context, client, operation.id, every=False)
        assert refusal.value.retry_after >= 1
        assert ("state", state) in refusal.value.told.values
        take_operation(context)


def test_what_has_ended_cannot_be_cancelled(house):
    context, _, client = house
    operation = start(context, client)
    told = say("only accepted quotes are ordered; not accepted: {names}", names="Q-1")
    fail_operation(context, take_operation(context), {"title": "no such job"}, told)
    kept = get_operation(context, client, operation.id, every=False).told
    assert (kept.template, kept.values) == (told.template, told.values)
    with refusing(Conflict, holds=("failed",)):
        cancel_operation(context, client, operation.id, every=False)
    assert get_operation(context, client, operation.id, every=False).problem == {"title": "no such job"}
    with refusing(Conflict, holds=("failed",)):
        operation_result(context, client, operation.id, every=False)


def test_a_try_that_may_do_better_later_waits_a_growing_while_and_ends_at_last(house):
    context, clock, client = house
    operation = start(context, client)
    for attempt in range(1, MOST_ATTEMPTS + 1):
        lease = take_operation(context)
        assert lease.attempt == attempt
        put_back(context, lease)
        assert take_operation(context) is None
        clock.turn(seconds=operations.PAUSES[-1])
    assert take_operation(context) is None
    assert state_of(context, client, operation) == "failed"


def test_work_that_a_closing_worker_lets_go_waits_for_nothing_and_counts_no_attempt(house):
    context, _, client = house
    start(context, client)
    put_back(context, take_operation(context), at_once=True)
    assert take_operation(context).attempt == 1


def test_others_see_nothing_of_it_but_colleagues_who_see_costs(house):
    context, _, client = house
    operation = start(context, client)
    stranger, crm = a_client(context, organisation="another house"), a_client(context, role="crm")
    for other, every in ((stranger, True), (crm, False)):
        with pytest.raises(NotFound):
            get_operation(context, other, operation.id, every=every)
        with pytest.raises(NotFound):
            cancel_operation(context, other, operation.id, every=every)
        assert not list_operations(context, other, before=None, limit=9, state=None, every=every)
    colleague = a_client(context, name="a colleague")
    assert get_operation(context, colleague, operation.id, every=True) == operation
    assert list_operations(context, colleague, before=None, limit=9, state="queued", every=True) == (operation,)


def test_work_that_is_put_down_is_announced_in_the_same_transaction(tmp_path):
    context, _, _ = a_context(tmp_path)
    told = []
    object.__setattr__(context, "announce", lambda session, name: told.append((session.in_transaction(), name)))
    operation = start(context, a_client(context))
    assert told == [(True, operation.id)]
