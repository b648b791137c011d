"""The entry point: find the command, run it, and turn whatever goes wrong into plain words."""

from __future__ import annotations

import sys
from importlib import import_module
from typing import Any

import click

from filmsplit import __version__
from filmsplit.messages import Refusal, label

_COMMANDS = {
    "demo": "filmsplit.cli.demo_command:demo",
    "press": "filmsplit.cli.press_group:press",
    "setup": "filmsplit.cli.setup_command:setup",
    "foresee": "filmsplit.cli.foresee_command:foresee",
    "which-press": "filmsplit.cli.study_command:which_press",
    "study": "filmsplit.cli.study_command:study",
    "run-down": "filmsplit.cli.run_down_command:run_down",
    "film": "filmsplit.cli.film_command:film",
    "marks": "filmsplit.cli.marks_commands:marks",
    "stripe": "filmsplit.cli.stripe_command:stripe",
    "as-found": "filmsplit.cli.as_found_command:as_found",
    "setting": "filmsplit.cli.setting_command:setting",
    "packing": "filmsplit.cli.packing_command:packing",
    "stripe-picture": "filmsplit.cli.stripe_picture_command:stripe_picture",
    "repeats": "filmsplit.cli.marks_commands:repeats",
    "procedure": "filmsplit.cli.procedure_commands:procedure",
    "job": "filmsplit.cli.job_group:job",
    "roller": "filmsplit.cli.roller_commands:roller",
    "reading": "filmsplit.cli.reading_commands:reading",
    "stripe-map": "filmsplit.cli.stripe_map_command:stripe_map",
    "care": "filmsplit.cli.care_commands:care",
    "due": "filmsplit.cli.care_commands:due",
    "year-plan": "filmsplit.cli.year_plan_command:year_plan",
    "order": "filmsplit.cli.care_commands:order",
    "spares": "filmsplit.cli.spare_commands:spares",
    "grind": "filmsplit.cli.spare_commands:grind",
    "solution": "filmsplit.cli.solution_commands:solution",
    "instrument": "filmsplit.cli.instrument_commands:instrument",
    "records": "filmsplit.cli.records_commands:records_group",
    "serve": "filmsplit.cli.serve_command:serve",
    "words": "filmsplit.cli.words_command:words",
}
_NOT_DONE = 2
"""Exit code of a refusal: nothing was done."""
_FAULT = 3
"""Exit code of a fault of our own."""
_INTERRUPTED = 130


class LazyGroup(click.Group):
    """A group that imports a command's module only when the command is asked for, so that help comes at once."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - the signature is click's
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        if cmd_name not in _COMMANDS:
            return None
        module, name = _COMMANDS[cmd_name].split(":")
        command: click.Command = getattr(import_module(module), name)
        return command


@click.group(cls=LazyGroup, help=label("cli.main"), context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, "--version", prog_name="filmsplit", message="%(prog)s %(version)s")
def filmsplit() -> None:
    """All commands hang here."""


def main(arguments: list[str] | None = None) -> Any:
    """Run the command line. A refusal is printed with its remedy and leaves with code 2."""
    try:
        return filmsplit.main(args=arguments, prog_name="filmsplit", standalone_mode=False)
    except click.exceptions.Exit as done:
        sys.exit(done.exit_code)
    except click.ClickException as wrong:
        wrong.show()
        sys.exit(wrong.exit_code)
    except (KeyboardInterrupt, click.Abort):
        click.echo(label("cli.interrupted"), err=True)
        sys.exit(_INTERRUPTED)
    except BrokenPipeError:
        # A pager or `head` that has seen enough closes the pipe; that is no error of the person's.
        sys.stderr.close()
        sys.exit(0)
    except Refusal as refusal:
        from filmsplit.cli.problems import echo_refusal  # noqa: PLC0415 - only a refusal needs it

        echo_refusal(refusal)
        sys.exit(_NOT_DONE)
    except Exception as fault:  # the last catch: a person gets words, whatever happened
        from filmsplit.cli.problems import echo_fault  # noqa: PLC0415 - only a fault needs it

        echo_fault(fault)
        sys.exit(_FAULT)
