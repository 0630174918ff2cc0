"""What changed in the translations: how many texts, and which say something else now."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.changes.change import Change, Detail
from compiler.changes.telling import number_of
from compiler.source import Span
from compiler.wording.catalogue import Catalogue
from compiler.wording.numbers import folded
from compiler.wording.portable import Entry
from compiler.wording.review import review_of

Catalogues = dict[tuple[str, str], Catalogue]


def changed_translations(olds: Catalogues, news: Catalogues) -> Iterator[Change]:
    """One change for each file that differs in a translation or in its review."""
    for key in sorted(olds.keys() | news.keys()):
        language, stem = key
        old, new = olds.get(key), news.get(key)
        if old and new:
            yield from _changed(language, stem, old, new)
        else:
            yield _only_once(language, stem, old, new)


def _only_once(
    language: str, stem: str, old: Catalogue | None, new: Catalogue | None
) -> Change:
    catalogue = new or old
    assert catalogue
    count = sum(entry.usable for entry in catalogue.entries.values())
    words = number_of(count, "text")
    return Change(
        "translation added" if new else "translation dropped",
        f"The {language} translation of {stem} is {'new' if new else 'gone'}, with {words}.",
        subject=f"{language}/{stem}",
        old=_top(old) if old else None,
        new=_top(new) if new else None,
        was=words if old else "",
        is_now=words if new else "",
        language=language,
    )


def _changed(language: str, stem: str, old: Catalogue, new: Catalogue) -> Iterator[Change]:
    before, after = _usable(old), _usable(new)
    changed, gone, came = [], [], []
    for key in dict.fromkeys((*before, *after)):
        one, other = before.get(key), after.get(key)
        if one and other and folded(one.text) != folded(other.text):
            changed.append(Detail(folded(one.text), folded(other.text), one.at, other.at))
        elif one and not other:
            gone.append(Detail(folded(one.text), "", old=one.at))
        elif other and not one:
            came.append(Detail("", folded(other.text), new=other.at))
    counts = [
        f"{len(found)} {word}"
        for found, word in ((changed, "changed"), (gone, "gone"), (came, "new"))
        if found
    ]
    was, now = _review(old), _review(new)
    review = now if was != now else ""
    if counts or review:
        texts = f"texts: {', '.join(counts)}" if counts else ""
        said = "; ".join(filter(None, (texts, review)))
        yield Change(
            "translation changed",
            f"The {language} translation of {stem}: {said}.",
            subject=f"{language}/{stem}",
            old=_top(old),
            new=_top(new),
            was=was,
            is_now=now,
            look_first=bool(review_of(old)) and not review_of(new),
            details=(*changed, *gone, *came),
            language=language,
        )


def _usable(catalogue: Catalogue) -> dict[tuple[str, str], Entry]:
    return {key: entry for key, entry in catalogue.entries.items() if entry.usable}


def _review(catalogue: Catalogue) -> str:
    review = review_of(catalogue)
    if review is None:
        return "signed by no reviewer"
    return f"signed as reviewed by {review.who}, {review.day or 'without a date'}"


def _top(catalogue: Catalogue) -> Span:
    return catalogue.source.span(0, 0)
