"""Passwords: kept as Argon2id digests, judged by length rather than kinds of characters, never the name itself.

Source: RFC 9106 for Argon2id (its second recommended choice: 64 MiB, three passes); NIST SP 800-63B for length over
rules of composition, from memory.
"""

from __future__ import annotations

from functools import cache
from threading import BoundedSemaphore

from argon2 import PasswordHasher, Type, extract_parameters
from argon2.exceptions import InvalidHashError, VerificationError

from estimator.errors import Fault, Refused
from estimator.sentences import say

SHORTEST, LONGEST = 12, 200
AT_A_TIME = 2
"""Each digest takes 64 MiB: more at the same time wait for one another."""
HASHER = PasswordHasher(time_cost=3, memory_cost=65_536, parallelism=1)
_ROOM = BoundedSemaphore(AT_A_TIME)


class PasswordRefused(Refused):
    """A password that is too short, too long, or somebody's name."""


def digest_of(password: str, *names: str) -> str:
    """The digest to keep. Errors: PasswordRefused, with what is allowed; ``names`` may not serve as passwords."""
    if not SHORTEST <= len(password) <= LONGEST:
        raise PasswordRefused(
            say("a password of {count} characters", count=len(password)),
            [
                Fault(
                    "/password",
                    say("{count} characters", count=len(password)),
                    say("{least} to {most} characters", least=SHORTEST, most=LONGEST),
                )
            ],
        )
    if password.casefold() in {name.casefold() for name in names} or len(set(password)) < 5:
        raise PasswordRefused(
            say("a password that is easily guessed"),
            [Fault("/password", say("easily guessed"), say("not your name, at least five different characters"))],
        )
    with _ROOM:
        return HASHER.hash(password)


def is_right(kept: str | None, password: str) -> bool:
    """Whether the password is the one kept; it takes as long where none is kept."""
    if len(password) > LONGEST:
        return False
    try:
        with _ROOM:
            return HASHER.verify(kept or digest_of_nobody(), password) and kept is not None
    except (VerificationError, InvalidHashError):
        return False


def is_outdated(kept: str) -> bool:
    """Whether a digest was made by other parameters than today's: it is made again when its owner signs in."""
    try:
        return HASHER.check_needs_rehash(kept)
    except InvalidHashError:
        return False


def check_parameters() -> None:
    """At the start: a digest can be made here at all, and by no less than is safe; it serves for unknown names later.

    Source: OWASP's cheat sheet on storing passwords (19 MiB and two passes at least), from memory.
    Errors: RuntimeError.
    """
    told = extract_parameters(digest_of_nobody())
    if told.type is not Type.ID or told.memory_cost < 19 * 1024 or told.time_cost < 2:
        raise RuntimeError(f"passwords would be kept by {told}")


@cache
def digest_of_nobody() -> str:
    """What a password is compared with where there is no such name, so that both take as long."""
    return HASHER.hash("the password of nobody")
