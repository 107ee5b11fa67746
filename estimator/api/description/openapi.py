"""The description of the service (OpenAPI 3.1), made from the same routes and schemas that serve it."""

from __future__ import annotations

import inspect
import re
import warnings
from collections.abc import Sequence
from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from marshmallow import Schema, fields

from estimator.api.description.headers import headers_of
from estimator.api.problems.handlers import MEDIA
from estimator.api.replies import JSON
from estimator.api.routes import LONGEST_NAME, Route, Routes
from estimator.contract.answers.events import described_webhooks
from estimator.contract.answers.writing import Told
from estimator.contract.problems.documents import ProblemSchema
from estimator.contract.requests.fields import Many
from estimator.service.access.scopes import MEANINGS

_PARAMETER = re.compile(r"<([a-z_]+)>")
ABOUT = (
    "Materials takeoff and cost estimates for module arrays on ribbed metal roofs. Numbers are in mm, kg, N, Pa, "
    "degrees, m/s; a text is a number and a unit. It is an estimating aid: spacings and load checks are preliminary "
    "and are to be verified by a licensed engineer for the site. Every answer names the request (X-Request-ID) and "
    "tells where its time went (Server-Timing: total and processor time, estimate, document; milliseconds)."
    " Long work is answered with 202 and an operation: poll it, or be told by the event operation.finished; DELETE "
    "cancels it."
)
PREFIX = "/v1"
DONE = {200: "Done", 201: "Made", 202: "Taken up as an operation", 204: "Done"}
PROBLEMS = {
    400: "The request cannot be understood",
    401: "No valid key",
    403: "The key's role does not allow this",
    404: "Not found",
    406: "Not available in that format",
    408: "The body stopped arriving",
    409: "The state does not allow it",
    412: "It was changed in the meantime",
    413: "Too large",
    415: "Wrong media type",
    422: "Invalid; every fault is listed",
    428: "If-Match is needed",
    429: "Too many requests",
    500: "The service failed",
    503: "The service is busy or not ready; Retry-After says when to send the same request again",
}


def describe(resources: Sequence[Routes], version: str) -> dict[str, Any]:
    """The whole description."""
    plugin = MarshmallowPlugin(schema_name_resolver=_name)
    spec = APISpec(
        title="Estimator",
        version=version,
        openapi_version="3.1.0",
        info={"description": ABOUT, "license": {"name": "MIT", "identifier": "MIT"}},
        plugins=[plugin],
        tags=[{"name": resource.tag, "description": resource.about} for resource in resources],
    )
    if plugin.converter is None:
        raise RuntimeError("the plug-in has no converter")
    plugin.converter.add_attribute_function(_plain_default)  # type: ignore[no-untyped-call]
    plugin.converter.add_attribute_function(_many)  # type: ignore[no-untyped-call]
    plugin.converter.add_attribute_function(_told)  # type: ignore[no-untyped-call]
    spec.components.security_scheme("key", {"type": "http", "scheme": "bearer"})
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        spec.components.schema("Problem", schema=ProblemSchema)
        for resource in resources:
            for route in resource.routes:
                operation = _operation(route, resource.tag, plugin)
                spec.path(
                    path=PREFIX + _PARAMETER.sub(r"{\1}", route.path), operations={route.method.lower(): operation}
                )
    described = {**spec.to_dict(), "webhooks": described_webhooks()}
    for (schema, _), name in _names(plugin).items():
        described["components"]["schemas"][name].setdefault("description", inspect.cleandoc(schema.__doc__ or ""))
    return described


def _names(plugin: MarshmallowPlugin) -> dict[tuple[type[Schema], object], str]:
    """The name of every schema that is described."""
    if plugin.converter is None:
        return {}
    return {(key[0], key): name for key, name in plugin.converter.refs.items()}


def _told(converter: Any, field: fields.Field[Any], **_: object) -> dict[str, Any]:
    """A field of an answer says itself what it is."""
    return field.described(converter) if isinstance(field, Told) else {}


