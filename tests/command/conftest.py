"""One compile of the small set with real sheets, made once and shared by the tests of it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.command.running import run_apart
from tests.command.sheets import example_set


@pytest.fixture(scope="session")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the set as `set`, its sheets as `sheets`, and what was said as `out`."""
    base = tmp_path_factory.mktemp("compiled")
    example_set(base / "set")
    ended = run_apart("compile", base / "set", "--into", base / "sheets")
    assert ended.status == 0, ended.err
    (base / "out").write_text(ended.out, encoding="utf-8")
    (base / "err").write_text(ended.err, encoding="utf-8")
    return base


@pytest.fixture
def workplace(compiled: Path, tmp_path: Path) -> Path:
    """A copy of the folder with set and sheets, to change."""
    return Path(shutil.copytree(compiled, tmp_path / "workplace"))
