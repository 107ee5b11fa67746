"""Every route demands a scope unless it is listed; every refusal has a row; every setting is documented."""

import re
from pathlib import Path

import pytest

from estimator.api.v1 import OPEN, RESOURCES
from estimator.app import create_app, open_context
from estimator.contract.problems import refusals
from estimator.contract.problems.table import BY_REFUSAL, kinds
from estimator.errors import EstimatorError
from estimator.service.access.scopes import MEANINGS, SCOPES
from estimator.settings import SETTINGS, from_environment
from estimator.storage.roles import ROLES
from estimator.web.pages import ALL_PAGES

ROOT = Path(__file__).parents[2]
ROUTES = [route for resource in RESOURCES for route in resource.routes]


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    settings = from_environment({"ESTIMATOR_DATA": str(tmp_path_factory.mktemp("rules"))})
    context = open_context(settings)
    yield create_app(settings, context)
    context.engine.dispose()


def test_every_address_of_the_app_is_a_route_with_a_scope_or_listed_as_open(app):
    named = {f"v1.{route.name}" for route in ROUTES} | {f"pages.{route.name}" for route in ALL_PAGES}
    assert {rule.endpoint for rule in app.url_map.iter_rules()} == named | OPEN


def test_a_page_without_a_scope_is_for_signing_in_or_for_whoever_has():
    assert {route.path for route in ALL_PAGES if route.scope is None} == {
        "/sign-in",
        "/sign-in/provider",
        "/sign-in/provider/answer",
        "/invitations/<token>",
    }
    assert {route.path for route in ALL_PAGES if route.scope == ""} == {
        "/me",
        "/me/password",
        "/me/sessions",
        "/sign-out",
    }
    assert {route.scope for route in ALL_PAGES if route.scope} <= set(MEANINGS)
    assert len({route.name for route in ALL_PAGES}) == len(ALL_PAGES)


def test_the_description_holds_every_route_and_nothing_else(app):
    described = app.test_client().get("/openapi.json").get_json()["paths"]
    operations = {
        (method.upper(), path)
        for path, item in described.items()
        for method in item
        if method in {"get", "post", "patch", "delete", "put"}
    }
    served = {
        (method, re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule))
        for rule in app.url_map.iter_rules()
        if rule.endpoint not in OPEN and not rule.endpoint.startswith("pages.")
        for method in rule.methods - {"HEAD", "OPTIONS"}
    }
    assert operations == served


def test_every_route_has_a_known_scope_that_some_role_has():
    assert {route.scope for route in ROUTES} <= set(MEANINGS)
    for route in ROUTES:
        assert any(route.scope in scopes for scopes in SCOPES.values()), route.path


def test_every_scope_serves_some_route_or_some_field():
    assert set(MEANINGS) - {route.scope for route in (*ROUTES, *ALL_PAGES)} <= {"costs:read"}
    assert set(SCOPES["admin"]) == set(MEANINGS)


def test_every_role_has_its_scopes():
    assert set(SCOPES) == set(ROLES)


def test_no_two_routes_bear_one_name():
    names = [route.name for route in ROUTES]
    assert len(names) == len(set(names))


def test_the_crm_has_no_scope_beyond_jobs_estimates_and_reading():
    assert SCOPES["crm"] == {
        "jobs:read", "jobs:write", "estimates:make", "quotes:read", "pricebooks:read", "events:read", "webhooks:manage",
        "operations:follow",
    }  # fmt: skip


def _all_below(kind):
    for each in kind.__subclasses__():
        yield each
        yield from _all_below(each)


def test_every_refusal_has_a_row_in_the_problem_table():
    assert refusals
    ours = {each for each in _all_below(EstimatorError) if each.__module__.startswith("estimator.")}
    assert ours <= set(BY_REFUSAL), ours - set(BY_REFUSAL)


def test_a_problem_name_means_one_thing():
    rows = list(BY_REFUSAL.values())
    assert len({row.name for row in rows}) == len({(row.name, row.status, row.title) for row in rows})
    assert all(row.meaning and row.remedy for row in kinds().values())


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda setting: setting.name)
def test_every_setting_is_documented(setting):
    developers = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert f"| `{setting.name}` | {setting.default} | {setting.meaning} |" in developers


def test_whatever_makes_something_takes_an_idempotency_key():
    making = [route for route in ROUTES if 201 in route.gives]
    assert making
    assert all(route.creates for route in making)
