"""Pictures in place of PDFs: `compile --as png`."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from tests.command.running import run_inside
from tests.command.sheets import example_set


def test_pictures_take_the_place_of_pdfs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What is no PDF stays; a second run finds nothing to do; A2 at 150 dots is 3508 long."""
    folder = example_set(tmp_path / "set", ("rapid-entry",), ("en",), ("poster", "steps"))
    into = tmp_path / "build"
    words = ("compile", folder, "--into", into, "--as", "png")
    first = run_inside(capsys, *words)
    assert first.status == 0, first.err
    names = {path.suffix for path in into.glob("rapid-entry-*")}
    assert names == {".png", ".txt", ".md"}
    with Image.open(into / "rapid-entry-poster-en.png") as picture:
        assert max(picture.size) in {3508, 3509}
        assert picture.info["dpi"] == pytest.approx((150, 150), abs=0.1)
    again = run_inside(capsys, *words)
    assert again.out.count("unchanged") == first.out.count("rapid-entry-")
