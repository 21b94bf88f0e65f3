"""``siteplan sheets``: the permit sheets of a site file."""

from pathlib import Path

import click

from siteplan.commands.export_sheets import KINDS, export_sheets
from siteplan.storage.site_file import read_site


def _kinds(text: str) -> tuple[str, ...]:
    wanted = [part.strip().lower() for part in text.split(",") if part.strip()]
    unknown = [part for part in wanted if part not in KINDS]
    if unknown or not wanted:
        raise click.BadParameter(f"{text!r}: write one or more of {', '.join(KINDS)} with commas between.")
    return tuple(kind for kind in KINDS if kind in wanted)


@click.command("sheets")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--to", "folder", type=click.Path(path_type=Path), required=True, help="Folder to write into.")
@click.option("--as", "kinds", default=",".join(KINDS), help="Which files: dxf, png, pdf, with commas between.")
def command(file: Path, folder: Path, kinds: str) -> int:
    """Draw the permit sheets of FILE into a folder, true to scale."""
    document = read_site(file).document
    for path in export_sheets(document, folder, _kinds(kinds), lambda step: click.echo(step, err=True)):
        click.echo(str(path))
    return 0
