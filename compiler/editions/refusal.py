"""Why something was not signed or not published: reasons in words, each with its details."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.findings import Finding


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason, and lines that show it."""

    text: str
    details: tuple[str, ...] = ()


class RefusedError(Exception):
    """What was asked for is not done, and nothing was written; says why."""

    def __init__(self, reasons: tuple[Reason, ...], findings: tuple[Finding, ...] = ()) -> None:
        """Keeps the reasons, and the findings that are among them."""
        super().__init__("; ".join(reason.text for reason in reasons))
        self.reasons = reasons
        self.findings = findings
