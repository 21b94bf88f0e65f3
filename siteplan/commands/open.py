"""``siteplan open``: the window."""

from pathlib import Path

import click


@click.command("open")
@click.argument("file", type=click.Path(path_type=Path), required=False)
def command(file: Path | None = None) -> int:
    """Open the window, with the site of FILE when one is given."""
    from siteplan.commands.export_sheets import export_sheets
    from siteplan.windows.start import run_window  # the other verbs must not wait for Qt

    return run_window(file, export_sheets)
