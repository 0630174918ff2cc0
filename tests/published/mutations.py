"""Known ways to spoil a published sequence, each with the rule that has to tell it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tests.published.sequences import Act, Sequence

BODY_COVERS = ("gown", "coverall", "apron")
EYES = ("eye protection", "face shield")
FACE_COVERS = ("mask", "respirator")
GLOVES = ("gloves", "inner gloves", "outer gloves")


@dataclass(frozen=True, slots=True)
class Mutation:
    """One spoilt sequence."""

    name: str
    """Readable: what was done to it."""
    expected: str
    """The slug of the rule that has to find it."""
    spoilt: Sequence


def mutations(sequence: Sequence) -> Iterator[Mutation]:
    """Every way to spoil this sequence that its garments allow."""
    yield from _hygiene(sequence)
    yield from _wearing(sequence)
    yield from _face_cover_early(sequence)
    yield from _respirator(sequence)
    yield from _forgotten(sequence)
    yield from _soiled_gloves(sequence)


def _hygiene(sequence: Sequence) -> Iterator[Mutation]:
    first = next(i for i, act in enumerate(sequence.donning) if act.hygiene)
    yield Mutation(
        "first hand hygiene dropped",
        "first-hand-hygiene-missing",
        replace(sequence, donning=_without(sequence.donning, first)),
    )
    last = max(i for i, act in enumerate(sequence.doffing) if act.hygiene)
    yield Mutation(
        "last hand hygiene dropped",
        "last-hand-hygiene-missing",
        replace(sequence, doffing=_without(sequence.doffing, last)),
    )
    if sequence.policy == "when contaminated and at the end":
        return
    for index in _owed(sequence):
        before = _nearest(sequence.doffing[:index][::-1])
        yield Mutation(
            f"hand hygiene after {' and '.join(before.things)} dropped, step {index + 1}",
            "hand-hygiene-skipped",
            replace(sequence, doffing=_without(sequence.doffing, index)),
        )


def _owed(sequence: Sequence) -> Iterator[int]:
    """Hygiene that stands alone between a removal and the next item, and that policy wants."""
    acts = sequence.doffing
    for index, act in enumerate(acts):
        if not act.hygiene or index in (0, len(acts) - 1):
            continue
        before, after = _nearest(acts[:index][::-1]), _nearest(acts[index + 1 :])
        if before.verb != "take off" or after.verb not in {"take off", "put on"}:
            continue
        gloves = any(item.endswith("gloves") for item in before.things)
        if gloves or sequence.policy == "after every item":
            yield index


def _nearest(acts: tuple[Act, ...]) -> Act:
    """The nearest act that bears on what is owed."""
    passing = {"check", "observed", "advise", "go to"}
    return next((act for act in acts if act.verb not in passing), Act("observed"))


def _wearing(sequence: Sequence) -> Iterator[Mutation]:
    for item in sequence.items:
        index = _last_off(sequence.doffing, item)
        act = sequence.doffing[index]
        others = tuple(thing for thing in act.things if thing != item)
        left = (replace(act, things=others),) if others else ()
        yield Mutation(
            f"{item} never taken off",
            "still-worn-at-end",
            replace(sequence, doffing=_swapped(sequence.doffing, index, left)),
        )
        twice = (act, replace(act, things=(item,)))
        yield Mutation(
            f"{item} taken off twice",
            "taken-off-unworn",
            replace(sequence, doffing=_swapped(sequence.doffing, index, twice)),
        )
        yield Mutation(
            f"{item} never put on",
            "taken-off-unworn",
            replace(
                sequence,
                donning=tuple(a for a in sequence.donning if a.things != (item,)),
                doffing=tuple(
                    a for a in sequence.doffing if not (a.verb == "put on" and item in a.things)
                ),
            ),
        )


def _face_cover_early(sequence: Sequence) -> Iterator[Mutation]:
    for cover in FACE_COVERS:
        if cover not in sequence.items:
            continue
        for group, words, slug in (
            (BODY_COVERS, "body cover", "gown-left-on"),
            (EYES, "eye protection", "eye-protection-left-on"),
        ):
            off = [_last_off(sequence.doffing, i) for i in group if i in sequence.items]
            if off:
                yield Mutation(
                    f"{cover} taken off ahead of the {words}",
                    slug,
                    replace(
                        sequence,
                        doffing=_moved(
                            sequence.doffing, _last_off(sequence.doffing, cover), max(off)
                        ),
                    ),
                )


def _respirator(sequence: Sequence) -> Iterator[Mutation]:
    if "respirator" not in sequence.items:
        return
    checks = Act("check", ("respirator",))
    yield Mutation(
        "seal check dropped",
        "seal-unchecked",
        replace(
            sequence,
            donning=tuple(a for a in sequence.donning if (a.verb, a.things) != _key(checks)),
        ),
    )
    yield Mutation(
        "respirator taken off in the room",
        "respirator-off-in-room",
        replace(
            sequence,
            begins="room",
            after_use=(),
            doffing=tuple(a for a in sequence.doffing if a.verb != "go to"),
        ),
    )


def _forgotten(sequence: Sequence) -> Iterator[Mutation]:
    """The only item of a kind that the precautions ask for is in neither half."""
    breathing = ("respirator", "powered respirator")
    asked = [GLOVES, BODY_COVERS] if "contact" in sequence.precautions else []
    asked += [FACE_COVERS] if "droplet" in sequence.precautions else []
    asked += [breathing] if "airborne" in sequence.precautions else []
    for group in asked:
        worn = [item for item in group if item in sequence.items]
        if len(worn) == 1:
            yield Mutation(
                f"{worn[0]} forgotten altogether",
                "barrier-missing-at-entry",
                replace(
                    sequence,
                    donning=_without_item(sequence.donning, worn[0]),
                    doffing=_without_item(sequence.doffing, worn[0]),
                ),
            )


def _without_item(acts: tuple[Act, ...], item: str) -> tuple[Act, ...]:
    left = (replace(a, things=tuple(t for t in a.things if t != item)) for a in acts)
    return tuple(
        new for new, old in zip(left, acts, strict=True) if new.things or not old.things
    )


def _soiled_gloves(sequence: Sequence) -> Iterator[Mutation]:
    """Eye protection first of all, in the gloves that did the work.

    Left out where gloves are cleaned: clean gloves may reach the face.
    """
    eyes = [i for i in EYES if i in sequence.items]
    if sequence.hygiene_on_gloves == "forbidden" and eyes:
        source = min(_last_off(sequence.doffing, i) for i in eyes)
        yield Mutation(
            "eye protection taken off first, in soiled gloves",
            "dirty-hands-to-face",
            replace(sequence, doffing=_moved(sequence.doffing, source, 0)),
        )


def _key(act: Act) -> tuple[str, tuple[str, ...]]:
    return act.verb, act.things


def _last_off(acts: tuple[Act, ...], item: str) -> int:
    return max(i for i, act in enumerate(acts) if act.is_off(item))


def _without(acts: tuple[Act, ...], index: int) -> tuple[Act, ...]:
    return _swapped(acts, index, ())


def _swapped(acts: tuple[Act, ...], index: int, new: tuple[Act, ...]) -> tuple[Act, ...]:
    return (*acts[:index], *new, *acts[index + 1 :])


def _moved(acts: tuple[Act, ...], source: int, ahead_of: int) -> tuple[Act, ...]:
    rest = _without(acts, source)
    return (*rest[:ahead_of], acts[source], *rest[ahead_of:])
