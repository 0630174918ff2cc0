"""`wallward translate`: the .po files brought up to date with the text."""

from __future__ import annotations

from pathlib import Path

import click

from compiler.cli.screen import screen_style
from compiler.findings import Finding
from compiler.pipeline import ProtocolSet, open_set, to_translate
from compiler.report.text import text_report
from compiler.source import Source
from compiler.storage import TRANSLATIONS, find_sets, write_whole
from compiler.wording.update import update_catalogue

HELP = """Bring the translations up to date with the text of a protocol set.

For each language in clinic.yaml it writes translations/LANGUAGE/PROTOCOL.po, which any editor
for .po files opens. Texts that changed are marked; what is marked or empty is never printed.

\b
Examples:
  wallward translate
  wallward translate our-clinic
"""


@click.command("translate", help=HELP)
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
def command(paths: tuple[Path, ...]) -> int:
    """Writes the catalogues and tells what is left to do."""
    findings: list[Finding] = []
    for folder, files in find_sets(paths):
        findings += _update(open_set(folder, files), folder)
    if findings:
        click.echo(text_report(findings, 0, screen_style()), nl=False)
    return 1 if findings else 0


def _update(protocol_set: ProtocolSet, folder: Path) -> list[Finding]:
    findings: list[Finding] = []
    for language in protocol_set.foreign:
        for stem, title, texts in to_translate(protocol_set):
            path = folder / TRANSLATIONS / language / f"{stem}.po"
            old: Source | None = protocol_set.sources.get(f"{language}/{stem}.po")
            updated, told = update_catalogue(old, texts, language, title, folder.name)
            findings += told
            if not told and (old is None or updated.text != old.text):
                write_whole(path, updated.text.encode())
            click.echo(
                f"{path.as_posix()}: {updated.fresh} new, {updated.changed} changed, "
                f"{updated.retired} out of use"
            )
    return findings
