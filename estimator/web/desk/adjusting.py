"""A quote adjusted: the effect of every change before anything is stored; workbooks that come back; differences."""

from __future__ import annotations

from typing import Any

import orjson
from flask import Response, render_template

from estimator.contract.faults import parse_json
from estimator.contract.problems.documents import problem_of
from estimator.contract.requests.pricing import pricing_of
from estimator.errors import EstimatorError, Refused
from estimator.service import quote_lists, quotes, stored_quotes
from estimator.service.context import store_nothing
from estimator.service.returned_workbooks import changes_in, choices_with
from estimator.service.scopes import demand
from estimator.service.stored_quotes import WholeQuote
from estimator.web.effect_view import EffectView, effect_between, effect_of
from estimator.web.forms.choices_form import choices_form, choices_of
from estimator.web.forms.entries import Document
from estimator.web.quote_view import for_reader, page_reader
from estimator.web.routes import Pages
from estimator.web.visits import Visit, finished, sent_on

pages = Pages()


@pages.get("/quotes/<quote_id>/adjust", "quotes:write")
def show_adjusting(visit: Visit) -> Response:
    """The form with the quote's choices as they are."""
    whole = _whole(visit)
    return _adjusting(visit, whole, _choices(whole))


@pages.post("/quotes/<quote_id>/adjust", "quotes:write")
def adjust(visit: Visit) -> Response:
    """The effect looked at, or a revision made of it."""
    whole = _whole(visit)
    choices = choices_of(visit.form, _choices(whole))
    return _priced(visit, whole, choices, store=visit.form.get("do") == "save")


@pages.post("/quotes/<quote_id>/effect", "quotes:write")
def show_effect(visit: Visit) -> Response:
    """The effect alone, as one types."""
    whole = _whole(visit)
    choices = choices_of(visit.form, _choices(whole))
    told: dict[str, Any] = {}
    try:
        told["effect"] = _effect(visit, whole, choices)
    except Refused as refusal:
        told["problem"] = problem_of(refusal)
    return finished(render_template("effect.html", **{**visit.told(), **told}))


@pages.post("/quotes/<quote_id>/workbook", "quotes:write")
def look_at_workbook(visit: Visit) -> Response:
    """What an edited workbook changes, and what that does, before it is taken."""
    demand(visit.client, "costs:read")
    whole, file = _whole(visit), visit.files.get("workbook")
    try:
        changes = changes_in(file.read() if file else b"", whole)
        choices = choices_with(whole.card.choices, whole.offer.estimate.wishes, changes)
        effect = _effect(visit, whole, choices)
    except EstimatorError as refusal:
        problem = problem_of(refusal)
        return visit.page("workbook.html", problem.status, card=whole.card, problem=problem)
    return visit.page(
        "workbook.html", card=whole.card, changes=changes, effect=effect, choices=orjson.dumps(choices).decode()
    )


@pages.post("/quotes/<quote_id>/workbook/take", "quotes:write")
def take_workbook(visit: Visit) -> Response:
    """A revision of what was looked at."""
    demand(visit.client, "costs:read")
    whole = _whole(visit)
    choices = parse_json(visit.form.get("choices", "").encode())
    return _priced(visit, whole, choices, store=True)


@pages.get("/quotes/<quote_id>/differences", "quotes:read")
def show_differences(visit: Visit) -> Response:
    """From the other revision to this one."""
    after = _whole(visit)
    before = stored_quotes.get_whole(visit.context, visit.client, visit.args.get("with", ""))
    reader = page_reader(visit, for_reader(visit, after.offer))
    effect = effect_between(before, after, reader, costs=visit.may("costs:read"))
    return visit.page("differences.html", before=before.card, card=after.card, effect=effect)


def _priced(visit: Visit, whole: WholeQuote, choices: Document, *, store: bool) -> Response:
    try:
        if not store:
            return _adjusting(visit, whole, choices, effect=_effect(visit, whole, choices))
        pricing = pricing_of(whole.card.job_document, choices)
        made = quotes.revise_quote(visit.context, visit.client, whole.card.id, pricing, store_nothing)
    except EstimatorError as refusal:
        return _adjusting(visit, whole, choices, problem=problem_of(refusal))
    return sent_on(f"/quotes/{made.card.id}")


def _effect(visit: Visit, whole: WholeQuote, choices: Document) -> EffectView:
    pricing = pricing_of(whole.card.job_document, choices)
    offer = quotes.price(visit.context, visit.client, pricing)
    reader = page_reader(visit, for_reader(visit, offer))
    return effect_of(whole, pricing, offer, reader, costs=visit.may("costs:read"))


def _adjusting(visit: Visit, whole: WholeQuote, choices: Document, **more: Any) -> Response:  # noqa: ANN401
    problem = more.get("problem")
    bill = whole.offer.estimate.bill
    form = choices_form(choices, [line.line.part for line in bill.lines], (problem.faults or ()) if problem else ())
    later = [
        each
        for each in quote_lists.revisions_of(visit.context, visit.client, whole.card.number)
        if each.revision > whole.card.revision
    ]
    reader = page_reader(visit, whole.offer)
    return visit.page(
        "adjust.html", problem.status if problem else 200,
        card=whole.card, form=form, later=later, totals=bill.totals, told=reader,
        lines={line.line.part: line for line in bill.lines}, title=whole.offer.estimate.job.title, **more,
    )  # fmt: skip


def _whole(visit: Visit) -> WholeQuote:
    return stored_quotes.get_whole(visit.context, visit.client, visit.path["quote_id"])


def _choices(whole: WholeQuote) -> Document:
    return whole.card.choices if isinstance(whole.card.choices, dict) else {}
