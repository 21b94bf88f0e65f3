"""``siteplan new``: start a site file."""

from pathlib import Path
from typing import get_args

import click

from siteplan.errors import WriteError
from siteplan.model.document import DEFAULT_PACK, Document
from siteplan.model.gate import Gate, Leaf, Post
from siteplan.model.project import Project, Units
from siteplan.rules.limits import shipped_pack
from siteplan.storage.safe_save import save_site

OPENING_MM = 3657.6  # 12 ft between post faces
POST_MM = 152.4
STAND_OFF_MM = 76.2  # hinge axis to post face
CLOSING_GAP_MM = 50.8


@click.command("new")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--units", type=click.Choice(get_args(Units)), default="ftin", help="Units of the job.")
@click.option("--pack", default=DEFAULT_PACK, help="Rule pack.")
def command(file: Path, units: Units, pack: str) -> int:
    """Start the site file FILE with one 12-ft gate, every number of it a guess to be measured."""
    if file.exists():
        raise WriteError(f"{file} is there already; choose another name.")
    save_site(first_document(file.stem, units, shipped_pack(pack).name), file)
    click.echo(f"Started {file}: every number in it is a guess until you measure it.")
    return 0


def first_document(title: str, units: Units, pack: str = DEFAULT_PACK) -> Document:
    """Return a site with two posts and one leaf, nothing of it measured."""
    return Document(
        project=Project(title=title, units=units),
        posts=(
            Post(id="PA", at=(-STAND_OFF_MM - POST_MM / 2, 0.0), hinge=(0.0, 0.0), size_mm=POST_MM),
            Post(id="PB", at=(OPENING_MM - STAND_OFF_MM + POST_MM / 2, 0.0), size_mm=POST_MM),
        ),
        leaves=(
            Leaf(id="A", post="PA", hinges="left", swings="in", length_mm=OPENING_MM - STAND_OFF_MM - CLOSING_GAP_MM),
        ),
        gates=(Gate(id="G", leaves=("A",), latch_post="PB"),),
        pack=pack,
    )
