"""An obstruction on a roof, typed or drawn: it is put into the job, and the cells under it and too near to it go."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass

from werkzeug.datastructures import MultiDict

from estimator.contract.faults import read, read_job
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.contract.requests.posted_job.roof import ObstructionSchema
from estimator.contract.requests.record import length
from estimator.errors import Fault, Refused
from estimator.service.quoting.plans import make_room
from estimator.web.forms.entries import Document, find, put
from estimator.web.forms.job_entries import NEW_OBSTRUCTION
from estimator.web.forms.job_form import no_room


@dataclass(frozen=True, slots=True)
class RoomMade:
    """The document afterwards, or as it was with what kept it so."""

    document: Document
    faults: tuple[Fault, ...] = ()


class NewObstructionSchema(ObstructionSchema):
    """An obstruction with the room around it."""

    clearance_mm = length(above=False, data_key="clearance", about="Room around it.", example=300)


def room_made(document: Document, form: MultiDict[str, str], number: str, *, us: bool) -> RoomMade:
    """The document with the obstruction that the form describes for the roof of that number."""
    obstructions = find(document, f"roofs/{number}/obstructions") or []
    if not number.isdigit():
        return RoomMade(document)
    full = no_room(document, f"roofs/{number}/obstructions")
    if full is not None:
        return RoomMade(document, (full,))
    base = f"new/{number}"
    typed = {entry.path: entry.read(form.get(f"{base}/{entry.path}", ""), None, us) for entry in NEW_OBSTRUCTION}
    posted = {name: value for name, value in typed.items() if value is not None}
    try:
        job = read_job(document, JobSchema())
        clearance = NewObstructionSchema().fields["clearance_mm"].deserialize(posted.get("clearance", 0))
        named = {"name": f"obstruction {len(obstructions) + 1}", **posted}
        named.pop("clearance", None)
        found = read(ObstructionSchema(), named, base=f"/{base}")
    except Refused as refusal:
        return RoomMade(document, refusal.faults)
    made = deepcopy(document)
    put(made, f"roofs/{number}/obstructions", [*obstructions, named])
    for at, cells in make_room(job, int(number), found, clearance).items():
        place = f"roofs/{number}/arrays/{at}/omit"
        gone = {tuple(each) for each in find(made, place) or []} | {(row + 1, column + 1) for row, column in cells}
        put(made, place, sorted([row, column] for row, column in gone))
    return RoomMade(made)
