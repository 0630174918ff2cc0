"""`wallward sign`: a reviewer's word on just this text."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from compiler.cli.day import on_option
from compiler.cli.refused import tell_refused
from compiler.cli.whole_set import languages_of, whole_set
from compiler.editions.refusal import RefusedError
from compiler.editions.signing import Asked, Signed, sign
from compiler.model.sign_offs import Proof, Verdict
from compiler.products.theme_choice import chosen

HELP = """Sign off the text of a set: who reviewed it, in which role, and with which verdict.

One line is added to sign-offs.txt in the set. It covers the clinic, the kit, all protocols, the
translations of the languages named, the theme and the version of the compiler; any change to
them voids it. The texts as signed are kept below sign-offs/, so that a change can be shown.
Keep both in version control.

\b
Examples:
  wallward sign --signed-by "reviewer A" --role "Infection prevention lead"
  wallward sign our-clinic --signed-by "reviewer B" --role Nurse --language en
  wallward sign --signed-by "reviewer B" --role Nurse --verdict refused

Exit status: 0 signed, 1 something must be fixed first, 2 wrong use or unreadable input.
"""


@click.command("sign", help=HELP)
@click.argument("path", required=False, type=click.Path(path_type=Path))
@click.option("--signed-by", "reviewer", required=True, help="The reviewer.")
@click.option("--role", required=True, help="In which role.")
@click.option(
    "--verdict",
    type=click.Choice([verdict.value for verdict in Verdict]),
    default=Verdict.APPROVED.value,
    show_default=True,
)
@click.option("--remark", default="", help="One line.")
@click.option("--language", "languages", multiple=True, help="Only this one; may be repeated.")
@click.option("--theme", default="", help="A name or folder, instead of the clinic's look.")
@click.option("--key", default="", help="Sign with this key: a key file, or a name with gpg.")
@click.option(
    "--with",
    "program",
    type=click.Choice([Proof.SSH.value, Proof.OPENPGP.value]),
    default=Proof.SSH.value,
    show_default=True,
    help="What the key is for: ssh-keygen or gpg signs.",
)
@on_option
def command(
    path: Path | None,
    reviewer: str,
    role: str,
    verdict: str,
    remark: str,
    languages: tuple[str, ...],
    theme: str,
    key: str,
    program: str,
    on: datetime.date,
) -> int:
    """Writes the line and says what it covers."""
    protocol_set = whole_set(path)
    look = chosen(theme, protocol_set.clinic, protocol_set.folder)
    asked = Asked(
        on,
        Verdict(verdict),
        reviewer.strip(),
        role.strip(),
        languages_of(protocol_set, languages),
        remark.strip(),
        look,
        Proof(program) if key else Proof.NONE,
        key,
    )
    try:
        signed = sign(protocol_set, asked)
    except RefusedError as refused:
        tell_refused(refused, "not signed", len(protocol_set.protocols), sys.stderr)
        return 1
    _tell(signed, protocol_set.folder or Path())
    return 0


def _tell(signed: Signed, folder: Path) -> None:
    sign_off = signed.sign_off
    how = "was signed so before" if signed.before else "signed"
    click.echo(f"{how}: {(folder / 'sign-offs.txt').as_posix()}, line {signed.line}")
    click.echo(
        f"  {sign_off.verdict.value} on {sign_off.day} by {sign_off.reviewer}, {sign_off.role}"
    )
    click.echo(f"  in {', '.join(sign_off.languages)}; {signed.files} files are covered")
    click.echo(f"  content {sign_off.content}")
    if sign_off.proof is not Proof.NONE:
        click.echo(f"  with a signature by {sign_off.proof.value}")
