"""/v1/policy: what roles may do on their own, and what another person must approve."""

from __future__ import annotations

from estimator.api.replies import Reply
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.contract.answers.organisation.policy import PolicyAnswerSchema, policy_entry
from estimator.contract.faults import merge_patch, read
from estimator.contract.requests.policy import PolicySchema
from estimator.service.access import policy as service
from estimator.service.access.policy import HousePolicy
from estimator.service.context import store_nothing

routes = Routes("Policy", "What roles may do on their own, and what another person must approve.")
MERGE_PATCH = "application/merge-patch+json"


@routes.add("GET", "/policy", "policy:read", "The policy in force", Options(gives={200: PolicyAnswerSchema}))
def get_policy(request: Request) -> Reply:
    """The organisation's policy."""
    return _shown(service.get_policy(request.context, request.client))


@routes.add(
    "PATCH",
    "/policy",
    "policy:write",
    "Change the policy by a merge patch (RFC 7396)",
    Options(body=PolicySchema, gives={200: PolicyAnswerSchema}, takes=(MERGE_PATCH, "application/json"), changes=True),
)
def change_policy(request: Request) -> Reply:
    """Merge a change into the policy; the whole must be a policy again."""
    kept = service.get_policy(request.context, request.client)
    document = merge_patch(kept.document, request.document)
    read(PolicySchema(), document)
    return _shown(service.put_policy(request.context, request.client, request.version, document, store_nothing))


def _shown(policy: HousePolicy) -> Reply:
    return Reply(policy_entry(policy), 200, f"v{policy.version}")
