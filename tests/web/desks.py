"""The app with its pages in this process, the shipped books, and people of every role who have signed in."""

import json
import re
from dataclasses import replace

from estimator.api.monitoring.timing import timed
from estimator.app import create_app, open_context
from estimator.demo import sample_job
from estimator.service.people import accounts
from estimator.service.people.accounts import Newcomer
from estimator.settings import from_environment
from tests.databases import empty_database
from tests.searches import offer

WORDS = "four plain words suffice"


class Desk:
    """The app on a database of its own."""

    def __init__(self, folder):
        settings = from_environment({"ESTIMATOR_DATA": str(folder)})
        empty_database(folder)
        self.context = replace(open_context(settings), make_offer=timed("estimate", offer))
        self.app = create_app(settings, self.context)

    def person(self, role="estimator", organisation="house", language="en", units="metric"):
        login = f"{role}.{organisation}.{language}@example.com"
        if login not in {person.login for person, _ in accounts.list_people(self.context)}:
            token, _ = accounts.invite(
                self.context, organisation, Newcomer(login, f"{role} one", role, language, units)
            )
            accounts.take_invitation(self.context, token, WORDS)
        visitor = Sender(self.app.test_client())
        answer = visitor.send("/sign-in", {"login": login, "password": WORDS}, on="/sign-in")
        assert answer.status_code == 303
        return visitor


class Sender:
    """A browser without scripts: it sends forms with the token of the page they stand on."""

    def __init__(self, client):
        self.client = client

    def get(self, path, **more):
        return self.client.get(path, **more)

    def send(self, path, fields=None, on="/me", **more):
        token = re.search(r'name="form_token" value="(\w+)"', self.client.get(on).text)[1]
        return self.client.post(path, data={"form_token": token, **(fields or {})}, **more)


def a_posted_job(reference="T-1", **changes):
    """The sample job, as it is posted."""
    job = sample_job("metric")
    job = json.loads(job) if isinstance(job, (str, bytes)) else json.loads(json.dumps(job))
    return {**job, "reference": reference, **changes}
