"""Keys are shown once, kept as digests, expire, are replaced with two live at once, and open only their own house."""

from datetime import timedelta

import pytest
from sqlalchemy import text

from estimator.errors import ChoiceRefused, Conflict, NotFound
from estimator.service.access import keys
from tests.facts import refusing
from tests.service.contexts import a_context


@pytest.fixture
def context(tmp_path):
    made, clock, _ = a_context(tmp_path)
    yield made, clock
    made.engine.dispose()


def test_a_key_opens_until_it_expires(context):
    made, clock = context
    token, card = keys.create_key(made, "house", "crm", "the CRM", days=30)
    assert keys.identify(made, token).role == "crm"
    assert card.expires_at == clock.at + timedelta(days=30)
    clock.turn(days=30)
    assert keys.identify(made, token) is None


def test_the_first_key_is_made_once(context):
    made, _ = context
    first = keys.first_key(made)
    assert keys.identify(made, first).role == "admin"
    assert keys.first_key(made) is None


def test_a_key_with_one_sign_changed_opens_nothing(context):
    made, _ = context
    token, _ = keys.create_key(made, "house", "crm", "the CRM")
    for at in (4, 20, len(token) - 1):
        other = "a" if token[at] != "a" else "b"
        assert keys.identify(made, token[:at] + other + token[at + 1 :]) is None


def test_no_key_stands_in_the_database(context, tmp_path):
    made, _ = context
    token, card = keys.create_key(made, "house", "crm", "the CRM")
    secret = token.split("_", 2)[2]
    with made.engine.connect() as connection:
        rows = connection.execute(text("SELECT * FROM api_key")).all()
    assert card.prefix in str(rows)
    assert secret[:20] not in str(rows)
    assert secret[:20].encode() not in b"".join(path.read_bytes() for path in tmp_path.iterdir())


def test_a_rotated_key_lives_on_for_the_overlap(context):
    made, clock = context
    old, card = keys.create_key(made, "house", "estimator", "Ann")
    new, newer = keys.rotate_key(made, card.prefix, overlap_days=7)
    assert (newer.role, newer.name) == ("estimator", "Ann")
    assert keys.identify(made, old) is not None
    assert keys.identify(made, new) is not None
    clock.turn(days=7)
    assert keys.identify(made, old) is None
    assert keys.identify(made, new) is not None


def test_two_keys_of_a_client_at_most_are_live_at_once(context):
    """What the design asks for: rotation with two live; a third would be one that nobody remembers."""
    made, clock = context
    _, card = keys.create_key(made, "house", "estimator", "Ann")
    _, newer = keys.rotate_key(made, card.prefix, overlap_days=7)
    for prefix in (card.prefix, newer.prefix):
        with refusing(Conflict, holds=(card.prefix, newer.prefix)):
            keys.rotate_key(made, prefix)
    clock.turn(days=8)
    assert keys.rotate_key(made, newer.prefix)[1].client == card.client


def test_a_revoked_key_is_not_replaced(context):
    made, _ = context
    _, card = keys.create_key(made, "house", "estimator", "Ann")
    keys.revoke_key(made, card.prefix)
    with refusing(Conflict):
        keys.rotate_key(made, card.prefix)


def test_a_revoked_key_opens_nothing_from_that_moment(context):
    made, _ = context
    token, card = keys.create_key(made, "house", "crm", "the CRM")
    keys.revoke_key(made, card.prefix)
    assert keys.identify(made, token) is None


def test_a_role_or_prefix_that_is_not_there_is_refused(context):
    made, _ = context
    with pytest.raises(ChoiceRefused):
        keys.create_key(made, "house", "owner", "x")
    with pytest.raises(NotFound):
        keys.revoke_key(made, "nobody")


def test_the_last_use_is_written_down_but_not_at_every_call(context):
    made, clock = context
    token, _ = keys.create_key(made, "house", "crm", "the CRM")
    keys.identify(made, token)
    first = keys.list_keys(made)[0].last_used_at
    clock.turn(minutes=5)
    keys.identify(made, token)
    assert keys.list_keys(made)[0].last_used_at == first
    clock.turn(hours=2)
    keys.identify(made, token)
    assert keys.list_keys(made)[0].last_used_at == clock.at
