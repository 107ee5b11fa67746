"""A house's policy."""

from __future__ import annotations

from estimator.contract.answers.fields import Truth, Whole
from estimator.contract.answers.posted import AsPosted
from estimator.contract.answers.writing import Answer, Entry, Telling
from estimator.contract.requests.policy import RoleLimitsSchema
from estimator.service.access.policy import HousePolicy


class PolicyAnswerSchema(Answer):
    """What roles may do on their own, and what another person must approve."""

    record = HousePolicy
    limits = AsPosted(
        "What each role may offer on its own; a role that is not named has no limit.",
        RoleLimitsSchema,
        lambda it, _to: it.document.get("limits") or {},
    )
    editions_need_approval = Truth(
        "Whether another person must approve an edition before it is in force.", example=False
    )
    version = Whole("Goes up by one with every change; its ETag.", least=1, example=1)


def policy_entry(policy: HousePolicy) -> Entry:
    """The policy."""
    return PolicyAnswerSchema.entry(policy, Telling())
