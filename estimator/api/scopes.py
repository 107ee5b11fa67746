"""What each role may do. A route names one scope; a role without it is refused."""

from __future__ import annotations

READS = frozenset({"jobs:read", "quotes:read", "pricebooks:read"})

SCOPES: dict[str, frozenset[str]] = {
    "crm": READS | {"jobs:write", "estimates:make"},
    "estimator": READS
    | {
        "jobs:write",
        "estimates:make",
        "quotes:write",
        "quotes:issue",
        "quotes:answer",
        "costs:read",
        "cut-plans:make",
        "orders:read",
    },
    "purchasing": READS | {"costs:read", "cut-plans:make", "orders:read", "orders:write"},
    "pricing": READS | {"estimates:make", "costs:read", "pricebooks:write"},
}
SCOPES["admin"] = frozenset().union(*SCOPES.values())

MEANINGS = {
    "jobs:read": "read jobs",
    "jobs:write": "post and change jobs",
    "estimates:make": "have a job estimated",
    "quotes:read": "read quotes and their documents",
    "quotes:write": "draft and revise quotes",
    "quotes:issue": "issue quotes, override checks",
    "quotes:answer": "record a customer's answer",
    "costs:read": "see cost and margin",
    "cut-plans:make": "have pieces planned into bars",
    "orders:read": "read order lists",
    "orders:write": "make order lists",
    "pricebooks:read": "see which pricebooks and editions there are",
    "pricebooks:write": "put editions in",
}
