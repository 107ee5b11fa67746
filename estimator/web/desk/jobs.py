"""Jobs: the list, and one form to enter, change, copy, import and quote them; it works without scripts."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from typing import Any

import orjson
from flask import Response, render_template

from estimator.contract.faults import parse_json, read_job
from estimator.contract.merging import merged
from estimator.contract.problems.documents import problem_of
from estimator.contract.requests.fields import Text
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.contract.requests.pricing import pricing_of
from estimator.demo import sample_job
from estimator.errors import EstimatorError, Fault, Refused, StaleVersion
from estimator.sentences import say
from estimator.service import jobs
from estimator.service.context import store_nothing
from estimator.service.jobs import StoredJob
from estimator.service.quoting import quotes
from estimator.service.quoting.stored import lists as quote_lists
from estimator.web.forms.entries import Document
from estimator.web.forms.further import FURTHER
from estimator.web.forms.job_form import added, an_empty_job, document_of, job_form, no_room, plain_cells, removed
from estimator.web.forms.room import room_made
from estimator.web.routes import Pages
from estimator.web.sketch_view import SketchView, sketch_view
from estimator.web.visits import Visit, finished, sent_on

pages = Pages()
PAGE = 50


@dataclass(frozen=True, slots=True)
class JobDraft:
    """A job as the form has it: its document, what it was made from, and which stored job at which version, if any.

    ``faults``: what was typed and could not be put into the document.
    """

    document: Document
    base: Document
    job_id: str = ""
    version: int = 0
    faults: tuple[Fault, ...] = ()


@pages.get("/jobs", "jobs:read")
def show_jobs(visit: Visit) -> Response:
    """The newest first."""
    before = visit.args.get("before", "") or None
    found = jobs.list_jobs(visit.context, visit.client, before=before, limit=PAGE + 1)
    return visit.page("jobs.html", jobs=found[:PAGE], more=found[PAGE - 1].id if len(found) > PAGE else "")


@pages.get("/jobs/new", "jobs:write")
def new_job(visit: Visit) -> Response:
    """An empty form, the sample job, or a copy of an earlier one."""
    assert visit.person is not None
    origin = visit.args.get("from", "")
    if origin == "sample":
        document = json.loads(sample_job("us" if visit.reads_us else "metric"))
    elif origin:
        document = {**jobs.get_job(visit.context, visit.client, origin).document, "reference": ""}
    else:
        document = an_empty_job(language=visit.language, units=visit.person.units)
    made = plain_cells(document)
    return _form(visit, JobDraft(made, made), drawn=bool(origin))


@pages.get("/jobs/<job_id>", "jobs:read")
def show_job(visit: Visit) -> Response:
    """A stored job in its form, with its plan and its quotes."""
    return _form(visit, _draft_of(jobs.get_job(visit.context, visit.client, visit.path["job_id"])))


@pages.get("/jobs/<job_id>/job.json", "jobs:read")
def show_job_file(visit: Visit) -> Response:
    """A job as a file that can be imported again."""
    kept = jobs.get_job(visit.context, visit.client, visit.path["job_id"])
    response = finished(orjson.dumps(kept.document, option=orjson.OPT_INDENT_2).decode(), media="application/json")
    response.headers["Content-Disposition"] = 'attachment; filename="job.json"'
    return response


@pages.post("/jobs/import", "jobs:write")
def import_job(visit: Visit) -> Response:
    """A job file into the form, with whatever is wrong with it; nothing is stored yet."""
    file = visit.files.get("file")
    try:
        document = parse_json(file.read() if file else b"")
        if not isinstance(document, dict):
            raise Refused(say("a job is a JSON object"), [Fault("", say("not a JSON object"))])
    except Refused as refusal:
        return visit.page("import.html", 422, problem=problem_of(refusal))
    made = plain_cells(document)
    return _form(visit, JobDraft(made, made))


@pages.post("/jobs/form", "jobs:write")
def send_job(visit: Visit) -> Response:
    """What the pressed button asks for: redraw, add, take away, make room, save, save and quote."""
    draft, asked = _sent(visit), visit.form.get("do", "look")
    kind, _, place = asked.partition(":")
    if kind == "add":
        full = no_room(draft.document, place)
        return _form(visit, replace(draft, document=added(draft.document, place)), faults=(full,) if full else ())
    if kind == "remove":
        return _form(visit, replace(draft, document=removed(draft.document, place)))
    if kind == "room":
        made = room_made(draft.document, visit.form, place, us=visit.reads_us)
        typed = visit.form.to_dict() if made.faults else {}
        return _form(visit, replace(draft, document=made.document), faults=made.faults, typed=typed)
    if kind in {"save", "quote"}:
        return _save(visit, draft, quote=kind == "quote")
    return _form(visit, draft)


@pages.post("/jobs/draw", "jobs:write")
def draw_job(visit: Visit) -> Response:
    """The plan of what is typed so far, and the faults of its fields; nothing is stored and no cut plan made."""
    draft = _sent(visit)
    view = sketch_view(visit, draft.document)
    form = job_form(
        draft.document, visit.at_fields((*draft.faults, *view.faults)), us=visit.reads_us, typed=_typed(visit, draft)
    )
    told = form.told()
    told |= {FURTHER: _one_by_one(form.further_faults)} if form.further_faults else {}
    plan = render_template("sketch.html", sketch=view, others=form.others, **visit.told())
    return finished(orjson.dumps({"plan": plan, "faults": told}).decode(), media="application/json")


def _one_by_one(faults: tuple[Fault, ...]) -> str:
    return "; ".join(f"{each.pointer} {each.message}" for each in faults)


def _save(visit: Visit, draft: JobDraft, *, quote: bool) -> Response:
    try:
        if draft.faults:
            raise Refused(say("further fields cannot be read"), draft.faults)
        job = read_job(draft.document, JobSchema())
        kept = _stored(visit, draft, job)
        if quote:
            pricing = pricing_of(kept.document, _choices(visit))
            made = quotes.draft_quote(visit.context, visit.client, kept.id, pricing, store_nothing)
            return sent_on(f"/quotes/{made.card.id}")
    except StaleVersion:
        return _met(visit, draft)
    except EstimatorError as refusal:
        faults = refusal.faults if isinstance(refusal, Refused) else ()
        return _form(visit, draft, faults=faults, problem=problem_of(refusal))
    return sent_on(f"/jobs/{kept.id}?saved=1")


def _stored(visit: Visit, draft: JobDraft, job: Any) -> StoredJob:  # noqa: ANN401
    if draft.job_id:
        change = (job, draft.document)
        return jobs.change_job(visit.context, visit.client, draft.job_id, draft.version, change)
    return jobs.post_job(visit.context, visit.client, job, draft.document, store_nothing)


def _met(visit: Visit, draft: JobDraft) -> Response:
    """Somebody saved in between: their changes and these in one form, to look at before it is saved."""
    theirs = _draft_of(jobs.get_job(visit.context, visit.client, draft.job_id))
    document, both = merged(draft.base, draft.document, theirs.document)
    return _form(visit, replace(theirs, document=document), met=True, both=both)


def _form(visit: Visit, draft: JobDraft, **more: Any) -> Response:  # noqa: ANN401
    """The form with its plan; ``drawn`` False leaves the plan out, for a form nobody has filled in yet."""
    view = sketch_view(visit, draft.document) if more.pop("drawn", True) else SketchView()
    faults = (*draft.faults, *more.pop("faults", ()), *view.faults)
    typed = {**_typed(visit, draft), **more.pop("typed", {})}
    form = job_form(draft.document, visit.at_fields(_once(faults)), us=visit.reads_us, typed=typed)
    found = quote_lists.quotes_of_job(visit.context, visit.client, draft.job_id) if draft.job_id else ()
    problem = more.pop("problem", None)
    return visit.page(
        "job.html", problem.status if problem else 200,
        form=form, sketch=view, draft=draft, others=form.others, quotes=found, saved=visit.args.get("saved"),
        base=_text(draft.document), origin="" if draft.base == draft.document else _text(draft.base),
        us=visit.reads_us, problem=problem,
        books=visit.context.catalogue.summaries(visit.client.organisation), **more,
    )  # fmt: skip


def _sent(visit: Visit) -> JobDraft:
    """What came back: the document that the fields say, over the one the form was made from."""
    base = parse_json(visit.form.get("base", "{}").encode())
    base = base if isinstance(base, dict) else {}
    version = visit.form.get("version", "")
    read = document_of(visit.form, base, us=visit.reads_us)
    origin = visit.form.get("origin", "")
    number = int(version) if version.isascii() and version.isdigit() and len(version) < 9 else 0
    before = parse_json(origin.encode()) if origin else base
    return JobDraft(read.document, before, visit.form.get("job_id", ""), number, read.faults)


def _typed(visit: Visit, draft: JobDraft) -> dict[str, str]:
    """Further fields that could not be read stay as they were typed."""
    return {FURTHER: visit.form.get(FURTHER, "")} if draft.faults else {}


def _draft_of(kept: StoredJob) -> JobDraft:
    document = plain_cells(kept.document)
    return JobDraft(document, document, kept.id, kept.version)


def _choices(visit: Visit) -> Document:
    """The pricebook chosen, if one was."""
    book = visit.form.get("pricebook", "").strip()
    return {"pricebook": Text(80).deserialize(book)} if book else {}


def _text(document: Document) -> str:
    return orjson.dumps(document).decode()


def _once(faults: tuple[Fault, ...]) -> list[Fault]:
    return list(dict.fromkeys(faults))
