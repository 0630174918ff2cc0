"""One question about one protocol, and the whole text that answers it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compiler.analysis.fates import choices
from compiler.analysis.world import World
from compiler.catalogue import check
from compiler.following.keeping import kept_told
from compiler.following.sentences import sentences
from compiler.following.steps import Answers, Named, NotThereError, find, named_steps
from compiler.following.table import told
from compiler.following.walk import Walk, chosen
from compiler.following.without import difference, purpose
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol
from compiler.report.folding import folded
from compiler.report.style import Style
from compiler.report.text import CAUTION, WIDTH, blocks_of, counted

MODEL = (
    "This is what Wallward's model of contamination holds; it is coarse, and where it must "
    "guess, it guesses the worse."
)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a reviewer asks."""

    suppose: Answers = ()
    earlier: Answers = ()
    """Answers of the rounds before, where they differ."""
    round: int = 1
    after: str = ""
    """A step: tell only the state after it."""
    without: str = ""
    """A step: tell what is found when it is left out."""
    kept: bool = False
    """Tell how kept items end a round, on every way."""


def answered(protocol: Protocol, clinic: Clinic, kit: Kit, wanted: Wanted, style: Style) -> str:
    """The answer, as a text for a terminal.

    Raises:
        NotThereError: when something asked for is not there; says what is.
    """
    _refuse_idle(wanted)
    world = World(protocol, clinic, kit)
    steps = named_steps(protocol, clinic)
    if wanted.without:
        blocks = _without(protocol, clinic, kit, find(steps, wanted.without), style)
    elif wanted.kept:
        title = f"{protocol.title}: what is kept, at the end of a round, over every answer"
        blocks = iter([style.paint("slug", _folded(title)), kept_told(world, style)])
    elif wanted.after:
        blocks = _after(world, find(steps, wanted.after), wanted, style)
    else:
        blocks = _table(world, steps, wanted, style)
    return "\n\n".join([*blocks, f"{_folded(MODEL)}\n{_folded(CAUTION)}"]) + "\n"


def _refuse_idle(wanted: Wanted) -> None:
    """What would be asked for in vain is wrong use."""
    if (wanted.without or wanted.kept) and (wanted.suppose or wanted.round > 1):
        raise NotThereError(
            "--without and --kept cover every answer and every round; "
            "leave --suppose and --round out"
        )
    if wanted.earlier and wanted.round == 1:
        raise NotThereError("--earlier is about the rounds before: add --round 2")


def _folded(text: str, indent: str = "") -> str:
    return "\n".join(folded(text, WIDTH, indent, indent))


def _walk(world: World, wanted: Wanted, inside: Answers = ()) -> Walk:
    """The way asked for, leading to a step if there is one to be reached.

    Where nothing is supposed, the clinic's standing answers hold, as they do on the sheet.
    """
    suppose = chosen(world, wanted.suppose)
    for question, answer in inside:
        if suppose.setdefault(question, answer) != answer:
            raise NotThereError(
                f'the step is only reached with "{question}={answer}", '
                f'and "{question}={suppose[question]}" was supposed'
            )
    answers = world.clinic.answers | suppose
    return Walk(world, wanted.round, answers, answers | chosen(world, wanted.earlier))


def _table(
    world: World, steps: tuple[Named, ...], wanted: Wanted, style: Style
) -> Iterator[str]:
    walk = _walk(world, wanted)
    pictures = told(walk, steps, style)
    title = f"{world.protocol.title}: what is dirty after each step, round {walk.round}"
    yield style.paint("slug", _folded(title))
    if answers := list(_answers(walk)):
        yield "\n".join(answers)
    yield pictures
    findings = check(world.protocol, world.clinic, world.kit)
    if findings:
        told_of = _more(counted(findings, 1)).rstrip(".")
        yield _folded(f"This protocol has findings: {told_of}; see wallward validate.")


def _answers(walk: Walk) -> Iterator[str]:
    """The answers given, with the others that there are."""
    name = "answers"
    for question, possible in choices(walk.world).items():
        given = walk.answers.get(question)
        if given is None:
            said = f"{question}: not asked on this way"
        else:
            others = " or ".join(a for a in possible if a != given)
            said = f"{question}: {given}" + (f" (else: {others})" if others else "")
        yield from _note(name, said)
        name = ""
    changed = (f"{q}: {a}" for q, a in walk.earlier.items() if walk.wanted.get(q) != a)
    if walk.round > 1 and (before := "; ".join(changed)):
        yield from _note("before", f"{before} in the rounds before; else the same")
    elif walk.round > 1:
        yield from _note("before", "the same answers in the rounds before")
    if name == "":
        yield from _note("change", 'with --suppose "QUESTION=ANSWER"')


def _note(name: str, words: str) -> list[str]:
    return folded(words, WIDTH, f"{name:<9}", " " * 9)


def _after(world: World, named: Named, wanted: Wanted, style: Style) -> Iterator[str]:
    walk = _walk(world, wanted, named.inside)
    moment = next((m for m in walk.moments() if m.step is named.step), None)
    if moment is None:
        raise NotThereError(f"{named.called} is not reached with these answers")
    said = "; ".join(f"{question}: {answer}" for question, answer in walk.answers.items())
    head = f"After {named.called}, in round {walk.round}"
    yield style.paint("slug", _folded(f"{head}:"))
    if said:
        yield "\n".join(_note("answers", said))
    lines = sentences(world, moment.before, moment.state)
    yield "\n".join(_folded(line, "  ") for line in lines)


def _without(
    protocol: Protocol, clinic: Clinic, kit: Kit, named: Named, style: Style
) -> Iterator[str]:
    change = difference(protocol, clinic, kit, named.step)
    yield style.paint("slug", _folded(f"Without {named.called}:"))
    if change.come:
        yield blocks_of(change.come, style, WIDTH)
        yield _folded(f"Without this step, {_more(counted(change.come, 1))}")
    else:
        yield _folded(f"Nothing more is found without it. {purpose(named)}")
    if change.go:
        gone = ", ".join(sorted({f.rule.slug for f in change.go}))
        yield _folded(f"Findings that are there with it, and not without: {gone}.")
    if change.stay:
        yield _folded(f"{change.stay} found with it and without it: see wallward validate.")


def _more(count: str) -> str:
    """The count of a report without how many protocols were checked."""
    return count.partition(": ")[2]
