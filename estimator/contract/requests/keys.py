"""Keys as admins ask for them."""

from __future__ import annotations

from marshmallow import RAISE, Schema

from estimator.contract.requests.fields import Int, OneOf, Text
from estimator.service.access.key_terms import DEFAULT_DAYS
from estimator.storage.roles import ROLES

MOST_DAYS = 3_650


class MakeKeySchema(Schema):
    """A new key of the organisation."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    role = OneOf(*ROLES, required=True, about="What the key may do.")
    name = Text(
        200,
        shortest=1,
        required=True,
        about="Who or what uses the key; it signs quotes and overrides.",
        example="Estimating desk",
    )
    days = Int(1, MOST_DAYS, load_default=DEFAULT_DAYS, about="For how many days it is live.", example=365)


class RotateKeySchema(Schema):
    """A key in the place of another."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    overlap_days = Int(
        0, 365, load_default=7, about="For how many days the old key lives on beside the new one.", example=7
    )
    days = Int(1, MOST_DAYS, load_default=DEFAULT_DAYS, about="For how many days the new key is live.", example=365)
