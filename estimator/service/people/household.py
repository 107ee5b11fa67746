"""The accounts of a house as its administrators keep them: invited, changed, ended; never their own role or end.

So a house that has an administrator keeps one. The same is written down as from the command line, under their name.
"""

from __future__ import annotations

from sqlalchemy import select

from estimator.errors import Conflict, NotFound
from estimator.sentences import say
from estimator.service.context import Client, ServiceContext
from estimator.service.people import accounts
from estimator.service.people.accounts import Newcomer
from estimator.service.people.records import Person, person_of
from estimator.storage.tables import AccountRow


def person_in(context: ServiceContext, client: Client, account_id: str) -> Person:
    """Somebody of the client's house. Errors: NotFound, also for another house's."""
    own = (AccountRow.id == account_id) & (AccountRow.organisation_id == client.organisation)
    with context.reading() as session:
        row = session.scalar(select(AccountRow).where(own))
        if row is None:
            raise NotFound(say("there is no such thing"))
        return person_of(row)


def invite_into(context: ServiceContext, client: Client, newcomer: Newcomer) -> tuple[str, Person]:
    """A new account of the client's house, and its invitation's token. Errors: ChoiceRefused, AlreadyUsed."""
    return accounts.invite(context, "", newcomer, client)


def invite_into_again(context: ServiceContext, client: Client, account_id: str) -> tuple[str, Person]:
    """A new invitation, to choose a new password with. Errors: NotFound, Conflict for an account that has ended."""
    person = person_in(context, client, account_id)
    return accounts.invite_again(context, person.login, client)


def change_in(context: ServiceContext, client: Client, account_id: str, changes: dict[str, str]) -> Person:
    """Another name, role, language or other units. Errors: NotFound, ChoiceRefused, Conflict for one's own role."""
    person = person_in(context, client, account_id)
    if person.id == client.id and changes.get("role", person.role) != person.role:
        raise Conflict(say("nobody changes their own role; another administrator can"))
    return accounts.change_person(context, person.login, changes, client)


def end_in(context: ServiceContext, client: Client, account_id: str) -> Person:
    """From now on nobody signs in by it. Errors: NotFound, Conflict for one's own account."""
    person = person_in(context, client, account_id)
    if person.id == client.id:
        raise Conflict(say("nobody ends their own account; another administrator can"))
    return accounts.end_account(context, person.login, client)
