"""``siteplan check``: the trouble list of a site file."""

from pathlib import Path

import click
import msgspec

from siteplan.commands.main import INCOMPLETE, STOPPED
from siteplan.model.document import Document
from siteplan.reports.findings_text import line_of
from siteplan.rules.all_rules import troubles
from siteplan.rules.findings import SEVERITIES, Finding
from siteplan.rules.limits import pack_of
from siteplan.storage.site_file import read_site

CAUTION = (
    "Drawing aid only, not an approval: local law and licensed practice prevail. "
    "A moving gate can crush or kill; walk the site at every angle."
)


@click.command("check")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--pack", help="Judge against this rule pack instead of the one in the file.")
@click.option("--strict", is_flag=True, help="Leave with 1 for Guard findings too.")
@click.option("--complete", is_flag=True, help="Leave with 2 while something is not known.")
@click.option("--json", "as_json", is_flag=True, help="Every number and every finding as JSON.")
def command(file: Path, pack: str | None, strict: bool, complete: bool, as_json: bool) -> int:
    """List what stands against the site in FILE, worst first."""
    document = read_site(file).document
    if pack:
        document = msgspec.structs.replace(document, pack=pack)
    found = troubles(document)
    if as_json:
        from siteplan.reports.site_report import site_report  # the plain list must not wait for it

        click.echo(msgspec.json.format(msgspec.json.encode(site_report(document)), indent=1).decode())
    else:
        click.echo(as_text(document, found))
    return exit_code(found, strict=strict, complete=complete)


def as_text(document: Document, found: tuple[Finding, ...]) -> str:
    """Return the trouble list as text."""
    lines = [f"{document.project.title}: {counts(found)}"]
    lines += [
        f"[{'?' if finding.severity == 'Ask' else finding.severity}] {line_of(finding, document)}" for finding in found
    ]
    if not found:
        lines.append(f"Nothing found against pack {pack_of(document).label} by the checks listed.")
    return "\n".join((*lines, CAUTION))


def counts(found: tuple[Finding, ...]) -> str:
    """Return how many findings there are of each severity."""
    numbers = ((severity, sum(finding.severity == severity for finding in found)) for severity in SEVERITIES)
    return ", ".join(f"{number} {severity}" for severity, number in numbers)


def exit_code(found: tuple[Finding, ...], *, strict: bool, complete: bool) -> int:
    """Return the exit code of a trouble list."""
    severities = {finding.severity for finding in found}
    if "Stop" in severities or (strict and "Guard" in severities):
        return STOPPED
    return INCOMPLETE if complete and "Ask" in severities else 0
