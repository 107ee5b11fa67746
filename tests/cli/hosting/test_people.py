"""The commands for people: invitations, lists, changes, ends; the demonstration stays on its own machine."""

import json

from click.testing import CliRunner

from estimator.cli import main
from estimator.cli.hosting.demo_house import PASSWORD, PEOPLE
from estimator.service.people.passwords import SHORTEST


def run(folder, *words, code=0, **more):
    done = CliRunner().invoke(main, [*words], env={"ESTIMATOR_DATA": str(folder)}, **more)
    assert done.exit_code == code, done.output
    return done.output


def test_people_are_invited_listed_changed_and_ended(tmp_path):
    made = run(tmp_path, "people", "invite", "ann@example.com", "--name", "Ann Example", "--role", "estimator")
    assert made.startswith("/invitations/")
    run(tmp_path, "people", "invite", "ANN@example.com", "--name", "Other", "--role", "admin", code=2)
    words = "four plain words suffice"
    run(tmp_path, "people", "password", "ann@example.com", "--password", words)
    run(tmp_path, "people", "password", "ann@example.com", "--password", "short", code=2)
    run(tmp_path, "people", "change", "ann@example.com", "--role", "pricing", "--language", "de")
    told = json.loads(run(tmp_path, "people", "list", "--json"))
    assert [(each["login"], each["role"], each["language"], each["standing"]) for each in told] == [
        ("ann@example.com", "pricing", "de", "open")
    ]
    assert words not in run(tmp_path, "people", "list")
    run(tmp_path, "people", "end", "ann@example.com")
    assert "ended" in run(tmp_path, "people", "list")
    run(tmp_path, "people", "end", "nobody@example.com", code=2)


def test_the_demonstration_is_served_on_this_machine_only(tmp_path):
    refused = run(tmp_path, "serve", "--demo", "--host", "0.0.0.0", "--data", str(tmp_path / "demo"), code=2)
    assert "0.0.0.0" in refused
    assert len(PASSWORD) >= SHORTEST and {role for _, _, role, _, _ in PEOPLE} >= {"estimator", "purchasing", "pricing"}
