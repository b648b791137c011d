"""One who knows all that nobody sees of a simulated press, and sets it by the same rules and with the same hand.

What it does not reach either is out of reach by construction: the travel of a pass, the steps that turns are told in,
the hand, three passes.
"""

from __future__ import annotations

import numpy as np

from condition.setting_trial import MOST_PASSES
from condition.simulated_press import Habit, SimulatedPress, TrueContact, engagement_mm
from filmsplit.condition.setting_advice import BLIND_MM, PART_OF_TRAVEL, STEP_DEG
from filmsplit.condition.setting_belief import SIDES
from filmsplit.condition.setting_group import SetGroup

NEAR_MM = 0.2
"""A press so near its targets is left: another turn by hand would hardly better it."""


def oracle_off_mm(group: SetGroup, habit: Habit, *, seed: int) -> float:
    """How far the worst true stripe is off after at most three passes of one who knows."""
    press = SimulatedPress(group, habit, seed=seed)
    taken = np.zeros((len(group.contacts), 2))
    for _ in range(MOST_PASSES):
        if press.worst_off_mm() <= NEAR_MM:
            break
        moves = _moves_mm(press)
        part = _part(press, moves, taken=taken)
        for each, ends in zip(group.contacts, part * moves, strict=True):
            for index, move in enumerate(ends):
                _turn(press, each.id, index=index, move_mm=move)
        taken += part * moves
    return press.worst_off_mm()


def _moves_mm(press: SimulatedPress) -> np.ndarray:
    """What every nut has to move: the true effects of all, solved at once."""
    ids = list(press.contacts)
    effect = np.zeros((2 * len(ids), 2 * len(ids)))
    for column in range(2 * len(ids)):
        source, index = press.contacts[ids[column // 2]], column % 2
        for receiver, strengths in {ids[column // 2]: (1.0, 1.0), **source.coupled}.items():
            shares = [0.0, 0.0]
            shares[index] = strengths[index]
            row = 2 * ids.index(receiver)
            effect[row : row + 2, column] += press.contacts[receiver].moved(*shares)
    wanted = np.concatenate([_wanted_mm(press, true) for true in press.contacts.values()])
    return np.linalg.lstsq(effect, wanted, rcond=1e-6)[0].reshape(-1, 2)


def _wanted_mm(press: SimulatedPress, true: TrueContact) -> np.ndarray:
    """Ends that show the target where it holds, half of the bow shared with the middle."""
    warming = press.group.temperatures.target_holds_c - press.group.temperatures.cold_c
    right = engagement_mm(true.written.target_mm, cover_mm=true.cover_mm, radius_mm=true.radius_mm)
    right -= 3.0 * true.expansion * warming * true.cover_mm + 0.6 * true.bow_mm
    return right - np.array(true.ends_mm)


def _part(press: SimulatedPress, moves: np.ndarray, *, taken: np.ndarray) -> float:
    part = 1.0
    for each, ends, before in zip(press.group.contacts, moves, taken, strict=True):
        assert each.handles is not None
        for handle, move, took in zip(each.handles, ends, before, strict=True):
            left = handle.travel_left_mm
            most = BLIND_MM if left is None else PART_OF_TRAVEL * (left - took)
            part = min(part, max(most, 0.0) / move) if move > most else part
    return part


def _turn(press: SimulatedPress, contact: str, *, index: int, move_mm: float) -> None:
    """Ease past all of the true play, then tighten until the nut stands where it should."""
    screw = press.contacts[contact].screws[index]
    knob = screw.nut_deg + move_mm / screw.mm_per_deg + screw.play_deg
    net = STEP_DEG * round((knob - screw.knob_deg) / STEP_DEG)
    past = 2.0 * screw.play_deg + 10.0
    press.turn(contact, SIDES[index], ease_deg=past + max(-net, 0.0), tighten_deg=past + max(net, 0.0))
