"""Every rule, once, in manual order; the checks that raise them; and one run of all checks."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.analysis.explore import Exploration
from compiler.analysis.hits import Hit, TooManyStatesError
from compiler.analysis.memory import Memory
from compiler.analysis.visits import Check
from compiler.analysis.witness import Ways, witnessed
from compiler.analysis.world import Setting, World
from compiler.findings import Finding, Level, Mark, Rule, in_reading_order
from compiler.model import (
    form,
    names,
    questions,
    read_head,
    read_kit,
    read_parts,
    read_steps,
    sign_offs,
    translate,
)
from compiler.model.clinic import Clinic
from compiler.model.kit import Kit
from compiler.model.protocol import Protocol, Waiver
from compiler.rules import (
    dirty_to_clean,
    disinfecting,
    hand_hygiene,
    integrity,
    keeping,
    places,
    protection,
    reuse,
    sheet,
    themes,
    translations,
    wording,
)
from compiler.syntax import limits, markdown, phrase, yaml
from compiler.wording import catalogue, packaged

TOO_MANY_WAYS = Rule(
    "too-many-ways",
    Level.MUST,
    "More different situations at one step than can be followed.",
    waivable=False,
)
WAIVER_UNUSED = Rule(
    "waiver-unused",
    Level.SHOULD,
    "A waiver accepts a finding that does not occur.",
    waivable=False,
)
WAIVER_REFUSED = Rule(
    "waiver-refused",
    Level.MUST,
    "A waiver accepts a finding that cannot be accepted, or that no rule makes.",
    waivable=False,
)

FAMILIES: dict[str, tuple[Rule, ...]] = {
    "reading": (
        *limits.RULES,
        *yaml.RULES,
        *markdown.RULES,
        *phrase.RULES,
        *form.RULES,
        *names.RULES,
        *read_kit.RULES,
        *read_head.RULES,
        *read_parts.RULES,
        *read_steps.RULES,
        *questions.RULES,
    ),
    "integrity": (*integrity.RULES, *places.RULES),
    "hand hygiene": hand_hygiene.RULES,
    "dirty to clean": dirty_to_clean.RULES,
    "protection": protection.RULES,
    "reuse": (*reuse.RULES, *disinfecting.RULES),
    "proof": (TOO_MANY_WAYS, WAIVER_UNUSED, WAIVER_REFUSED),
    "wording": wording.RULES,
    "keeping": (*keeping.RULES, *sign_offs.RULES),
    "translation": (
        *catalogue.RULES,
        *packaged.RULES,
        *translate.RULES,
        *translations.RULES,
    ),
    "sheet": sheet.RULES,
    "theme": themes.RULES,
}

_CHECKS = (
    *integrity.CHECKS,
    *places.CHECKS,
    *hand_hygiene.CHECKS,
    *dirty_to_clean.CHECKS,
    *protection.CHECKS,
    *reuse.CHECKS,
    *disinfecting.CHECKS,
)


def rules() -> dict[str, Rule]:
    """All rules by slug, in manual order."""
    return {rule.slug: rule for family in FAMILIES.values() for rule in family}


PROVED = ("integrity", "hand hygiene", "dirty to clean", "protection", "reuse")
"""Families of findings that come from following the steps."""
WAIVABLE = (*PROVED, "wording")
"""Families whose findings can be waived."""


def waivable(rule: Rule) -> bool:
    """Whether an author may accept findings of a rule."""
    return rule.waivable and any(rule in FAMILIES[family] for family in WAIVABLE)


def _by_phrase() -> dict[type, list[Check]]:
    table: dict[type, list[Check]] = {}
    for check in _CHECKS:
        for kind in check.kinds:
            table.setdefault(kind, []).append(check)
    return table


_CHECKS_OF = _by_phrase()


def check(
    protocol: Protocol, clinic: Clinic, kit: Kit, memory: Memory | None = None
) -> list[Finding]:
    """All findings of the analysis and of the words, waivers applied, in reading order.

    Args:
        protocol: What to look at.
        clinic: Its clinic.
        kit: The kit.
        memory: What is remembered from other protocols with the same clinic and kit.
    """
    memory = memory or Memory(Setting(clinic, kit))
    world = World(protocol, clinic, kit, memory.setting)
    exploration = Exploration(world, _CHECKS_OF, memory)
    findings: list[Finding] = []
    try:
        exploration.run()
    except TooManyStatesError as stopped:
        place = stopped.step.at if stopped.step else stopped.part.at
        findings.append(
            Finding(
                rule=TOO_MANY_WAYS,
                message="More different situations meet at this step than can be followed.",
                at=Mark(place, "given up here"),
                remedy="split the protocol, or ask fewer questions that bear on the same items",
            )
        )
    ways = Ways(world)
    findings += (_told(ways, hit) for hit in exploration.hits)
    findings += reuse.reusable_never_kept(world)
    findings += wording.checked(protocol, clinic, kit)
    return in_reading_order(_waived(findings, protocol.waivers))


def _told(ways: Ways, hit: Hit) -> Finding:
    """The finding of a hit, with a way to it if one can be had in reasonable time."""
    finding = witnessed(ways, hit)
    if finding:
        return finding
    span = hit.phrase.at if hit.phrase else (hit.step.at if hit.step else hit.part.at)
    return Finding(rules()[hit.slug], hit.message, Mark(span), round=hit.round)


def _waived(findings: list[Finding], waivers: Iterable[Waiver]) -> list[Finding]:
    known = rules()
    for waiver in waivers:
        rule = known.get(waiver.slug)
        if rule is None or not waivable(rule):
            why = "there is no such rule" if rule is None else "this rule cannot be waived"
            findings.append(
                Finding(
                    WAIVER_REFUSED,
                    f'The waiver of "{waiver.slug}" has no effect: {why}.',
                    Mark(waiver.at, "waived here"),
                    remedy="remove it and mend the protocol",
                )
            )
            continue
        left = [f for f in findings if f.rule is not rule]
        if len(left) == len(findings):
            left.append(
                Finding(
                    WAIVER_UNUSED,
                    f'The waiver of "{waiver.slug}" accepts nothing: no such finding occurs.',
                    Mark(waiver.at, "waived here"),
                    remedy="remove it",
                )
            )
        findings = left
    return findings
