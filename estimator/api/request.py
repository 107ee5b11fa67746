"""A request once it has been read: who asks, for what, at which version; and how its response is stored."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from sqlalchemy.orm import Session

from estimator.api.monitoring.timing import timed, timed_rest
from estimator.api.replies import Reply
from estimator.service.access.scopes import may
from estimator.service.context import Client, ServiceContext, StoreResponse
from estimator.service.idempotency import Claim, StoredResponse

Document: TypeAlias = Any


@dataclass(frozen=True, slots=True)
class Request:
    """One request: ``document`` is the JSON as posted, ``body`` what its schema made of it."""

    context: ServiceContext
    client: Client
    path: Mapping[str, str]
    query: Mapping[str, Any]
    document: Document = None
    body: Document = None
    content: bytes = b""
    version: int = 0
    claim: Claim | None = None
    cursor_secret: bytes = field(default=b"", repr=False)

    def may(self, scope: str) -> bool:
        """Whether the key's role has a scope."""
        return may(self.client, scope)

    def once(self, present: Callable[[Any], Reply], act: Callable[[StoreResponse], Any]) -> Reply:
        """Do a thing once: its response is stored under the request's Idempotency-Key in the same transaction."""
        presented: list[Reply] = []
        answer = timed("answer", present)

        def store(session: Session, made: Any) -> None:
            reply = answer(made)
            presented.append(reply)
            if self.claim is not None:
                self.claim.store(session, StoredResponse(reply.status, reply.all_headers(), reply.to_keep()))

        timed_rest("store", lambda: act(store))
        return presented[-1]
