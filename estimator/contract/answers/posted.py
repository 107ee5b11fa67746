"""Documents that an answer gives back as they were posted."""

from __future__ import annotations

from typing import Any

from marshmallow import Schema

from estimator.contract.answers.writing import Entry, Source, Told


class AsPosted(Told):
    """A document as a client posted it, described by the schema that read it."""

    def __init__(self, about: str, schema: type[Schema], of: Source = None, **more: Any) -> None:
        super().__init__(about, of, **more)
        self.schema = schema

    def described(self, converter: Any) -> Entry:
        """A reference to what may be posted, beside it the sentence."""
        return {**converter.resolve_nested_schema(self.schema), **self.told()}


class Anything(Told):
    """Any JSON value."""
