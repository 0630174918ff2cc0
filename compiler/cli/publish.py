"""`wallward publish`: a valid, signed and complete text becomes an edition."""

from __future__ import annotations

import datetime
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

import click

from compiler.check_code import shown
from compiler.cli.day import on_option
from compiler.cli.refused import tell_refused
from compiler.cli.whole_set import languages_of, whole_set
from compiler.editions.publishing import Order, Published, publish
from compiler.editions.refusal import RefusedError
from compiler.printing import print_sheets
from compiler.products.theme_choice import chosen
from compiler.task import Sheet, Task

HELP = """Publish the signed text of a set as its next edition.

Refused, with all reasons, unless nothing must be fixed, the sign-offs cover just this text, and
every language asked for is translated and reviewed. The edition is written whole or not at all:
sheets without DRAFT, a page that links everything, the text as signed, a record, and a file for
the print shop. A web server or a shared drive can hold the folder as it is.

\b
Examples:
  wallward sign our-clinic --signed-by "reviewer A" --role "Ward nurse"
  wallward publish our-clinic
  wallward publish our-clinic --language en --into for-one-ward

Exit status: 0 published, or just this was published before; 1 refused; 2 wrong use, unreadable
input, or the folder cannot be written.
"""


@click.command("publish", help=HELP)
@click.argument("path", required=False, type=click.Path(path_type=Path))
@click.option(
    "--into",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("published"),
    show_default=True,
    help="The folder of editions.",
)
@click.option("--language", "languages", multiple=True, help="Only this one; may be repeated.")
@click.option("--theme", default="", help="A name or folder, instead of the clinic's look.")
@click.option(
    "--unreviewed",
    is_flag=True,
    help="Publish translations that nobody has reviewed, too; their sheets say so.",
)
@click.option(
    "--signers",
    type=click.Path(path_type=Path, dir_okay=False, exists=True),
    help="Who may sign, instead of the file in the set.",
)
@on_option
def command(
    path: Path | None,
    into: Path,
    languages: tuple[str, ...],
    theme: str,
    unreviewed: bool,
    signers: Path | None,
    on: datetime.date,
) -> int:
    """Publishes, and names the codes that must come off the walls."""
    protocol_set = whole_set(path)
    look = chosen(theme, protocol_set.clinic, protocol_set.folder)
    wanted = languages_of(protocol_set, languages)
    order = Order(into, wanted, on, look, unreviewed, signers)
    try:
        published = publish(protocol_set, order, _with_a_bar)
    except RefusedError as refused:
        tell_refused(refused, "not published", len(protocol_set.protocols), sys.stderr)
        return 1
    _tell(published, into)
    return 0


def _with_a_bar(tasks: Iterable[Task], into: Path) -> Iterator[Sheet]:
    wanted = list(tasks)
    with click.progressbar(
        print_sheets(wanted, into),
        length=len(wanted),
        label="sheets",
        file=sys.stderr,
        show_pos=True,
    ) as bar:
        yield from bar


def _tell(published: Published, into: Path) -> None:
    record = published.record
    files = sum(len(sheet.files) for sheet in record.sheets)
    how = "is this content already, nothing was written" if published.before else "is current"
    click.echo(f"edition {record.edition} of {record.published} {how}")
    click.echo(
        f"  {files} files of {len(record.sheets)} sheets in {published.folder.as_posix()}"
    )
    click.echo(f"  begin with {(into / 'index.html').as_posix()}")
    if published.dropped:
        click.echo(f"  no longer in these languages: {', '.join(published.dropped)}")
    if published.down:
        click.echo("to come off the walls:")
    for code, name in published.down:
        click.echo(f"  {shown(code)}  {name}")
