"""What all tests share: golden files, repeatable Hypothesis runs, and how they are spread."""

from __future__ import annotations

import gc
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests.editions.real import first, pdf
from tests.spreading import scheduler, share_of

__all__ = ["first", "pdf"]
"""Fixtures that several folders of tests use."""

GOLDEN = Path(__file__).parent / "golden"

settings.register_profile(
    "wallward",
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile("wallward")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--accept", action="store_true", help="rewrite golden files that differ")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> object:
    return scheduler(config, log)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: share_of(item.nodeid))


def pytest_collection_finish() -> None:
    """Thousands of tests and their modules live to the end; nothing in them is garbage."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str, str], None]:
    """Compares a text with a file under `tests/golden`, or rewrites the file with `--accept`."""

    def compare(name: str, text: str) -> None:
        path = GOLDEN / name
        if request.config.getoption("--accept"):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
            return
        kept = path.read_text(encoding="utf-8") if path.exists() else ""
        assert text == kept, (
            f"tests/golden/{name} differs; python -m tests --accept rewrites it, then read the "
            "difference"
        )

    return compare
