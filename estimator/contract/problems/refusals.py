"""Refusals that only the way over HTTP knows."""

from __future__ import annotations

from estimator.errors import EstimatorError, Refused
from estimator.sentences import say


class NoKey(EstimatorError):
    """No key, or none that is live."""


class NoForm(EstimatorError):
    """A form without the token of the session it is sent with."""


class NotSecure(EstimatorError):
    """Signing in over a connection that others can read."""


class BadHeader(EstimatorError):
    """A header that cannot be read."""


class NoVersion(EstimatorError):
    """A change without the version it was made to."""


class WrongMedia(EstimatorError):
    """A body of a media type that is not allowed here."""

    def __init__(self, *taken: str) -> None:
        forms = " or ".join(f"Content-Type: {each}" for each in taken)
        super().__init__(say("send the body with its kind in the header, {forms}", forms=forms))
        self.taken = taken


class NotAcceptable(EstimatorError):
    """None of the media types asked for can be given."""


class TooMany(EstimatorError):
    """More requests than the share."""

    def __init__(self, seconds: int) -> None:
        super().__init__(say("wait {seconds} s", seconds=seconds))
        self.retry_after = seconds


class NotReady(EstimatorError):
    """The database is not there, or not in its newest form."""

    retry_after = 5


class Busy(EstimatorError):
    """The database is held by others for longer than a request waits; nothing was changed."""

    retry_after = 2


class PoolFull(EstimatorError):
    """Too many calculations wait, or this one has waited too long."""

    retry_after = 10


class TooMuchWork(Refused):
    """A calculation took more memory or time than one may."""


class BodyTooLarge(EstimatorError):
    """A body larger than any address takes."""


class BodyTooSlow(EstimatorError):
    """A body of which nothing more comes."""
