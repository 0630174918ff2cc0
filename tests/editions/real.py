"""One real edition, made once and shared."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command.running import run_apart
from tests.command.sheets import example_set
from tests.editions.making import LEAD, PROTOCOL

KINDS = ("poster", "card", "page")


@pytest.fixture(scope="session")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the signed set as `set`, published for real as `published`."""
    base = tmp_path_factory.mktemp("edition")
    example_set(base / "set", (PROTOCOL,), ("en", "es"), KINDS)
    who = ("--signed-by", "reviewer A", "--role", LEAD)
    ended = run_apart("sign", base / "set", *who, "--on", "2026-12-01")
    assert ended.status == 0, ended.err
    words = (base / "set", "--into", base / "published", "--unreviewed", "--on", "2026-12-01")
    ended = run_apart("publish", *words)
    assert ended.status == 0, ended.err
    (base / "out").write_text(ended.out, encoding="utf-8")
    return base


@pytest.fixture(scope="session")
def pdf(first: Path) -> Path:
    """A real sheet without DRAFT."""
    return first / "published/edition-1/sheets" / f"{PROTOCOL}-poster-en.pdf"
