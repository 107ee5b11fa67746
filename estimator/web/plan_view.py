"""The plan on a page: a picture for each roof, and what stands on it for pointer and keyboard."""

from __future__ import annotations

from dataclasses import dataclass

import orjson
from flask import Response

from estimator.documents.drawing.plan import Box, Drawn, roof_plans
from estimator.documents.language.texts import Reader
from estimator.documents.plan.facts import facts_of
from estimator.documents.plan.screen import LAYERS, ScreenPlan, screen_plan, window_of
from estimator.errors import NotFound
from estimator.sentences import say
from estimator.web.visits import Visit, finished


@dataclass(frozen=True, slots=True)
class RoofView:
    """One roof: its number, its picture, and the layers that stand on it, by their names."""

    number: int
    picture: ScreenPlan
    layers: tuple[tuple[str, str], ...]


def roof_views(drawn: Drawn, reader: Reader) -> tuple[RoofView, ...]:
    """Every roof of a plan."""
    return tuple(
        RoofView(
            number, picture, tuple((name, word) for name, word in LAYERS.items() if f"layer {name}" in picture.svg)
        )
        for number, plan in enumerate(roof_plans(drawn))
        for picture in (screen_plan(plan, reader),)
    )


def facts_answer(visit: Visit, drawn: Drawn) -> Response:
    """What stands on the roof that the address names, within the window asked for; with its fine drawing there."""
    number = visit.path["roof"]
    if not (number.isascii() and number.isdigit() and int(number[:4]) < len(drawn.job.roofs)):
        raise NotFound(say("there is no such roof"))
    window = _window(visit.args.get("window", ""))
    told = facts_of(drawn, int(number), visit.reader, window)
    if window is not None:
        told["detail"] = window_of(roof_plans(drawn)[int(number)], window)
    return finished(orjson.dumps(told).decode(), media="application/json")


def _window(text: str) -> Box | None:
    """Four numbers with commas between, mm on the roof; nothing where they cannot be read."""
    parts = text.split(",")
    try:
        x0, y0, x1, y1 = (float(part) for part in parts)
    except ValueError:
        return None
    return x0, y0, x1, y1
