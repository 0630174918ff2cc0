"""What the checks see of sets of states, each combination of values once; what they find."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from compiler.analysis.cells import Cells
from compiler.analysis.hits import Glance, Hit
from compiler.analysis.memory import Deed, Look, Memory
from compiler.analysis.parts import Values, shared
from compiler.analysis.products import Product
from compiler.analysis.state import NONE, ItemState, Where
from compiler.analysis.turns import LIMIT
from compiler.analysis.visits import Check, Possible, Sight, Trail, Visit
from compiler.model.protocol import Part, Phrase, Step

Key = tuple[str, str, int]
"""What tells hits apart: the rule's slug, the words, and the identity of the phrase or part."""
Seen = tuple[Check, Sight]


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a look is taken, and when."""

    part: Part
    step: Step | None
    phrase: Phrase | None
    """Nothing at the end of the part."""
    area: str
    round: int
    inside: tuple[tuple[str, str], ...]
    """The forks around it and the branches it is in, from the outermost."""


class Lookout:
    """Shows sets of states to the checks and remembers what they find."""

    def __init__(
        self, cells: Cells, memory: Memory, checks: Mapping[type, list[Check]]
    ) -> None:
        """Prepares to look; `checks` are those for each kind of phrase."""
        self.cells = cells
        self.memory = memory
        self.checks = checks
        self.hits: dict[Key, Hit] = {}
        self._struck: dict[tuple[object, ...], dict[Key, Seen]] = {}
        self._blank = Trail(None, cells.blank, None, None)

    def look(self, product: Product, deed: Deed, spot: Spot) -> None:
        """Takes every look at one set before a phrase of this deed.

        Raises:
            TooLargeError: when more states would have to be looked at than the limit.
        """
        if deed.seen < 0:
            deed.seen = self._sights(spot, 0)[1]
        marks = product.marks & deed.seen
        look = deed.looks.get((spot.area, marks))
        if look is None:
            look = deed.looks[spot.area, marks] = self._looks(deed, spot, marks)
        # every glance is taken, also after one that found something
        struck = [self._see(product, glance, spot) for glance in look.glances]
        home = product.home
        touched = tuple([home[v] for v in look.reads])
        if not any(struck) and shared(touched):
            look.fine.add(touched)

    def _sights(self, spot: Spot, marks: int) -> tuple[list[tuple[Check, Sight]], int]:
        """All looks where items may be at these places, and which marks that depends on."""
        world = self.cells.world
        possible = Possible(len(world.items), marks)
        found = []
        for check in self.checks.get(type(spot.phrase), ()):
            # asked whatever the sights are: the marks asked must be the same every time
            hands = possible.among(Where.WORN, world.gloves) if check.hands else NONE
            for sight in check.sights(world, spot.phrase, possible):
                unworn = possible.among(Where.WORN, sight.unworn)
                found.append((check, Sight(sight.items | hands, sight.places, unworn)))
        return found, possible.asked

    def _looks(self, deed: Deed, spot: Spot, marks: int) -> Look:
        """All looks at a phrase, those that take in the same together."""
        together: dict[Sight, list[tuple[Check, Sight]]] = {}
        for check, sight in self._sights(spot, marks)[0]:
            together.setdefault(sight, []).append((check, sight))
        glances = []
        for sight, checks in together.items():
            key = (spot.area, sight, *(check for check, _ in checks))
            if key not in deed.glances:
                variables = self.cells.variables(sight.items, sight.places)
                unworn = self.cells.variables(sight.unworn, ())[1:]
                deed.glances[key] = Glance(variables, unworn, checks)
            glances.append(deed.glances[key])
        reads = {v for glance in glances for v in (*glance.variables, *glance.unworn)}
        return Look(tuple(sorted(reads)), glances)

    def _see(self, product: Product, glance: Glance, spot: Spot) -> bool:
        """Takes one glance; whether there is something to tell of it, now or before."""
        home = product.home
        touched = tuple([home[v] for v in (*glance.variables, *glance.unworn)])
        if touched in glance.fine_parts:
            return False
        narrowed: Product | None = product
        if glance.unworn:
            narrowed = product.having(glance.unworn, _is_not_worn)
        struck = narrowed is not None and self._sees(product, narrowed, glance, spot)
        if not struck and shared(touched):
            glance.fine_parts.add(touched)
        return struck

    def _sees(self, product: Product, narrowed: Product, glance: Glance, spot: Spot) -> bool:
        struck = False
        for values in narrowed.project(glance.variables, LIMIT) - glance.fine:
            here = (id(spot.phrase or spot.part), spot.area, id(glance), values)
            hits = self._struck.get(here)
            if hits is None:
                hits = self._hits_of(glance, spot, values)
            if hits:
                struck = True
                self._struck[here] = hits
                self._note(product, glance, spot, hits)
            else:
                glance.fine.add(values)
        return struck

    def _hits_of(self, glance: Glance, spot: Spot, values: Values) -> dict[Key, Seen]:
        """What the checks find, by rule, words and place."""
        state = self.cells.state(glance.variables, values, spot.area)
        world = self.cells.world
        visit = Visit(world, spot.part, spot.step, spot.phrase, state, self._blank)
        return {
            (finding.rule.slug, finding.message, id(spot.phrase or spot.part)): (check, sight)
            for check, sight in glance.checks
            for finding in check.look(visit)
        }

    def _note(
        self, product: Product, glance: Glance, spot: Spot, hits: dict[Key, Seen]
    ) -> None:
        """Remembers what is new, and of what is found again on what it depends here."""
        concerned = product.touching((*glance.variables, *glance.unworn))
        asked = product.given.union(*(part.asked for part in concerned))
        for (slug, message, place), seen in hits.items():
            known = self.hits.get((slug, message, place))
            if known is None:
                self.hits[slug, message, place] = Hit(
                    *seen,
                    spot.part,
                    spot.step,
                    spot.phrase,
                    slug,
                    message,
                    spot.round,
                    spot.inside,
                    asked,
                )
            elif known.round == spot.round and not asked <= known.asked | known.also:
                also = known.also | (asked - known.asked)
                self.hits[slug, message, place] = replace(known, also=also)


def is_fine(product: Product, deed: Deed, area: str) -> bool:
    """Whether it is remembered that no check finds anything in a set before a deed."""
    look = deed.looks.get((area, product.marks & deed.seen))
    if look is None:
        return False
    home = product.home
    return tuple([home[v] for v in look.reads]) in look.fine


def _is_not_worn(item: ItemState) -> bool:
    return item.where is not Where.WORN
