"""What people do on pages stands in the audit log as theirs, with where they sat; papers they take, too."""

import pytest

from estimator.service.access.audit import AuditFilter, list_lines
from estimator.service.context import Client
from estimator.service.people import accounts
from tests.web.desks import Desk


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    made = Desk(tmp_path_factory.mktemp("desk"))
    yield made
    made.context.engine.dispose()


def lines(desk, organisation, **which):
    asked = Client(organisation, "", "admin", "x", "x")
    return list_lines(desk.context, asked, AuditFilter(**which), before=None, limit=50)


def test_signing_in_is_written_down_with_person_and_address(desk):
    desk.person("estimator")
    person, _ = accounts.list_people(desk.context)[0]
    line = lines(desk, person.organisation, action="account.signed_in")[0]
    assert (line.who.kind, line.who.id, line.who.name) == ("account", person.id, person.name)
    assert line.address == "127.0.0.1"
    assert line.request_id
    assert line.key_id is None
