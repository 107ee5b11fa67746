"""A house's policy, as admins put it in."""

from __future__ import annotations

from marshmallow import RAISE, Schema, fields

from estimator.contract.requests.fields import Bool, Dec, Text, described
from estimator.storage.roles import ROLES


class RoleLimitSchema(Schema):
    """What one role may offer on its own."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    most_discount = Dec(
        "0", "1", allow_none=True, about="The largest discount that it may choose, as a share.", example="0.10"
    )
    least_margin = Dec(
        "0", "1", below=True, allow_none=True, about="The least margin of a quote, as a share.", example="0.18"
    )


class RoleLimitsSchema(Schema):
    """What each role may offer on its own; a role that is not named has no limit."""

    class Meta:
        """Unknown roles are faults."""

        unknown = RAISE
        include = {  # noqa: RUF012  marshmallow reads it once
            role: fields.Nested(RoleLimitSchema, **described({"about": f"What {role} may offer."})) for role in ROLES
        }


class PolicySchema(Schema):
    """A policy whole."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    limits = fields.Nested(RoleLimitsSchema, **described({"about": "What each role may offer on its own."}))
    editions_need_approval = Bool(
        about="Whether another person must approve an edition before it is in force.", example=False
    )


class ApproveSchema(Schema):
    """Why something may pass."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    reason = Text(1_000, shortest=1, required=True, about="Why it may pass.", example="customer of many years")
