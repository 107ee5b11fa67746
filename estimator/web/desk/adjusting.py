"""A quote adjusted: the effect of every change before anything is stored; workbooks that come back; differences."""

from __future__ import annotations

import base64
from typing import Any

from flask import Response

from estimator.contract.problems.documents import problem_of
from estimator.contract.requests.pricing import pricing_of
from estimator.errors import EstimatorError, Refused
from estimator.sentences import say
from estimator.service.context import store_nothing
from estimator.service.quoting import quotes
from estimator.service.quoting.returned_workbooks import look_into_workbook, revise_by_workbook
from estimator.service.quoting.stored import lists as quote_lists
from estimator.service.quoting.stored import quotes as stored_quotes
from estimator.service.quoting.stored.quotes import StoredQuote, WholeQuote
from estimator.web.effect_view import EffectView, effect_between, effect_of
from estimator.web.forms.choices_form import choices_form, choices_of
from estimator.web.forms.entries import Document
from estimator.web.forms.stock import offcuts_of
from estimator.web.quote_view import for_reader, page_reader
from estimator.web.routes import Pages
from estimator.web.visits import Visit, sent_on

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
    choices = _sent(visit, whole)
    try:
        found = offcuts_of(visit.chosen("offcuts_file"), us=visit.reads_us)
    except Refused as refusal:
        return _adjusting(visit, whole, choices, problem=problem_of(refusal))
    if found:
        choices["offcuts"] = [*(choices.get("offcuts") or []), *found]
    return _priced(visit, whole, choices, store=visit.form.get("do") == "save")


@pages.post("/quotes/<quote_id>/effect", "quotes:write")
def show_effect(visit: Visit) -> Response:
    """The effect alone, as one types."""
    whole = _whole(visit)
    choices = _sent(visit, whole)
    told: dict[str, Any] = {}
    try:
        told["effect"] = _effect(visit, whole, choices)
    except Refused as refusal:
        told["problem"] = problem_of(refusal)
    return visit.page("effect.html", **told)


@pages.post("/quotes/<quote_id>/workbook", "quotes:write")
def look_at_workbook(visit: Visit) -> Response:
    """What an edited workbook changes, and what that does, before it is taken."""
    card = stored_quotes.get_quote(visit.context, visit.client, visit.path["quote_id"])
    file, merge = visit.files.get("workbook"), visit.form.get("merge") == "yes"
    content = file.read() if file else b""
    try:
        looked = look_into_workbook(visit.context, visit.client, (card.id, content, merge), pricing_of)
    except EstimatorError as refusal:
        return _workbook_refused(visit, card, refusal)
    reader = page_reader(visit, for_reader(visit, looked.offer))
    effect = effect_of(looked.base, looked.pricing, looked.offer, reader, costs=True)
    return visit.page(
        "workbook.html", card=card, looked=looked, changes=looked.changes, effect=effect, told=reader, merge=merge,
        content=base64.b64encode(content).decode(),
    )  # fmt: skip


@pages.post("/quotes/<quote_id>/workbook/take", "quotes:write")
def take_workbook(visit: Visit) -> Response:
    """A revision of what was looked at: the same file once more."""
    card = stored_quotes.get_quote(visit.context, visit.client, visit.path["quote_id"])
    try:
        content = base64.b64decode(visit.form.get("content", ""), validate=True)
        workbook = (card.id, content, visit.form.get("merge") == "yes")
        made = revise_by_workbook(visit.context, visit.client, workbook, pricing_of, store_nothing)
    except ValueError:
        return _workbook_refused(visit, card, Refused(say("what was sent is no file")))
    except EstimatorError as refusal:
        return _workbook_refused(visit, card, refusal)
    return sent_on(f"/quotes/{made.quote.card.id}")


def _workbook_refused(visit: Visit, card: StoredQuote, refusal: EstimatorError) -> Response:
    problem = problem_of(refusal)
    return visit.page("workbook.html", problem.status, card=card, problem=problem)


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
    offer = quotes.price(visit.context, visit.client, pricing, whole.offer)
    reader = page_reader(visit, for_reader(visit, offer))
    return effect_of(whole, pricing, offer, reader, costs=visit.may("costs:read"))


def _adjusting(visit: Visit, whole: WholeQuote, choices: Document, **more: Any) -> Response:  # noqa: ANN401
    problem = more.get("problem")
    bill = whole.offer.estimate.bill
    faults = (problem.faults or ()) if problem else ()
    form = choices_form(choices, [line.line.part for line in bill.lines], visit.at_fields(faults), us=visit.reads_us)
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


def _sent(visit: Visit, whole: WholeQuote) -> Document:
    return choices_of(visit.form, _choices(whole), us=visit.reads_us)


def _choices(whole: WholeQuote) -> Document:
    return whole.card.choices if isinstance(whole.card.choices, dict) else {}
