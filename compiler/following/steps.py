"""Steps as people name them: by the number on the sheet, by their line, or by their lead."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches

from compiler.model.clinic import Clinic
from compiler.model.protocol import Part, Protocol, Step
from compiler.model.suppose import supposed
from compiler.products.path import Beat, Path, Row, Split, every_stop, path_of
from compiler.source import Span

Answers = tuple[tuple[str, str], ...]
"""Questions with an answer each."""


class NotThereError(Exception):
    """Something was asked for that the protocol does not have. Says what there is."""


@dataclass(frozen=True, slots=True)
class Named:
    """One step with its names."""

    part: Part
    step: Step
    number: int
    """Its number on the sheet; 0 for hand hygiene, and for what the sheet leaves out."""
    label: str
    """How people call it: "Taking off 5", "Taking off, hands after 6"."""
    inside: Answers
    """The forks around it, from the outermost, and the answers that lead to it."""

    @property
    def line(self) -> int:
        """The line of its lead."""
        return self.step.at.line

    @property
    def called(self) -> str:
        """Its label, lead and line, for sentences."""
        lead = self.step.lead or self.step.at.text.split("\n")[0]
        return f'{self.label}, "{lead}" (line {self.line})'


def named_steps(protocol: Protocol, clinic: Clinic) -> tuple[Named, ...]:
    """Every step in reading order.

    Numbers are those of the printed sheet, on which forks with a standing answer are resolved.
    """
    on_sheet = supposed(protocol, clinic.answers).parts
    return tuple(
        named
        for part, printed in zip(protocol.parts, on_sheet, strict=True)
        for named in _in_part(part, _numbers(path_of(printed, clinic)))
    )


Number = tuple[int, str]
"""The number on the sheet, and the words after the part's title."""


def _numbers(path: Path) -> dict[Span, Number]:
    numbers: dict[Span, Number] = {}
    for stop in every_stop(path.stretches):
        match stop:
            case Row():
                numbers.setdefault(stop.step.at, (stop.number, f" {stop.number}"))
            case Split():
                row = stop.question
                numbers.setdefault(row.step.at, (row.number, f" {row.number}"))
            case Beat() if stop.lead:
                near = f"after {stop.after}" if stop.after else f"before {stop.before}"
                numbers.setdefault(stop.step.at, (0, f", hands {near}"))
            case Beat():  # repeats a phrase of a step that has a number
                pass
    return numbers


def _in_part(part: Part, numbers: dict[Span, Number]) -> Iterator[Named]:
    def below(steps: tuple[Step, ...], inside: Answers) -> Iterator[Named]:
        for step in steps:
            number, words = numbers.get(step.at, (0, f", line {step.at.line}"))
            yield Named(part, step, number, f"{part.title}{words}", inside)
            for branch in step.fork.branches if step.fork else ():
                answered = (*inside, (step.fork.question, branch.answer)) if step.fork else ()
                yield from below(branch.steps, answered)

    yield from below(part.steps, ())


def find(steps: tuple[Named, ...], wanted: str) -> Named:
    """The step that somebody names.

    Args:
        steps: Those of the protocol.
        wanted: A line of the file, a part and a number as on the sheet, or a lead.

    Raises:
        NotThereError: when there is none, or more than one.
    """
    if wanted.strip().isdecimal():
        return _at_line(steps, int(wanted))
    names: dict[str, list[Named]] = {}
    for named in steps:
        activity = f"{named.part.begin.activity.value}{named.label[len(named.part.title) :]}"
        for name in {_folded(named.label), _folded(activity), _folded(named.step.lead)}:
            names.setdefault(name, []).append(named)
    found = names.get(_folded(wanted), [])
    if len(found) == 1:
        return found[0]
    if found:
        places = ", ".join(f"line {named.line}" for named in found)
        raise NotThereError(f'more than one step is called "{wanted}": {places}; name the line')
    close = get_close_matches(_folded(wanted), [name for name in names if name], 3, 0.5)
    said = "; ".join(f"{names[c][0].label} (line {names[c][0].line})" for c in close)
    hint = f"close: {said}" if said else f'name it like "{steps[0].label}", or by its line'
    raise NotThereError(f'no step is called "{wanted}"; {hint}')


def _at_line(steps: tuple[Named, ...], line: int) -> Named:
    for named in steps:
        phrases = {phrase.at.line for phrase in named.step.phrases}
        if line == named.line or line in phrases:
            return named
    near = sorted(steps, key=lambda named: abs(named.line - line))[:3]
    said = "; ".join(
        f"line {n.line} ({n.step.lead})" for n in sorted(near, key=lambda n: n.line)
    )
    raise NotThereError(f"no step begins in line {line}; near it: {said}")


def _folded(words: str) -> str:
    return " ".join(words.casefold().replace(",", " ").split()).rstrip(".")
