"""Secrets as the database keeps them: sealed, so that a copy of it alone signs nothing.

The keys stand outside the database. Of several the first seals and all open, so that a new one can be put before those
in use. What was sealed with a key that is lost stays shut. Source: Fernet (AES-128 in CBC mode with HMAC-SHA256) as
the ``cryptography`` package has it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import cached_property

from cryptography.fernet import Fernet, InvalidToken, MultiFernet

KEY = re.compile(r"[A-Za-z0-9_-]{43}=")


class Shut(Exception):
    """It was sealed with a key that is not there."""


def new_key() -> str:
    """A new key, as settings take it."""
    return Fernet.generate_key().decode("ascii")


class Seal:
    """Seals and opens; its keys, the newest first, are asked for when they are first needed."""

    def __init__(self, keys: Callable[[], Sequence[str]]) -> None:
        self._keys = keys

    @classmethod
    def of_the_process(cls) -> Seal:
        """With a key that ends with the process, for databases that do."""
        made = new_key()
        return cls(lambda: (made,))

    def shut(self, secret: str) -> str:
        """The secret, sealed: at most 240 characters for a secret of 100."""
        return self._fernet.encrypt(secret.encode()).decode("ascii")

    def open(self, sealed: str) -> str:
        """The secret. Errors: Shut."""
        try:
            return self._fernet.decrypt(sealed.encode()).decode()
        except InvalidToken as fault:
            raise Shut("sealed with a key that is not among ESTIMATOR_SECRETS_KEY") from fault

    def is_newest(self, sealed: str) -> bool:
        """Whether the newest key sealed it."""
        try:
            self._newest.decrypt(sealed.encode())
        except InvalidToken:
            return False
        return True

    @cached_property
    def _told(self) -> Sequence[Fernet]:
        return [Fernet(each) for each in self._keys()]

    @property
    def _newest(self) -> Fernet:
        return self._told[0]

    @property
    def _fernet(self) -> MultiFernet:
        return MultiFernet(self._told)
