"""Secrets of webhooks and the signatures made with them. Source: Standard Webhooks 1.0 (symmetric signatures, v1)."""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
from collections.abc import Sequence

PREFIX = "whsec_"
SECRET_BYTES = 32


def new_secret() -> str:
    """A new secret, as its owner keeps it."""
    return PREFIX + base64.b64encode(secrets.token_bytes(SECRET_BYTES)).decode()


def headers(message_id: str, seconds: int, body: bytes, secrets_in_use: Sequence[str]) -> dict[str, str]:
    """The headers of a message: its id, when it was sent, and a signature for each secret in use.

    >>> headers("msg_1", 1700000000, b"{}", ["whsec_c2VjcmV0"])["webhook-signature"]
    'v1,A5oIrJxXPB/PkULSoVu0e4khvPiqpF9vljmhkSKg0FI='
    """
    signatures = [_signature(message_id, seconds, body, each) for each in secrets_in_use]
    return {
        "webhook-id": message_id,
        "webhook-timestamp": str(seconds),
        "webhook-signature": " ".join(f"v1,{each}" for each in signatures),
    }


def _signature(message_id: str, seconds: int, body: bytes, secret: str) -> str:
    key = base64.b64decode(secret.removeprefix(PREFIX))
    signed = f"{message_id}.{seconds}.".encode() + body
    return base64.b64encode(hmac.digest(key, signed, hashlib.sha256)).decode()
