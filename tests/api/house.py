"""The service in process, with keys of some roles."""

from dataclasses import replace

from estimator.api.monitoring.timing import timed
from estimator.app import create_app, open_context
from estimator.service.access import keys
from estimator.settings import from_environment
from tests.databases import empty_database
from tests.searches import offer


class House:
    """One service on a database of its own."""

    def __init__(self, folder, **environment):
        self.settings = from_environment({"ESTIMATOR_DATA": str(folder), **environment})
        empty_database(folder)
        self.context = replace(open_context(self.settings), make_offer=timed("estimate", offer))
        self.client = create_app(self.settings, self.context).test_client()

    def key(self, role, organisation="house", name=None):
        return keys.create_key(self.context, organisation, role, name or role)[0]

    def call(self, key, method, path, **more):
        headers = {"Authorization": f"Bearer {key}", **more.pop("headers", {})}
        return self.client.open(path, method=method, headers=headers, **more)

    def close(self):
        self.context.engine.dispose()
