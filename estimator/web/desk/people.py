"""People of the house: who has an account, invited and changed by an administrator."""

from __future__ import annotations

from flask import Response, request

from estimator.contract.problems.documents import problem_of
from estimator.errors import EstimatorError, Refused
from estimator.service.people import household
from estimator.service.people.accounts import INVITATION_DAYS, Newcomer, people_of
from estimator.service.people.records import Person
from estimator.web.forms.people_form import TERMS, person_fields, typed_terms
from estimator.web.routes import Pages
from estimator.web.visits import Visit, sent_on

pages = Pages()


@pages.get("/people", "audit:read")
def show_people(visit: Visit) -> Response:
    """Everybody of the house with an account, and when they were here last."""
    return _people(visit, {"language": visit.language, "units": visit.person.units if visit.person else ""})


@pages.post("/people", "people:manage")
def invite_person_page(visit: Visit) -> Response:
    """A new account; the link of its invitation stands on the answer and nowhere else."""
    typed = {name: visit.form.get(name, "").strip() for name in ("login", *TERMS)}
    try:
        token, person = household.invite_into(visit.context, visit.client, Newcomer(**typed))
    except EstimatorError as refusal:
        return _people(visit, typed, refusal)
    return _person(visit, person, token=token)


@pages.get("/people/<account_id>", "people:manage")
def show_person(visit: Visit) -> Response:
    """One account, to be changed, invited again or ended."""
    return _person(visit, household.person_in(visit.context, visit.client, visit.path["account_id"]))


@pages.post("/people/<account_id>", "people:manage")
def change_person_page(visit: Visit) -> Response:
    """Another name, role, language or other units; or the account ended, or invited again."""
    account, asked = visit.path["account_id"], visit.form.get("do", "change")
    person, typed = household.person_in(visit.context, visit.client, account), typed_terms(visit.form, TERMS)
    try:
        if asked == "invite":
            token, person = household.invite_into_again(visit.context, visit.client, account)
            return _person(visit, person, token=token)
        if asked == "end":
            household.end_in(visit.context, visit.client, account)
            return sent_on("/people")
        household.change_in(visit.context, visit.client, account, typed)
    except EstimatorError as refusal:
        return _person(visit, person, typed, refusal)
    return sent_on(f"/people/{account}?done=yes")


def _people(visit: Visit, typed: dict[str, str], refusal: EstimatorError | None = None) -> Response:
    problem = problem_of(refusal) if refusal else None
    faults = visit.at_fields(refusal.faults) if isinstance(refusal, Refused) else ()
    return visit.page(
        "people.html", problem.status if problem else 200, problem=problem,
        people=people_of(visit.context, visit.client), fields=person_fields(typed, ("login", *TERMS), faults),
    )  # fmt: skip


def _person(
    visit: Visit,
    person: Person,
    typed: dict[str, str] | None = None,
    refusal: EstimatorError | None = None,
    token: str = "",
) -> Response:
    problem = problem_of(refusal) if refusal else None
    faults = visit.at_fields(refusal.faults) if isinstance(refusal, Refused) else ()
    known = {name: getattr(person, name) for name in TERMS}
    return visit.page(
        "person.html", problem.status if problem else 200, problem=problem, who=person, ways=visit.context.ways,
        fields=person_fields(known | (typed or {}), TERMS, faults), done=visit.args.get("done", ""),
        link=f"{request.host_url}invitations/{token}" if token else "", days=INVITATION_DAYS,
    )  # fmt: skip
