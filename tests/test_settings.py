"""Settings come from the environment, or from files that it names, as container hosts hand secrets over."""

import pytest

from estimator.errors import Refused
from estimator.settings import from_environment


def test_a_secret_may_stand_in_a_file(tmp_path):
    secret = tmp_path / "database"
    secret.write_text("postgresql+psycopg://estimator:pass%20word@db/estimator\n")
    settings = from_environment({"ESTIMATOR_DATABASE_URL_FILE": str(secret), "ESTIMATOR_CURSOR_SECRET": "told"})
    assert settings.database_url == "postgresql+psycopg://estimator:pass%20word@db/estimator"
    assert settings.cursor_secret == "told"


def test_a_file_that_is_not_there_and_a_setting_given_twice_are_both_named(tmp_path):
    environment = {
        "ESTIMATOR_CURSOR_SECRET_FILE": str(tmp_path / "none"),
        "ESTIMATOR_PORT_FILE": str(tmp_path / "port"),
        "ESTIMATOR_PORT": "8080",
    }
    with pytest.raises(Refused) as refusal:
        from_environment(environment)
    assert {fault.pointer for fault in refusal.value.faults} == {"ESTIMATOR_CURSOR_SECRET_FILE", "ESTIMATOR_PORT_FILE"}
