"""The service keeps to its own description: every operation called with what the description allows and forbids.

Outside reference: schemathesis, which makes the calls from the OpenAPI document and judges the answers.
"""

import os
import re

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis.errors import Unsatisfiable
from openapi_spec_validator import OpenAPIV31SpecValidator
from schemathesis import GenerationMode, checks

from estimator.api.description.openapi import PREFIX
from estimator.api.v1 import RESOURCES
from estimator.app import create_app, open_context
from estimator.service.access.keys import first_key
from estimator.settings import from_environment

ROUTES = [route for resource in RESOURCES for route in resource.routes if route.body or not route.has_body]
LEFT_OUT = (
    checks.positive_data_acceptance,  # a job that fits its shape may still contradict itself: 422 is right then
    checks.missing_required_header,  # without If-Match 428 is right
    checks.ignored_auth,  # the key is fixed below; api_tests walk every route without one
    checks.unsupported_method,
)


EXAMPLES = int(os.environ.get("ESTIMATOR_CALLS", "10"))
"""Calls of each operation in each mode; more in the long mode. ``python -m tests.postgres_run`` gives a PostgreSQL."""


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    settings_ = from_environment(
        {
            "ESTIMATOR_DATA": str(tmp_path_factory.mktemp("described")),
            "ESTIMATOR_DATABASE_URL": os.environ.get("ESTIMATOR_DATABASE_URL", ""),
            "ESTIMATOR_RATE_BURST": "1000000",
            "ESTIMATOR_RATE_PER_SECOND": "1000000",
        }
    )
    context = open_context(settings_)
    yield create_app(settings_, context), first_key(context)
    context.engine.dispose()


@pytest.mark.parametrize("route", ROUTES, ids=lambda route: route.name)
@pytest.mark.parametrize("mode", list(GenerationMode), ids=lambda mode: mode.value)
def test_an_operation_keeps_to_its_description(served, route, mode):
    app, key = served
    schema = schemathesis.openapi.from_dict(without_keys(app))
    schema.app = app
    operation = schema[PREFIX + re.sub(r"<(\w+)>", r"{\1}", route.path)][route.method]

    @settings(
        max_examples=EXAMPLES, deadline=None, database=None, derandomize=True, suppress_health_check=list(HealthCheck)
    )
    @given(operation.as_strategy(generation_mode=mode))
    def keeps(case):
        response = case.call(headers={"Authorization": f"Bearer {key}", "Accept-Encoding": "identity"})
        left_out = [*LEFT_OUT, checks.negative_data_rejection] if route.changes else LEFT_OUT  # 412 comes first there
        case.validate_response(response, excluded_checks=list(left_out))

    try:
        keeps()
    except Unsatisfiable:
        pytest.skip("nothing of this operation can be sent wrong")


def without_keys(app):
    """The description without its keys: calls that are wrong for want of one would be right with ours."""
    description = app.test_client().get("/openapi.json").get_json()
    for operations in description["paths"].values():
        for operation in operations.values():
            operation.pop("security")
    return description


def test_the_description_is_valid_openapi(served):
    app, _ = served
    description = app.test_client().get("/openapi.json").get_json()
    assert list(OpenAPIV31SpecValidator(description).iter_errors()) == []
