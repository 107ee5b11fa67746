"""Answers are written by what describes them: every value has its place in a record, a sentence and an example."""

import dataclasses
import inspect
import os
import subprocess
import sys
import typing
from importlib import import_module
from pkgutil import walk_packages

import pytest

from estimator.api.description.openapi import describe
from estimator.api.v1 import RESOURCES
from estimator.contract import answers
from estimator.contract.answers.fields import ByName, DisplayTexts, MoneyText, One
from estimator.contract.answers.posted import AsPosted
from estimator.contract.answers.quotes import quotes
from estimator.contract.answers.version import version_of
from estimator.contract.answers.writing import ITSELF, Answer, Told, writer
from estimator.contract.problems import documents

MODULES = (documents, *(import_module(each.name) for each in walk_packages(answers.__path__, f"{answers.__name__}.")))
ANSWERS = sorted(
    {
        each
        for module in MODULES
        for each in vars(module).values()
        if inspect.isclass(each) and issubclass(each, Answer) and each is not Answer
    },
    key=lambda each: each.__name__,
)


def step(kind, name):
    """The type of one step of a path; None where nothing can be said of it."""
    if kind is None:
        return None
    if name.isdigit():
        return typing.get_args(kind)[int(name)]
    if not dataclasses.is_dataclass(kind):
        return None
    if isinstance(vars(kind).get(name), property):
        return typing.get_type_hints(vars(kind)[name].fget).get("return")
    assert name in {field.name for field in dataclasses.fields(kind)}, f"{kind.__name__} has no {name}"
    return typing.get_type_hints(kind).get(name)


@pytest.mark.parametrize("schema", ANSWERS, ids=lambda schema: schema.__name__)
def test_every_path_of_an_answer_leads_somewhere_in_its_record(schema):
    inherited = set(schema.__mro__[1]._declared_fields) if schema.above or schema.first_of else set()
    for name, field in schema._declared_fields.items():
        assert isinstance(field, Told), name
        if callable(field.of) or field.of == ITSELF or (schema.first_of and name in inherited):
            continue
        for path in field.of if isinstance(field.of, tuple) else (field.of or name,):
            kind = schema.record
            for each in (f"{schema.above}.{path}" if name in inherited else path).split("."):
                kind = step(kind, each)


@pytest.mark.parametrize("schema", ANSWERS, ids=lambda schema: schema.__name__)
def test_what_is_for_roles_that_see_costs_is_not_written_for_others(schema):
    guarded = {field.data_key or name for name, field in schema._declared_fields.items() if field.costs}
    told = writer(schema, costs=False).__code__
    assert not guarded & {each for each in told.co_consts if isinstance(each, str)}


def test_every_field_of_an_answer_has_a_sentence_and_an_example():
    for schema in ANSWERS:
        for name, field in schema._declared_fields.items():
            has_parts = isinstance(field, (One, ByName, AsPosted, DisplayTexts)) or "items" in field.extra or field.null
            assert field.about.endswith("."), f"{schema.__name__}.{name}"
            assert has_parts or field.example is not None or "properties" in field.shape, f"{schema.__name__}.{name}"


def test_an_answer_holds_nothing_that_is_not_described():
    described = describe(RESOURCES, "0")["components"]["schemas"]
    for schema in ANSWERS:
        name = schema.__name__.removesuffix("Schema")
        if name in described:
            assert described[name]["additionalProperties"] is False, name


def test_the_contract_has_one_version_in_every_process():
    """Kept answers are looked up by it: two servers that differ would write each other's anew for ever."""
    told = "from estimator.contract.answers.quotes.quotes import contract_version; print(contract_version())"
    for seed in ("1", "2"):
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        found = subprocess.run(
            [sys.executable, "-c", told], env=environment, capture_output=True, text=True, check=True
        )
        assert found.stdout.strip() == quotes.contract_version()


def test_the_contract_has_another_version_where_a_field_comes_from_elsewhere():
    class First(Answer):
        total = MoneyText("The total.", "totals.total")

    class Other(Answer):
        total = MoneyText("The total.", "totals.before_tax")

    First.__name__ = Other.__name__ = "Total"
    assert version_of(First) != version_of(Other)