def _many(converter: Any, field: fields.Field[Any], **_: object) -> dict[str, Any]:
    """A list of values, described."""
    if not isinstance(field, Many):
        return {}
    kind: Any = ["array", "null"] if field.allow_none else "array"
    inner = converter.field2property(field.inner)
    return {"type": kind, "items": inner, "minItems": field.least, "maxItems": field.most}


def _plain_default(converter: Any, field: fields.Field[Any], ret: dict[str, Any]) -> dict[str, Any]:
    """Only texts, numbers and booleans are described as defaults; a record is nothing that a client could send."""
    if not isinstance(ret.get("default"), (str, int, float, type(None))):
        ret.pop("default")
    return {}


def _name(schema: Any) -> str:
    made = schema if isinstance(schema, type) else type(schema)
    return made.__name__.removesuffix("Schema")


def _operation(route: Route, tag: str, plugin: MarshmallowPlugin) -> dict[str, Any]:
    operation: dict[str, Any] = {
        "operationId": route.name,
        "summary": route.summary,
        "description": f"Scope: {route.scope} ({MEANINGS[route.scope]}).",
        "tags": [tag],
        "security": [{"key": []}],
        "parameters": _parameters(route, plugin),
        "responses": _responses(route),
    }
    if route.body is not None:
        content: dict[str, Any] = {media: {"schema": route.body} for media in route.takes}
        operation["requestBody"] = {"required": not route.optional_body, "content": content}
    elif route.has_body:
        content = {media: {"schema": {"type": "string", "format": "binary"}} for media in route.takes}
        operation["requestBody"] = {"required": True, "content": content}
    return operation


def _parameters(route: Route, plugin: MarshmallowPlugin) -> list[Any]:
    parameters: list[Any] = [
        {
            "in": "path",
            "name": name,
            "required": True,
            "schema": {"type": "string", "minLength": 1, "maxLength": LONGEST_NAME},
        }
        for name in _PARAMETER.findall(route.path)
    ]
    if route.query is not None and plugin.converter is not None:
        parameters.extend(plugin.converter.schema2parameters(route.query(), location="query"))
    if route.creates:
        schema = {"type": "string", "minLength": 1, "maxLength": 255, "pattern": "^[!-~]+$"}
        about = "The same key and request give the same answer, however often the network repeats it"
        parameters.append({"in": "header", "name": "Idempotency-Key", "schema": schema, "description": about})
    if 202 in route.gives:
        schema = {"type": "string", "enum": ["respond-async"]}
        about = "respond-async: answer at once with an operation (RFC 7240)"
        parameters.append({"in": "header", "name": "Prefer", "schema": schema, "description": about})
    if route.changes:
        schema = {"type": "string", "minLength": 1, "examples": ['"v1"']}
        about = "The ETag of the version that the change was made to"
        parameters.append(
            {"in": "header", "name": "If-Match", "required": True, "schema": schema, "description": about}
        )
    return parameters


def _responses(route: Route) -> dict[str, Any]:
    responses: dict[str, Any] = {}
    gives = dict(route.gives) or {200: None}
    for status, schema in gives.items():
        content: dict[str, Any] = {JSON: {"schema": schema}} if schema is not None else {}
        for media in route.documents if status == 200 else ():
            if media != JSON:
                content[media] = {"schema": {"type": "string", "format": "binary"}}
        told = {"description": DONE[status], "content": content}
        responses[str(status)] = {**told, "headers": headers_of(route, status)}
    if route.versioned and route.method == "GET":
        responses["304"] = {"description": "As the client has it", "headers": headers_of(route, 304)}
    for status in _possible(route):
        told = {"description": PROBLEMS[status], "content": {MEDIA: {"schema": "Problem"}}}
        responses[str(status)] = {**told, "headers": headers_of(route, status)}
    return responses


def _possible(route: Route) -> list[int]:
    possible = {400, 401, 403, 406, 422, 429, 500, 503}
    if "<" in route.path:
        possible.add(404)
    if route.documents or route.conflicts:
        possible.add(409)
    if route.has_body:
        possible |= {408, 409, 413, 415}
    if route.creates:
        possible |= {409}
    if route.changes:
        possible |= {409, 412, 428}
    return sorted(possible)
