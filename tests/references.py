"""The one switch for outside references: a missing one skips its tests, or fails them where all must be there.

``ESTIMATOR_REQUIRE_REFERENCES=1`` turns every skip for a missing program or library into a failure.
"""

import importlib
import os
import shutil
from types import ModuleType

import pytest

# Programs by the name the tests ask for, with the commands that may carry it; every other name is a Python module.
PROGRAMS = {
    "libreoffice": ("soffice", "libreoffice"),
    "qpdf": ("qpdf",),
    "pdftotext": ("pdftotext",),
    "pdftoppm": ("pdftoppm",),
    "pdfinfo": ("pdfinfo",),
    "pdffonts": ("pdffonts",),
    "chromium": ("chromium-headless-shell", "chromium", "chromium-browser"),  # the first does without windows
}


def must_be_there() -> bool:
    """Whether a missing reference fails instead of skipping."""
    return os.environ.get("ESTIMATOR_REQUIRE_REFERENCES", "") == "1"


def require(name: str) -> str:
    """The path of a program; the test is skipped (or fails) where it is missing."""
    for command in PROGRAMS.get(name, (name,)):
        found = shutil.which(command)
        if found:
            return found
    return missing(name)


def require_module(name: str) -> ModuleType:
    """A reference library; the test is skipped (or fails) where it is missing."""
    try:
        return importlib.import_module(name)
    except ImportError:
        missing(name)
        raise


def missing(name: str) -> str:
    """Skip, or fail where every reference must be there."""
    text = f"the reference {name} is not on this machine"
    if must_be_there():
        pytest.fail(f"{text}, and ESTIMATOR_REQUIRE_REFERENCES=1 demands it", pytrace=False)
    pytest.skip(text)
