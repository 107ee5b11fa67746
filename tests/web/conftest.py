"""Passwords of people at these pages are digested quickly; the digest itself is tested with the service's people."""

import pytest
from argon2 import PasswordHasher

from estimator.service.people import passwords


@pytest.fixture(scope="module", autouse=True)
def quick_digests():
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(passwords, "HASHER", PasswordHasher(time_cost=1, memory_cost=64, parallelism=1))
        passwords.digest_of_nobody.cache_clear()
        yield
    passwords.digest_of_nobody.cache_clear()
