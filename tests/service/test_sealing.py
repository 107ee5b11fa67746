"""Secrets of webhooks at rest. Outside reference: ``standardwebhooks`` verifies what is signed with them."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlalchemy import delete, select, update
from standardwebhooks import Webhook
from structlog.testing import capture_logs

from estimator.contract.fault_codes import code_of
from estimator.errors import Refused
from estimator.service.context import store_nothing
from estimator.service.outbox.deliveries import deliver_next, list_deliveries
from estimator.service.outbox.outbound import SendingOutcome
from estimator.service.outbox.sealed_secrets import check_key, seal_secrets
from estimator.service.outbox.webhooks import make_webhook, rotate_secret
from estimator.service.sealing import Seal, new_key
from estimator.storage.tables import SealCheckRow, WebhookRow
from tests.service.contexts import SEALING_KEY, a_client, a_context, a_draft


@pytest.fixture
def house(tmp_path):
    context, clock, _ = a_context(tmp_path)
    clock.at = clock.at.now(clock.at.tzinfo)  # the library compares with the clock of the machine
    yield context, clock, a_client(context)
    context.engine.dispose()


def kept(context):
    with context.reading() as session:
        return session.execute(select(WebhookRow.secret, WebhookRow.older_secret)).all()


def hook(context, client):
    return make_webhook(context, client, "https://crm.example.org/", ("job.posted",), store_nothing)


def seal_with(context, *keys):
    object.__setattr__(context, "seal", Seal(lambda: keys))


def sent(context):
    messages = []

    def send(_url, headers, body):
        messages.append((body, headers))
        return SendingOutcome(1, 204)

    assert deliver_next(context, send)
    return messages


def test_no_copy_of_the_database_shows_a_secret(house, tmp_path):
    context, _, client = house
    made = hook(context, client)
    newer = rotate_secret(context, client, made.card.id, store_nothing)
    context.engine.dispose()
    for file in tmp_path.iterdir():
        for secret in (made.secret, newer.secret):
            assert secret.removeprefix("whsec_").encode() not in file.read_bytes()


def test_plain_secrets_of_before_are_sealed_at_the_start_and_sign_as_they_did(house):
    context, _, client = house
    made, plain = hook(context, client), "whsec_" + "c2VjcmV0" * 4
    with context.writing() as session:
        session.execute(update(WebhookRow).values(secret=plain, older_secret=made.secret))
    assert seal_secrets(context) == 1
    assert seal_secrets(context) == 0
    assert not any(each.startswith("whsec_") for each in kept(context)[0])
    a_draft(context, client)
    [(body, headers)] = sent(context)
    Webhook(plain).verify(body, headers)


def test_a_new_key_before_the_old_one_seals_everything_anew_and_the_old_one_can_go(house):
    context, _, client = house
    made, new = hook(context, client), new_key()
    seal_with(context, new, SEALING_KEY)
    assert seal_secrets(context) == 1
    seal_with(context, new)
    a_draft(context, client)
    [(body, headers)] = sent(context)
    Webhook(made.secret).verify(body, headers)


def test_with_a_lost_key_nothing_is_sent_the_log_says_why_and_a_new_secret_mends_it(house):
    context, clock, client = house
    made = hook(context, client)
    seal_with(context, new_key())
    a_draft(context, client)
    with capture_logs() as lines:
        assert seal_secrets(context) == 0
        assert deliver_next(context, lambda *_: pytest.fail("sent without a secret"))
    assert [(each["log_level"], each["webhook"], each["remedy"]) for each in lines] == [
        ("error", made.card.id, "rotate-secret")
    ] * 2
    [delivery] = list_deliveries(context, client, made.card.id, before=None, limit=9)
    assert delivery.state == "pending"
    assert "rotate-secret" in delivery.attempts[0].fault
    newer = rotate_secret(context, client, made.card.id, store_nothing)
    clock.turn(seconds=10)
    [(body, headers)] = sent(context)
    assert len(headers["webhook-signature"].split()) == 1
    clock.at = clock.at.now(clock.at.tzinfo)
    Webhook(newer.secret).verify(body, headers)


@pytest.mark.parametrize("secrets", [0, 1], ids=["nothing sealed yet", "a secret from before there was a check"])
def test_a_machine_with_another_key_does_not_start(house, secrets):
    context, _, client = house
    if secrets:
        hook(context, client)
    else:
        check_key(context)
    check_key(context)
    seal_with(context, new_key())
    with pytest.raises(Refused) as refused:
        check_key(context)
    [fault] = refused.value.faults
    assert (fault.pointer, code_of(fault)) == ("ESTIMATOR_SECRETS_KEY", "wrong_key")
    seal_with(context, new_key(), SEALING_KEY)
    check_key(context)


def test_the_way_from_one_key_to_the_next_on_machines_that_start_one_after_the_other(house):
    """Both keys everywhere, the old one first; then the new one first; then the new one alone."""
    context, old, new = house[0], SEALING_KEY, new_key()
    steps = [(old,), (old, new), (old,), (old, new), (new, old), (old, new), (new, old), (new,), (new,)]
    for keys in steps:
        seal_with(context, *keys)
        check_key(context)
    seal_with(context, old)
    with pytest.raises(Refused):
        check_key(context)


def test_with_a_key_that_is_lost_one_start_is_told_so(house):
    context, _, client = house
    hook(context, client)
    check_key(context)
    seal_with(context, new_key())
    check_key(context, lost=True)
    check_key(context)


def test_machines_that_begin_at_the_same_moment_agree_on_one_key(machines):
    with machines[0].writing() as session:
        session.execute(delete(SealCheckRow))
    for each in machines:
        seal_with(each, new_key())
    refused = []

    def begin(context):
        try:
            check_key(context)
        except Refused:
            refused.append(context)

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(begin, machines))
    assert len(refused) == 1


class Slow(Seal):
    """A seal that lets another machine begin, to its end, just before it seals."""

    def __init__(self, meanwhile):
        made = new_key()
        super().__init__(lambda: (made,))
        self.meanwhile = [meanwhile]

    def shut(self, secret):
        while self.meanwhile:
            self.meanwhile.pop()()
        return super().shut(secret)


def test_what_another_machine_sealed_meanwhile_is_not_written_over(machines):
    first, second = machines
    with first.writing() as session:
        session.execute(delete(SealCheckRow))
    seal_with(second, new_key())
    object.__setattr__(first, "seal", Slow(lambda: check_key(second)))
    with pytest.raises(Refused):
        check_key(first)
    check_key(second)
