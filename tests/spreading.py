"""How tests are spread over the cores: what shares sheets stays together, what takes long starts first."""

from __future__ import annotations

import pytest
from xdist.scheduler import LoadScopeScheduling

POSTERS = tuple(
    f"tests/printing/test_{name}.py"
    for name in (
        "contrast",
        "poster",
        "poster_shape",
        "poster_size",
        "picture",
        "poster_remedies",
    )
)
SHARES = (
    ("tests/printing/test_languages.py",),
    ("tests/command/",),
    ("tests/products/",),
    ("tests/editions/",),
    POSTERS,
    ("tests/browser/",),
    ("tests/printing/test_every_sheet.py",),
    ("tests/mutations/",),
    ("tests/reference/",),
    ("tests/changes/",),
)
"""Files and folders that go to one worker, because they look at the same sheets or the same browser.

In the order in which they are begun: the longest first, so that no core idles at the end. Every
other file is a share of its own, after these.
"""


def share_of(name: str) -> int:
    """The place among the shares of a test or a file, by its name from the top of the checkout."""
    found = (i for i, places in enumerate(SHARES) if name.startswith(places))
    return next(found, len(SHARES))


class Shares(LoadScopeScheduling):
    """Gives each worker a whole share at a time."""

    def _split_scope(self, nodeid: str) -> str:
        """The share of a test, in the words of the base class the scope."""
        place = share_of(nodeid)
        return nodeid.partition("::")[0] if place == len(SHARES) else SHARES[place][0]


def scheduler(config: pytest.Config, log: object) -> Shares:
    """What spreads the tests over the workers."""
    config.option.loadscopereorder = False  # it would begin with the share of the most tests
    return Shares(config, log)
