"""What each role may do. A route of the API and a page name one scope; a role without it is refused here for both."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from estimator.errors import NotAllowed
from estimator.sentences import Sentence, say
from estimator.service.context import Client

READS = frozenset({"jobs:read", "quotes:read", "pricebooks:read", "events:read", "operations:follow"})

SCOPES: dict[str, frozenset[str]] = {
    "crm": READS | {"jobs:write", "estimates:make", "webhooks:manage"},
    "estimator": READS
    | {
        "jobs:write",
        "estimates:make",
        "quotes:write",
        "quotes:issue",
        "quotes:answer",
        "quotes:approve",
        "policy:read",
        "costs:read",
        "cut-plans:make",
        "orders:read",
        "repricings:make",
    },
    "purchasing": READS | {"costs:read", "cut-plans:make", "orders:read", "orders:write"},
    "pricing": READS
    | {
        "estimates:make",
        "costs:read",
        "repricings:make",
        "pricebooks:write",
        "pricebooks:approve",
        "quotes:approve",
        "policy:read",
    },
}
SCOPES["admin"] = frozenset().union(*SCOPES.values()) | {"keys:manage", "policy:write", "audit:read", "people:manage"}

MEANINGS = {
    "jobs:read": "read jobs",
    "jobs:write": "post and change jobs",
    "estimates:make": "have a job estimated",
    "quotes:read": "read quotes and their documents",
    "quotes:write": "draft and revise quotes",
    "quotes:issue": "issue quotes, override checks",
    "quotes:answer": "record a customer's answer",
    "quotes:approve": "approve a quote that another prepared beyond their limits",
    "policy:read": "read what roles may do on their own",
    "policy:write": "say what roles may do on their own",
    "audit:read": "read and export the audit log",
    "costs:read": "see cost and margin",
    "cut-plans:make": "have pieces planned into bars",
    "orders:read": "read order lists",
    "orders:write": "make order lists",
    "pricebooks:read": "see which pricebooks and editions there are",
    "pricebooks:write": "put editions in, withdraw them",
    "pricebooks:approve": "approve an edition that another put in",
    "repricings:make": "hold open quotes against another edition",
    "events:read": "read what happened",
    "operations:follow": "follow and cancel long work",
    "webhooks:manage": "say where to be told of it",
    "people:manage": "invite people, change and end their accounts",
    "keys:manage": "make, list, replace and revoke the keys of the organisation",
}

GUARDED = ("margin", "discount", "line_discounts", "contingency", "line_changes", "overrides", "offcuts")
"""Choices that only roles that see costs may make: with them a client could read the cost off the price."""


def may(client: Client, scope: str) -> bool:
    """Whether the role of whoever asks has a scope; a role that is not known has none."""
    return scope in SCOPES.get(client.role, frozenset())


def demand(client: Client, scope: str) -> None:
    """Refuse (NotAllowed) whoever does not have a scope."""
    if not may(client, scope):
        raise NotAllowed(say("the role {role} does not include {scope}", role=Sentence(client.role), scope=scope))


def sees_all_operations(client: Client) -> bool:
    """Whether a client may look at long work that others asked for, whose answers tell costs."""
    return may(client, "costs:read")


def refuse_guarded(client: Client, choices: Mapping[str, Any]) -> None:
    """Refuse choices with which a client that may not see costs could find them out."""
    used = [name for name in GUARDED if choices.get(name) not in (None, [], {}, ())]
    if used and not may(client, "costs:read"):
        raise NotAllowed(say("the role {role} may not set {names}", role=Sentence(client.role), names=", ".join(used)))
