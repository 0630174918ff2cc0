"""An empty font configuration of our own, so that output never depends on the machine."""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

CONFIGURATION = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">
<fontconfig><cachedir>{cache}</cachedir></fontconfig>
"""


Engine = Any
"""An object of the PDF engine, which declares no types."""


class EngineMissingError(Exception):
    """The PDF engine cannot start without its system libraries. The message says what to do."""


@contextmanager
def no_installed_fonts() -> Iterator[None]:
    """Makes an empty font configuration the only one; the PDF engine is imported inside.

    It stays in force as long as the process lives, since the engine reads it again for each
    sheet. A worker that was started with the parent's setting makes its own.
    """
    folder = Path(tempfile.mkdtemp(prefix="wallward-fonts-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    (folder / "cache").mkdir()
    file = folder / "fonts.conf"
    file.write_text(CONFIGURATION.format(cache=folder / "cache"), encoding="utf-8")
    os.environ["FONTCONFIG_FILE"] = str(file)
    os.environ["PANGO_LANGUAGE"] = "en"  # not that of whoever is logged in
    with warnings.catch_warnings():
        # the engine warns that no fonts are configured, which is the purpose here
        warnings.filterwarnings("ignore", message="No fonts configured", category=UserWarning)
        try:
            yield
        except OSError as error:
            raise EngineMissingError(
                "The PDF engine needs Pango and HarfBuzz: "
                "apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"
            ) from error
