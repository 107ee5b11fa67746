"""An embedded database in its newest form, moved there once for a process; every test works on a copy of its own."""

import tempfile
from functools import cache
from pathlib import Path

from estimator.storage.migrate import upgrade


@cache
def _newest() -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        upgrade(f"sqlite:///{folder}/made.db")
        return (Path(folder) / "made.db").read_bytes()


def empty_database(folder: Path, name: str = "estimator.db") -> str:
    """The address of a new one in the folder, as SQLAlchemy writes it; by default where a service looks for its own."""
    place = Path(folder) / name
    place.write_bytes(_newest())
    return f"sqlite:///{place}"
