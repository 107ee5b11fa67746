"""Two machines over one PostgreSQL, for tests of what they share."""

import pytest

from estimator.storage import migrate
from tests import postgres
from tests.references import missing, require_module
from tests.service.contexts import a_context


@pytest.fixture(scope="module")
def machines():
    """Two contexts over one database, as two processes have them."""
    if postgres.programs() is None:
        missing("postgresql")
    require_module("psycopg")
    with postgres.running() as url:
        made = [a_context(None, url)[0] for _ in range(2)]
        yield made
        for each in made:
            each.engine.dispose()
        migrate.downgrade(url, "base")
