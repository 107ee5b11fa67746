"""The service keeps to its own description: every operation called with what the description allows and forbids.

Outside reference: schemathesis, which makes the calls from the OpenAPI document and judges the answers: one operation
after the other, and chains of them. The database has rows in every table; half of the names in addresses are theirs.
"""

import os
import re

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.errors import Unsatisfiable
from hypothesis.stateful import run_state_machine_as_test
from openapi_spec_validator import OpenAPIV31SpecValidator
from schemathesis import GenerationMode, checks

from estimator.api.description.openapi import PREFIX
from estimator.api.v1 import RESOURCES
from estimator.app import create_app, open_context
from estimator.service.access.keys import first_key
from estimator.settings import from_environment
from tests.api import filled_house

ROUTES = [route for resource in RESOURCES for route in resource.routes if route.body or not route.has_body]
LEFT_OUT = (
    checks.positive_data_acceptance,  # a job that fits its shape may still contradict itself: 422 is right then
    checks.missing_required_header,  # without If-Match 428 is right
    checks.ignored_auth,  # the key is fixed below; api_tests walk every route without one
    checks.unsupported_method,
)


EXAMPLES = int(os.environ.get("ESTIMATOR_CALLS", "10"))
"""Calls of each operation in each mode; more in the long mode. ``python -m tests.postgres_run`` gives a PostgreSQL."""
TERMS = {
    "max_examples": EXAMPLES,
    "deadline": None,
    "database": None,
    "derandomize": True,
    "suppress_health_check": list(HealthCheck),
}


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
    app, key = create_app(settings_, context), first_key(context)
    known = filled_house.fill(context, app.test_client(), key)
    alone = {"rate_limit"} if context.engine.dialect.name == "sqlite" else set()  # limits are shared on PostgreSQL only
    assert filled_house.empty_tables(context) == alone
    yield app, key, known
    context.engine.dispose()


@pytest.fixture(scope="module")
def schema(served):
    """The description as schemathesis reads it, once for all operations."""
    app, *_ = served
    read = schemathesis.openapi.from_dict(without_keys(app))
    read.app = app
    return read


@pytest.mark.parametrize("route", ROUTES, ids=lambda route: route.name)
@pytest.mark.parametrize("mode", list(GenerationMode), ids=lambda mode: mode.value)
def test_an_operation_keeps_to_its_description(served, schema, route, mode):
    _, key, known = served
    operation = schema[PREFIX + re.sub(r"<(\w+)>", r"{\1}", route.path)][route.method]
    left_out = [*LEFT_OUT, checks.negative_data_rejection] if route.changes else LEFT_OUT  # 412 comes first there

    @settings(**TERMS)
    @given(operation.as_strategy(generation_mode=mode), st.data())
    def keeps(case, data):
        if mode is GenerationMode.POSITIVE:
            name_what_is_there(case, known, data, seldom=route.documents != ())
        response = case.call(headers=headers(key))
        case.validate_response(response, excluded_checks=list(left_out))

    try:
        keeps()
    except Unsatisfiable:
        pytest.skip("nothing of this operation can be sent wrong")


def test_chains_of_operations_keep_to_the_description(served, schema):
    """What one operation answers is asked of the next: links that schemathesis infers from the description."""
    _, key, _ = served

    class Chains(schema.as_state_machine()):
        def get_call_kwargs(self, case):
            return {"headers": headers(key)}

        def validate_response(self, response, case, additional_checks=None, **_):
            left_out = [*LEFT_OUT, checks.negative_data_rejection]
            case.validate_response(
                response, additional_checks=additional_checks, excluded_checks=left_out, recorder=self.recorder
            )

    run_state_machine_as_test(Chains, settings=settings(**TERMS, stateful_step_count=6))


def name_what_is_there(case, known, data, *, seldom):
    """In every second call the address names rows that there are; where a paper has to be written, seldom."""
    if case.path_parameters and data.draw(st.integers(0, 7 if seldom else 1)) == 0:
        named = {name: data.draw(st.sampled_from(known[name])) for name in case.path_parameters}
        case.path_parameters = named
    if case.headers and "If-Match" in case.headers:
        case.headers["If-Match"] = f'"v{data.draw(st.integers(1, 4))}"'


def headers(key):
    return {"Authorization": f"Bearer {key}", "Accept-Encoding": "identity"}


def without_keys(app):
    """The description without its keys: calls that are wrong for want of one would be right with ours."""
    description = app.test_client().get("/openapi.json").get_json()
    for operations in description["paths"].values():
        for operation in operations.values():
            operation.pop("security")
    return description


def test_the_description_is_valid_openapi(served):
    app, *_ = served
    description = app.test_client().get("/openapi.json").get_json()
    assert list(OpenAPIV31SpecValidator(description).iter_errors()) == []
