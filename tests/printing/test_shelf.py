"""A sheet reads the theme, the set's pictures and its fonts, and nothing else on the machine."""

from __future__ import annotations

import socket
from base64 import b64encode
from pathlib import Path

import pytest

from compiler.products.pdf import About, Press
from compiler.products.shelf import LARGEST, RefusedError, Shelf
from tests.printing.making import cut_for, page, style

DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><path d="M0 0h9v9z"/></svg>'
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A theme with a good picture, beside files that are none of its business."""
    theme = tmp_path / "theme"
    (theme / "pictures").mkdir(parents=True)
    (theme / "pictures" / "hook one.svg").write_text(DRAWING, encoding="utf-8")
    (theme / "notes.txt").write_text("plain", encoding="utf-8")
    (tmp_path / "secret.svg").write_text(DRAWING, encoding="utf-8")
    (theme / "out.svg").symlink_to(tmp_path / "secret.svg")
    (theme / "above").symlink_to(tmp_path)
    (theme / "in.svg").symlink_to(theme / "pictures" / "hook one.svg")
    (theme / "loop.svg").symlink_to(theme / "loop.svg")
    (theme / "drawer.svg").mkdir()
    (theme / "huge.png").write_bytes(b"\0" * (LARGEST + 1))
    return theme


ALLOWED = [
    "file:///theme/pictures/hook%20one.svg",
    "file:///theme/in.svg",
    "file:///theme/pictures/../in.svg",
    "file:///set/secret.svg",
    "data:image/svg+xml," + DRAWING.replace('"', "'"),
    "data:image/svg+xml;charset=utf-8," + DRAWING.replace('"', "'"),
    "data:image/svg+xml;base64," + b64encode(DRAWING.encode()).decode(),
]
REFUSED = [
    "http://127.0.0.1/hook.svg",
    "https://clinic.example/hook.svg",
    "ftp://clinic.example/hook.svg",
    "//clinic.example/hook.svg",
    "file://clinic.example/theme/in.svg",
    "file:///etc/passwd",
    "file:///etc/logo.svg",
    "file:///theme/../secret.svg",
    "file:///theme/%2e%2e/secret.svg",
    "file:///theme/pictures/..%2F..%2Fsecret.svg",
    "file:///theme//etc/passwd.svg",
    "file:///theme/out.svg",
    "file:///theme/above/secret.svg",
    "file:///theme/loop.svg",
    "file:///theme/drawer.svg",
    "file:///theme/huge.png",
    "file:///theme/notes.txt",
    "file:///theme/nothing.svg",
    "file:///theme/a%00.svg",
    "file:///theme/%ff.svg",
    "file:///fonts/other.ttf",
    "data:text/html,hello",
    "data:image/svg+xml;base64,???",
    "javascript:alert(1)",
    "",
]


@pytest.mark.parametrize("address", ALLOWED)
def test_what_belongs_to_a_sheet_is_read(address: str, folder: Path) -> None:
    shelf = Shelf({"theme": folder, "set": folder.parent}, {})
    data, kind = shelf.read(address)
    assert data.startswith(b"<svg")
    assert kind == "image/svg+xml"


@pytest.mark.parametrize("address", REFUSED)
def test_all_else_is_refused(address: str, folder: Path) -> None:
    with pytest.raises(RefusedError):
        Shelf({"theme": folder}, {}).read(address)


@pytest.mark.parametrize(
    "body",
    [
        '<p><img alt="x" src="{}"></p>',
        '<p style="background: url({})">x</p>',
        '<link rel="stylesheet" href="{}"><p>x</p>',
        "<style>@import url({});</style><p>x</p>",
        '<svg viewBox="0 0 9 9"><title>x</title><image width="9" height="9" href="{}"/></svg>',
        '<style>@font-face {{ font-family: "Odd"; src: url({}) }}</style><p>x</p>',
        '<link rel="attachment" href="{}"><p>x</p>',
    ],
)
@pytest.mark.parametrize(
    "address", ["http://127.0.0.1:9/a.svg", "file:///etc/passwd", "out.svg", "../secret.svg"]
)
def test_the_engine_cannot_be_made_to_read_elsewhere(
    body: str, address: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By whatever part of a sheet; the sheet is not written, and no connection is tried."""

    def connect(*_: object) -> None:
        raise AssertionError("a connection was tried")

    monkeypatch.setattr(socket.socket, "connect", connect)
    faces, cuts = cut_for("en", "x")
    press = Press(cuts, {"theme": folder})
    laid = press.layout(page("en", body.format(address)), [style(faces)])
    written = press.write(laid, About("t", "en"))
    assert written.pdf == b""
    said = " ".join(obstacle.message for obstacle in written.obstacles)
    assert address.removeprefix("file:///").removeprefix("../") in said


def test_a_picture_that_fails_is_complained_of_in_every_layout(folder: Path) -> None:
    faces, cuts = cut_for("en", "x")
    press = Press(cuts, {"theme": folder})
    html = page("en", '<p><img alt="x" src="out.svg"></p>')
    assert all(press.layout(html, [style(faces)]).obstacles for _ in range(3))
