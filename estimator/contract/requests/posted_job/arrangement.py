"""The arrangement by its word; the words of version 0.1 are refused with the new ones named."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from estimator.arrangements import ARRANGEMENTS, OLDER_WORDS
from estimator.contract.faults import disallowed
from estimator.contract.requests.fields import OneOf
from estimator.sentences import say

ABOUT = "Where the rail stands: on the side of the bracket, on top of it, or no rail at all."


class ArrangementWord(OneOf):
    """``rail_on_side``, ``rail_on_top`` or ``direct``."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(*ARRANGEMENTS, **{**kwargs, "about": f"{ABOUT} {kwargs.get('about', '')}".rstrip()})

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> str:
        if isinstance(value, str) and value in OLDER_WORDS:
            raise disallowed(
                say("{value} is called {name} now", value=repr(value), name=repr(OLDER_WORDS[value])),
                ", ".join(ARRANGEMENTS),
            )
        return super()._deserialize(value, attr, data, **kwargs)
