"""Runs a command with ESTIMATOR_DATABASE_URL set to a new PostgreSQL that ends with it.

Run: python -m tests.postgres_run pytest tests/api/test_against_description.py
"""

import os
import subprocess
import sys

from tests import postgres


def main():
    with postgres.running() as address:
        sys.exit(subprocess.call(sys.argv[1:], env={**os.environ, "ESTIMATOR_DATABASE_URL": address}))


if __name__ == "__main__":
    main()
