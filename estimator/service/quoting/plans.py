"""What is drawn on a page: the plan of a stored quote, and the sketch of a job that is still being entered."""

from __future__ import annotations

from estimator.documents.drawing.plan import Drawn, drawn_of
from estimator.job import Job, Obstruction
from estimator.layout.clearing import cells_near
from estimator.service.context import Client, ServiceContext
from estimator.service.quoting.quotes import PricingRequest
from estimator.service.quoting.stored.quotes import get_whole
from estimator.sketch import Sketch, sketch


def quote_drawn(context: ServiceContext, client: Client, quote_id: str) -> Drawn:
    """What of a quote is drawn. Errors: NotFound."""
    return drawn_of(get_whole(context, client, quote_id).offer.estimate)


def sketch_job(context: ServiceContext, client: Client, pricing: PricingRequest) -> Sketch:
    """A job laid out and set out, without a cut plan and without a price. Errors: as for a quote."""
    on = pricing.on or context.today()
    book = context.catalogue.choose(client.organisation, pricing.pricebook, pricing.edition, on, pricing.job)
    return sketch(pricing.job, book, pricing.choices, on)


def sketch_drawn(made: Sketch) -> Drawn:
    """What of a sketch is drawn."""
    return Drawn(made.job, made.layout, made.setting_out, made.loads, None)


def make_room(
    job: Job, roof: int, obstruction: Obstruction, clearance_mm: float
) -> dict[int, frozenset[tuple[int, int]]]:
    """Which cells of which arrays of a roof go for an obstruction with its clearance, counted from 0; those gone stay.

    Arrays of which nothing goes are left out.
    """
    gone = {
        number: cells_near(array, job.module, obstruction, clearance_mm) - array.omit
        for number, array in enumerate(job.roofs[roof].arrays)
    }
    return {number: cells for number, cells in gone.items() if cells}
