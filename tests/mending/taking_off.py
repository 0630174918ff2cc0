"""The common set of the rule pages with another protocol in it, for the tests of mending."""

from __future__ import annotations

from compiler.manual import EXAMPLE, page
from tests.mending.sets import files_of, set_of

PUTTING_ON = page("left-in-hand").faulty.files[EXAMPLE].partition("# Taking off")[0]


def with_body(body, clinic=None, kit=None, head=None):
    """The common set of the rule pages with another protocol."""
    files = {**page("left-in-hand").faulty.files, EXAMPLE: body}
    for old, new in (clinic or {}).items():
        assert old in files["clinic.yaml"]
        files["clinic.yaml"] = files["clinic.yaml"].replace(old, new)
    for old, new in (kit or {}).items():
        assert old in files["kit.yaml"]
        files["kit.yaml"] = files["kit.yaml"].replace(old, new)
    if head:
        files[EXAMPLE] = files[EXAMPLE].replace("precautions: [standard]", head)
    return set_of(files)


def taking_off(*lines, **more):
    return with_body(
        f"{PUTTING_ON}# Taking off `doffing in bay`\n\n" + "\n".join(lines), **more
    )


def body_after(done):
    return files_of(done.after)[EXAMPLE].partition("# Taking off `doffing in bay`\n\n")[2]


GLOVES_OFF = "**Take off the gloves.** `remove gloves by cuffs` `discard gloves in waste bin`"
RUB = "**Clean your hands.** `handrub`"
