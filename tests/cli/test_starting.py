"""Commands as processes of their own: they start with what they need and nothing else, and leave with their status."""

import json
import os
import subprocess
import sys
from pathlib import Path

from tests.cli.estimating.test_commands import CUT_LIST

ROOT = Path(__file__).parents[2]
STARTED = "import sys; from estimator.cli import main; main(prog_name='estimator')"
TOLD = """
import sys
from estimator.cli import main
main(prog_name='estimator', standalone_mode=False)
print(*{name.partition('.')[0] for name in sys.modules}, file=sys.stderr)
"""
# Packages of the service, its database and its documents; one alone takes longer to load than a small command runs.
OF_THE_SERVICE = {"flask", "werkzeug", "sqlalchemy", "alembic", "granian", "apispec", "prometheus_client"}
OF_THE_DOCUMENTS = {"reportlab", "openpyxl", "ezdxf", "lxml", "PIL", "pandas"}
OF_THE_CORE = {"numpy", "highspy", "marshmallow", "orjson", "babel", "rich"}


def started(program, *words):
    done = subprocess.run(
        [sys.executable, "-c", program, *map(str, words)],
        capture_output=True, text=True, check=False, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    return done.returncode, done.stdout, done.stderr


def test_help_loads_nothing_that_it_does_not_tell():
    code, told, packages = started(TOLD, "--help")
    assert code == 0 and "check-pricebook" in told and "licensed engineer" in told
    assert set(packages.split()).isdisjoint(OF_THE_SERVICE | OF_THE_DOCUMENTS | OF_THE_CORE)


def test_a_cut_list_loads_neither_service_nor_documents(tmp_path):
    file = tmp_path / "cut.json"
    file.write_text(json.dumps(CUT_LIST), encoding="utf-8")
    code, told, packages = started(TOLD, "cut", file, "--json")
    assert code == 0 and json.loads(told)["cost"] == "301.00"
    assert set(packages.split()).isdisjoint(OF_THE_SERVICE | OF_THE_DOCUMENTS | {"rich"})


def test_a_refused_file_leaves_with_status_two_and_an_unknown_command_as_well(tmp_path):
    code, told, fault = started(STARTED, "cut", tmp_path / "missing.json")
    assert (code, told) == (2, "") and fault.startswith("Error:")
    code, told, fault = started(STARTED, "saw")
    assert (code, told) == (2, "") and "No such command" in fault
