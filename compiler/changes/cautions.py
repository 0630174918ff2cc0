"""Cautions added, dropped, reworded, or standing below another step now."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from compiler.changes.change import Change
from compiler.changes.matching import Matched
from compiler.changes.placed import Placed, plain
from compiler.changes.telling import called, lead_of
from compiler.changes.texts import paired_texts, rewording


def changed_cautions(both: Matched, language: str) -> Iterator[Change]:
    """Those of steps that both versions have; others go with their step."""
    told = [
        change
        for here, there in sorted(both.steps.items(), key=lambda pair: pair[1])
        for change in _cautions(both.old_steps[here], both.new_steps[there], language)
    ]
    dropped = [change for change in told if change.kind == "caution dropped"]
    for change in told:
        if change.kind != "caution added":
            continue
        gone = next((each for each in dropped if each.was == change.is_now), None)
        if gone:
            dropped.remove(gone)
            told[told.index(gone)] = _moved(gone, change)
            told.remove(change)
    yield from told


def _moved(gone: Change, came: Change) -> Change:
    return replace(
        came,
        kind="caution moved",
        sentence=f"The caution of “{gone.subject}” now stands below “{came.subject}”.",
        old=gone.old,
        was=gone.was,
    )


def _cautions(old: Placed, new: Placed, language: str) -> Iterator[Change]:
    olds, news = ([plain(text) for text in p.step.cautions] for p in (old, new))
    if olds == news:
        return

    def told(kind: str, sentence: str, was: str, now: str, look_first: bool) -> Change:
        return Change(
            kind=kind,
            sentence=sentence,
            subject=lead_of(new.step),
            place=new.words,
            old=old.step.at,
            new=new.step.at,
            was=was,
            is_now=now,
            look_first=look_first,
        )

    reworded, gone, came = paired_texts(olds, news)
    step = called(new.step)
    for was, now in reworded:
        judged = rewording(was, now, language)
        said = f" {judged.words}" if judged.words else ""
        sentence = f"The caution of {step} was reworded{said}."
        yield told(judged.kind or "caution reworded", sentence, was, now, judged.look_first)
    for was in gone:
        yield told("caution dropped", f"A caution of {step} is gone.", was, "", True)
    for now in came:
        yield told("caution added", f"A caution of {step} is new.", "", now, False)
