"""`wallward start`: a small set to begin from."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import click

from compiler.findings import UnreadableSourceError

HELP = """Write a small protocol set into FOLDER, to begin from.

It holds clinic.yaml, kit.yaml and one protocol, all three with notes on what to change. An
existing file is never overwritten.

\b
Example:
  wallward start our-clinic
  wallward validate our-clinic
"""


@click.command("start", help=HELP)
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
def command(folder: Path) -> int:
    """Copies the starter set."""
    starter = sorted(files("compiler").joinpath("starter").iterdir(), key=lambda f: f.name)
    starter = [file for file in starter if file.name.endswith((".yaml", ".md"))]
    there = [file.name for file in starter if (folder / file.name).exists()]
    if there:
        raise UnreadableSourceError(
            f"{folder.as_posix()}: {', '.join(there)} exists already and is left as it is; "
            "name a new folder"
        )
    folder.mkdir(parents=True, exist_ok=True)
    for file in starter:
        (folder / file.name).write_bytes(file.read_bytes())
        click.echo(f"wrote {(folder / file.name).as_posix()}")
    click.echo(f"next: wallward validate {folder.as_posix()}")
    return 0
