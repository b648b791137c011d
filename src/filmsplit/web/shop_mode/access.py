"""The list of who is let in: kept in a file of the shop, changed here and nowhere else.

Not in the records: a list of tablets and PINs is nothing that a shop exports, imports or corrects by a later entry.
"""

from __future__ import annotations

import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from filmsplit.formats.press_file import read_text
from filmsplit.formats.replace_file import write_file
from filmsplit.messages import Problem, Refusal
from filmsplit.web.shop_mode.people import Admitted, Code, Person, Role, Tablet, Tries, from_text, to_text
from filmsplit.web.shop_mode.pins import (
    LEAST_DIGITS,
    MOST_DIGITS,
    after_wrong,
    code_digest,
    digest,
    is_pin,
    new_code,
    pin_hash,
)

FILE = ".filmsplit-admitted.json"
CODE_LASTS_S = 24 * 3600.0
LONGEST_NAME = 60
MOST_PEOPLE, MOST_TABLETS, MOST_CODES = 200, 64, 20


@dataclass(slots=True)
class Access:
    """Who may come in. Every change is on the disk before it counts. ``clock`` gives seconds since 1970."""

    folder: Path
    clock: Callable[[], float] = time.time
    admitted: Admitted = field(init=False)
    _changing: threading.RLock = field(default_factory=threading.RLock, init=False)

    def __post_init__(self) -> None:
        file = self.folder / FILE
        self.admitted = from_text(read_text(file), file=str(file)) if file.exists() else Admitted()

    # Tablets ----------------------------------------------------------------------------------------------------------

    def code(self) -> str:
        """A new pairing code, to be used once."""
        with self._changing:
            made = new_code()
            kept = [each for each in self.admitted.codes if each.until_s > self.clock()][-(MOST_CODES - 1) :]
            new = Code(digest=code_digest(made), until_s=self.clock() + CODE_LASTS_S)
            self._keep(replace(self.admitted, codes=(*kept, new)))
            return made

    def pair(self, typed: str) -> str:
        """Use a code up, and give the secret of the new tablet; :class:`Refusal` where there is no such code."""
        with self._changing:
            self._wait_over(self.admitted.tries)
            found = next((each for each in self.admitted.codes if each.digest == code_digest(typed)), None)
            if found is None or found.until_s <= self.clock():
                tries = after_wrong(self.admitted.tries, now_s=self.clock())
                self._keep(replace(self.admitted, tries=tries))
                raise Refusal(Problem("shop-code-wrong"))
            if len(self.admitted.tablets) >= MOST_TABLETS:
                raise Refusal(Problem("shop-tablets-many", {"most": MOST_TABLETS}))
            secret = secrets.token_hex(32)
            number = self.admitted.next_number
            tablet = Tablet(number=number, digest=digest(secret), paired_on=date.today().isoformat())
            self._keep(
                replace(
                    self.admitted,
                    codes=tuple(each for each in self.admitted.codes if each is not found),
                    tablets=(*self.admitted.tablets, tablet),
                    tries=Tries(),
                    next_number=number + 1,
                )
            )
            return secret

    def tablet(self, secret: str) -> Tablet | None:
        """The tablet with this secret; ``None`` for one that was never paired, or whose right was taken away."""
        made = digest(secret)
        return next((each for each in self.admitted.tablets if secrets.compare_digest(each.digest, made)), None)

    def revoke(self, number: int) -> None:
        """Let a tablet in no more."""
        with self._changing:
            kept = tuple(each for each in self.admitted.tablets if each.number != number)
            self._keep(replace(self.admitted, tablets=kept))

    # People -----------------------------------------------------------------------------------------------------------

    def add(self, name: str, role: Role, *, pin: str = "") -> None:
        """Put somebody on the list, or change role and PIN of who is on it."""
        name = " ".join(name.split())
        if not 0 < len(name) <= LONGEST_NAME or not name.isprintable():
            raise Refusal(Problem("shop-name-unusable", {"most": LONGEST_NAME}))
        if pin and not (pin.isascii() and pin.isdecimal() and LEAST_DIGITS <= len(pin) <= MOST_DIGITS):
            raise Refusal(Problem("shop-pin-unusable", {"least": LEAST_DIGITS, "most": MOST_DIGITS}))
        with self._changing:
            others = tuple(each for each in self.admitted.people if each.name != name)
            if len(others) >= MOST_PEOPLE:
                raise Refusal(Problem("shop-people-many", {"most": MOST_PEOPLE}))
            person = Person(name=name, role=role, pin=pin_hash(pin) if pin else "")
            self._keep(replace(self.admitted, people=(*others, person)))

    def remove(self, name: str) -> None:
        """Take somebody off the list, and off every tablet."""
        with self._changing:
            people = tuple(each for each in self.admitted.people if each.name != name)
            tablets = tuple(replace(each, person="") if each.person == name else each for each in self.admitted.tablets)
            self._keep(replace(self.admitted, people=people, tablets=tablets))

    def person(self, name: str) -> Person | None:
        """Somebody on the list."""
        return next((each for each in self.admitted.people if each.name == name), None)

    def choose(self, tablet: int, name: str, *, pin: str = "") -> str:
        """Let somebody use a tablet, and give the tablet's new secret: the one before counts no longer.

        :class:`Refusal` where the name is not on the list, the PIN is wrong, or too many were.
        """
        with self._changing:
            found = self.person(name)
            if found is None:
                raise Refusal(Problem("shop-person-unknown", {"name": name[:LONGEST_NAME]}))
            self._wait_over(found.tries)
            right = not found.pin or is_pin(pin, found.pin)
            tries = Tries() if right else after_wrong(found.tries, now_s=self.clock())
            people = tuple(replace(each, tries=tries) if each.name == name else each for each in self.admitted.people)
            secret = secrets.token_hex(32)
            tablets = tuple(
                replace(each, person=name, digest=digest(secret)) if right and each.number == tablet else each
                for each in self.admitted.tablets
            )
            self._keep(replace(self.admitted, people=people, tablets=tablets))
        if not right:
            raise Refusal(Problem("shop-pin-wrong"))
        return secret

    def leave(self, tablet: int) -> None:
        """Nobody uses the tablet any more; it stays paired."""
        with self._changing:
            tablets = tuple(
                replace(each, person="") if each.number == tablet else each for each in self.admitted.tablets
            )
            self._keep(replace(self.admitted, tablets=tablets))

    def _wait_over(self, tries: Tries) -> None:
        left_s = tries.until_s - self.clock()
        if left_s > 0:
            raise Refusal(Problem("shop-wait", {"seconds": int(left_s) + 1}))

    def _keep(self, admitted: Admitted) -> None:
        file = self.folder / FILE
        write_file(file, to_text(admitted).encode(), over=True)
        file.chmod(0o600)
        self.admitted = admitted
