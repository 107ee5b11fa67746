"""The rules a machine keeps: layers, style and types, each by its own tool."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
BIN = Path(sys.executable).parent


@pytest.mark.parametrize(
    "command",
    [
        ["lint-imports", "--no-cache"],
        ["ruff", "check", "--no-cache", "estimator", "tests", "api_tests"],
        ["ruff", "format", "--no-cache", "--check", "estimator", "tests", "api_tests"],
        ["mypy", "--no-incremental"],
    ],
    ids=["layers", "style", "format", "types"],
)
def test_the_tool_finds_nothing(command):
    done = subprocess.run([BIN / command[0], *command[1:]], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-6000:] + done.stderr[-2000:]
