"""Rule pages: what an example says of the computer and the theme, arranged while it is checked.

Two examples cannot show their fault by text alone. For them stand in: a search for font files
that does not find those of the package named, and a copy of the theme with lines added.
"""

import re
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from compiler import manual
from compiler.layout import fonts
from compiler.own_files import themes_home
from compiler.products import poster
from compiler.products.theme import read_theme


def findings_of(example):
    """As `manual.findings_of`."""
    with pytest.MonkeyPatch.context() as patch, TemporaryDirectory() as folder:
        if absent := _absent(example.files.get(manual.MACHINE, "")):
            find = fonts.find
            patch.setattr(
                fonts, "find", lambda f, *more: None if f.package == absent else find(f, *more)
            )
        if style := example.files.get(manual.THEME):
            copy = shutil.copytree(themes_home() / "default", Path(folder, "default"))
            with (copy / "poster.css").open("a", encoding="utf-8") as css:
                css.write(style)
            patch.setattr(poster, "theme_named", lambda name: read_theme(copy))
        return manual.findings_of(example)


def _absent(machine):
    found = re.search(r"(\S+) is not installed", machine)
    return found and found[1]
