"""A job that is being entered, as its plan: drawn as far as it can be, with what is wrong and where."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from estimator.contract.requests.pricing import pricing_of
from estimator.documents.drawing.spots import spot_of
from estimator.documents.language.texts import Reader
from estimator.documents.language.words import check_where
from estimator.documents.plan.cells import cells_of
from estimator.errors import EstimatorError, Fault, Refused
from estimator.service.quoting import plans
from estimator.sketch import Sketch
from estimator.web.forms.entries import Document
from estimator.web.plan_view import RoofView, roof_views
from estimator.web.quote_view import house_reader
from estimator.web.visits import Visit

MOST_CHECKS = 60
MOST_CELLS = 4_000


@dataclass(frozen=True, slots=True)
class SketchedCheck:
    """A check of a sketch, in words, with its place on the plan."""

    severity: str
    text: str
    roof: int | None
    box: str


@dataclass(frozen=True, slots=True)
class SketchView:
    """What stands beside the form; without a sketch only what keeps it from being drawn."""

    faults: tuple[Fault, ...] = ()
    why_not: str = ""
    sketch: Sketch | None = None
    roofs: tuple[RoofView, ...] = ()
    cells: tuple[str, ...] = ()
    ribs: tuple[str, ...] = ()
    checks: tuple[SketchedCheck, ...] = ()
    reader: Reader | None = None


def sketch_view(visit: Visit, document: Document) -> SketchView:
    """The plan of a document, or its faults."""
    try:
        pricing = pricing_of(document, {})
        made = plans.sketch_job(visit.context, visit.client, pricing)
    except Refused as refusal:
        return SketchView(faults=refusal.faults or (Fault("", refusal.told),), why_not=refusal.told)
    except EstimatorError as refusal:
        return SketchView(why_not=refusal.told)
    reader = house_reader(visit)
    drawn = plans.sketch_drawn(made)
    roofs = roof_views(drawn, reader)
    small = made.counts.modules <= MOST_CELLS
    return SketchView(
        sketch=made,
        roofs=roofs,
        cells=tuple(json.dumps(cells_of(drawn, roof.number) if small else []) for roof in roofs),
        ribs=tuple(f"{roof.ribs.first_at_mm:g},{roof.ribs.spacing_mm:g}" for roof in made.job.roofs),
        checks=_checks(made, reader),
        reader=reader,
    )


def _checks(made: Sketch, reader: Reader) -> tuple[SketchedCheck, ...]:
    drawn = plans.sketch_drawn(made)
    graver: Sequence[str] = ("error", "warning")
    found = sorted((check for check in made.checks if check.severity in graver), key=lambda c: graver.index(c.severity))
    views = []
    for check in found[:MOST_CHECKS]:
        spot = spot_of(drawn, check.place)
        box = ",".join(f"{number:.1f}" for number in spot[1]) if spot else ""
        views.append(SketchedCheck(check.severity, check_where(check, reader), spot[0] if spot else None, box))
    return tuple(views)
