"""Acts on the setup of the next ball. They never touch a ball that is already stored."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from rangelog.core import scales
from rangelog.core.errors import OffScale, Refused
from rangelog.core.player import Club
from rangelog.core.setting import Setting
from rangelog.core.setup import Setup
from rangelog.core.units import notches
from rangelog.core.words import Lever, Surface, Swing
from rangelog.logbook import spoken
from rangelog.logbook.desk import Desk
from rangelog.logbook.view import Echo

FIRST_SETTING = Setting(bow=0.0, grip=30.0)
"""Offered before anything is known of a player: a flat wrist and a neutral grip (common practice, no source)."""


class Stating:
    """The setup: one step a key, or any part of it at once."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    @property
    def setup(self) -> Setup:
        """The setup the next ball will be stored with."""
        return self._desk.state.setup

    def offered(self) -> Setting:
        """The setting offered while none is stated: the last one stated in the book, or the first setting."""
        return self._desk.state.offer or FIRST_SETTING

    def step(self, lever: str, direction: int, *, half: bool = False) -> Echo:
        """One step of bow, grip or ball position. At the end of the scale it is refused, and the old value stands.

        Where nothing was stated yet, the offered setting is stated first and then moved.
        """
        offer = self.offered()
        setup = self.setup
        if not setup.stated:
            setup = replace(setup, bow=offer.bow if setup.bow is None else setup.bow, grip=offer.grip if setup.grip is None else setup.grip)
        assert setup.bow is not None
        assert setup.grip is not None
        if lever == Lever.BOW:
            moved = setup.bow + direction * (0.5 if half else 1.0)
            return self._stepped("bow", setup, moved, scales.BOW_RANGE, notches(setup.bow))
        if lever == Lever.GRIP:
            return self._stepped("grip", setup, setup.grip + direction * scales.GRIP_STEP_DEG, scales.GRIP_RANGE, f"{setup.grip:g}")
        moved = setup.position_balls + direction * scales.POSITION_STEP
        return self._stepped("position_balls", setup, moved, scales.POSITION_RANGE, spoken.position(setup.position_balls))

    def _stepped(self, name: str, setup: Setup, moved: float, legal: tuple[float, float], kept: str) -> Echo:
        if not legal[0] <= moved <= legal[1]:
            word = "Ball position" if name == "position_balls" else name.capitalize()
            return Echo(f"{word} runs {legal[0]:g} to {legal[1]:g}. Kept {kept}.", "refused")
        parts: dict[str, Any] = {name: moved}
        return self._state(replace(setup, **parts))

    def set_setup(self, **parts: Any) -> Echo:
        """State any part of the setup.

        Raises:
            OffScale: a value off its scale; nothing is changed.
        """
        try:
            setup = replace(self.setup, **{name: _typed(name, value) for name, value in parts.items()})
        except OffScale as error:
            kept = getattr(self.setup, error.field, None)
            raise OffScale(error.field, str(error), "" if kept is None else f"Kept {kept:g}.") from None
        if setup.club_id and setup.club_id not in self._desk.clubs:
            raise Refused("That club is not in the bag.", "Add it first.")
        return self._state(setup)

    def take_hint(self) -> Echo:
        """Take the setting the hint proposes. Raises Refused where it proposes none."""
        hint = self._desk.state.hint
        setting = hint.setting if hint else None
        if setting is None and not self.setup.stated:
            setting = self.offered()
        if setting is None:
            raise Refused("The hint asks for no other setup.")
        return self._state(self.setup.at(setting))

    def _state(self, setup: Setup) -> Echo:
        if setup == self.setup:
            return Echo(f"Next: {spoken.setup(setup)}.")
        saved = self._desk.save_state(self._desk.state.stating(setup))
        stick = " Stick off for full swings." if setup.stick and setup.swing is Swing.FULL else ""
        return self._desk.said(saved, f"Next: {spoken.setup(setup)}.{stick}", "changed", doubtful=bool(stick))

    def bag(self) -> list[Club]:
        """The clubs of the bag."""
        return list(self._desk.clubs.values())

    def add_club(self, name: str, loft_deg: float | None) -> Echo:
        """A new club, with its own line. A renamed club is a new club; history keeps the old.

        Raises:
            OffScale: no name, or a loft outside 5-70 deg. Refused: a club of that name is there.
        """
        cleaned = " ".join(name.split())
        if not cleaned or not cleaned.isprintable():
            raise OffScale("club", "A club needs a name.")
        if any(club.name.casefold() == cleaned.casefold() for club in self._desk.clubs.values()):
            raise Refused(f"{cleaned} is in the bag.", "A club whose loft changed needs a new name.")
        loft = None if loft_deg is None else scales.number("loft", loft_deg, *scales.LOFT_RANGE, "deg")
        club = Club(self._desk.new_id(), cleaned, loft)
        saved = self._desk.write(lambda book: book.add_club(club))
        self._desk.clubs[club.id] = club
        return self._desk.said(saved, f"{club.label} is in the bag.", "changed")


def _typed(name: str, value: Any) -> Any:
    if name == "swing":
        return scales.word("swing", value, Swing)
    if name == "surface":
        return scales.word("surface", value, Surface)
    if value is not None and name in {"bow", "grip", "position_balls"}:
        return {"bow": scales.bow, "grip": scales.grip, "position_balls": scales.position}[name](value)
    return value
