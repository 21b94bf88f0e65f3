"""The command line: one word, then a verb."""

import sys
from importlib import import_module

import click

from siteplan.errors import DamagedFileError, SiteFileError, SitePlanError, WriteError

VERBS = {
    "check": "list what stands against the site",
    "sheets": "draw the permit sheets into a folder",
    "swing": "gaps of a leaf at an angle, or its first contacts",
    "arm": "links of an arm, how it runs, what was measured after the pour",
    "new": "start a site file",
    "open": "open the window",
}
STOPPED, INCOMPLETE, NOT_UNDERSTOOD, DAMAGED, CANNOT_WRITE, OUR_FAULT = 1, 2, 3, 4, 5, 9


class Verbs(click.Group):
    """Loads the module of a verb only when the verb is called: checking a file must not wait for a window."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the verbs in the order they are explained."""
        del ctx
        return list(VERBS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return a verb."""
        del ctx
        if cmd_name not in VERBS:
            return None
        command: click.Command = import_module(f"siteplan.commands.{cmd_name}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the verbs without loading them."""
        del ctx
        with formatter.section("Verbs"):
            formatter.write_dl(list(VERBS.items()))


@click.group(cls=Verbs, invoke_without_command=True)
@click.version_option(package_name="siteplan")
@click.pass_context
def program(ctx: click.Context) -> None:
    """Site plans for automated vehicular swing gates.

    A drawing aid, not an approval: local code and licensed practice prevail.  Without a verb, the window opens.
    """
    if ctx.invoked_subcommand is None:
        ctx.invoke(import_module("siteplan.commands.open").command)


def exit_code_of(error: SitePlanError) -> int:
    """Return the exit code of an error."""
    match error:
        case WriteError():
            return CANNOT_WRITE
        case DamagedFileError():
            return DAMAGED
        case SiteFileError():
            return NOT_UNDERSTOOD
        case _:
            return NOT_UNDERSTOOD


def main() -> None:
    """Run the command line and leave with the exit code of what happened."""
    try:
        code = program.main(standalone_mode=False)
    except click.ClickException as error:
        error.show()
        code = NOT_UNDERSTOOD
    except click.Abort:
        code = NOT_UNDERSTOOD
    except SitePlanError as error:
        click.echo(str(error), err=True)
        code = exit_code_of(error)
    except BrokenPipeError:
        code = 0
    except Exception as error:  # noqa: BLE001 - running a command is one of the three places that catch everything
        click.echo(f"This is our fault, not yours: {type(error).__name__}: {error}", err=True)
        code = OUR_FAULT
    sys.exit(code if isinstance(code, int) else 0)
