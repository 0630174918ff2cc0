"""A text to be translated, with what a translator needs to know about it."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.source import Span


@dataclass(frozen=True, slots=True)
class Message:
    """One text of a protocol or clinic."""

    context: str
    """The kind of text: title, part, lead, detail, caution and so on."""
    text: str
    """Plain text, exactly as the sheets print it."""
    at: Span
    """Where it is written."""
    place: str = ""
    """Part, step and answer in words; ties a changed text to its old translation."""
    phrases: tuple[Span, ...] = ()
    """What the step does, in the words of the protocol language."""

    @property
    def key(self) -> tuple[str, str]:
        """What its translation is found by."""
        return self.context, self.text

    @property
    def comment(self) -> str:
        """For the translator: where the text stands and what the step does."""
        phrases = "; ".join(" ".join(span.text.strip("`").split()) for span in self.phrases)
        return " — ".join(words for words in (self.place, phrases) if words)
