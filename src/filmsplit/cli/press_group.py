"""The commands of `filmsplit press`, put together."""

from __future__ import annotations

from filmsplit.cli.edit_commands import contacts, new, rollers, set_
from filmsplit.cli.learn_command import learn
from filmsplit.cli.press_commands import press

for command in (new, set_, rollers, contacts, learn):
    press.add_command(command)

__all__ = ["press"]
