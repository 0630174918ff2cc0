"""One walk over every text that a sheet prints, for collecting and for translating."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Branch, Fork, Part, Protocol, Step
from compiler.wording.messages import Message

Say = Callable[[Message], str]
"""Takes a text as written, gives the text to print."""


def messages(protocol: Protocol) -> Iterator[Message]:
    """Every text of the protocol in reading order; a text used twice comes twice."""
    found: list[Message] = []
    reworded(protocol, _collector(found))
    yield from found


def clinic_messages(clinic: Clinic, kit: Kit | None = None) -> Iterator[Message]:
    """What sheets print of the clinic: contact, areas, places, agents; with the kit, items."""
    found: list[Message] = []
    reworded_clinic(clinic, _collector(found))
    if kit:
        reworded_kit(kit, _collector(found))
    yield from found


def reworded(protocol: Protocol, say: Say) -> Protocol:
    """The same protocol with every text put through `say`; spans and phrases stay."""
    return replace(
        protocol,
        title=_said(say, Message("title", protocol.title, protocol.at, "Head")),
        hazard=_said(say, Message("hazard", protocol.hazard, protocol.at, "Head")),
        parts=tuple(_part(part, say) for part in protocol.parts),
    )


def reworded_clinic(clinic: Clinic, say: Say) -> Clinic:
    """The same clinic with its printed words put through `say`; keys stay as written."""
    return replace(
        clinic,
        contact=_said(say, Message("contact", clinic.contact, clinic.at, "Clinic")),
        areas={
            key: replace(area, name=_said(say, Message("area", area.name, area.at, "Areas")))
            for key, area in clinic.areas.items()
        },
        places={
            key: replace(
                place, name=_said(say, Message("place", place.name, place.at, "Places"))
            )
            for key, place in clinic.places.items()
        },
        agents={
            key: replace(
                agent, name=_said(say, Message("agent", agent.name, agent.at, "Agents"))
            )
            for key, agent in clinic.agents.items()
        },
    )


def reworded_kit(kit: Kit, say: Say) -> Kit:
    """The same kit with the items' names put through `say`; keys stay as written."""
    return Kit(
        {
            key: replace(item, name=_said(say, Message("item", item.name, item.at, "Kit")))
            for key, item in kit.items.items()
        }
    )


def _collector(found: list[Message]) -> Say:
    """A `say` that notes each text and leaves it as it is."""

    def say(message: Message) -> str:
        found.append(message)
        return message.text

    return say


def _said(say: Say, message: Message) -> str:
    """What to print; an empty text is nobody's work."""
    return say(message) if message.text else ""


def _part(part: Part, say: Say) -> Part:
    """A part with its heading, introduction and steps."""
    return replace(
        part,
        title=_said(say, Message("part", part.title, part.at, part.title, (part.begin.at,))),
        introduction=tuple(
            _said(say, Message("introduction", text, part.at, part.title))
            for text in part.introduction
        ),
        steps=tuple(_step(step, part.title, say) for step in part.steps),
    )


def _step(step: Step, above: str, say: Say) -> Step:
    """A step with its fork and everything below."""
    place = f"{above}, step {step.number}"
    phrases = tuple(phrase.at for phrase in step.phrases)
    return replace(
        step,
        lead=_said(say, Message("lead", step.lead, step.at, place, phrases)),
        detail=_said(say, Message("detail", step.detail, step.at, place, phrases)),
        cautions=tuple(
            _said(say, Message("caution", text, step.at, place, phrases))
            for text in step.cautions
        ),
        fork=_fork(step.fork, place, say) if step.fork else None,
    )


def _fork(fork: Fork, place: str, say: Say) -> Fork:
    """A fork with its question, answers and branches."""
    question = Message("question", fork.question, fork.at, place, (fork.at,))
    return replace(
        fork,
        question=_said(say, question),
        branches=tuple(_branch(branch, place, say) for branch in fork.branches),
    )


def _branch(branch: Branch, above: str, say: Say) -> Branch:
    """One way out of a fork with its steps."""
    place = f"{above}, if {branch.answer}"
    return replace(
        branch,
        answer=_said(say, Message("answer", branch.answer, branch.at, place)),
        lead=_said(say, Message("branch", branch.lead, branch.at, place)),
        detail=_said(say, Message("branch detail", branch.detail, branch.at, place)),
        steps=tuple(_step(step, place, say) for step in branch.steps),
    )
