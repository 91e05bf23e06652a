"""Which balls a review looks at, and the words for it in its first line."""

from collections.abc import Mapping
from dataclasses import dataclass

from rangelog.core.ball import Ball
from rangelog.core.words import BlockKind, Surface, Swing


@dataclass(frozen=True, slots=True)
class Filter:
    """A choice of balls. Voided balls and warm-up balls never enter unless the warm-up itself is asked for.

    Attributes:
        since, until: dates, YYYY-MM-DD, both included; empty for no limit.
        session_id: one session only.
        clubs: club ids; empty for all.
        surface, stick, swing: None for all.
        blocks: block kinds; empty for all but the warm-up. A ball outside any block counts as free.
        counted: True for counted balls, False for uncounted, None for both.
    """

    since: str = ""
    until: str = ""
    session_id: str = ""
    clubs: frozenset[str] = frozenset()
    surface: Surface | None = None
    stick: bool | None = None
    swing: Swing | None = None
    blocks: frozenset[BlockKind] = frozenset()
    counted: bool | None = True

    def keeps(self, ball: Ball, block: BlockKind | None = None, date: str = "") -> bool:
        """Whether a ball passes, given the kind of its block and the date of its session."""
        setup = ball.setup
        return (
            not ball.voided
            and (self.counted is None or ball.counted == self.counted)
            and (not self.since or date >= self.since)
            and (not self.until or date <= self.until)
            and (not self.session_id or ball.session_id == self.session_id)
            and (not self.clubs or setup.club_id in self.clubs)
            and (self.surface is None or setup.surface == self.surface)
            and (self.stick is None or setup.stick == self.stick)
            and (self.swing is None or setup.swing == self.swing)
            and ((block or BlockKind.FREE) in self.blocks if self.blocks else block is not BlockKind.WARM_UP)
        )

    def text(self, club_names: Mapping[str, str] | None = None) -> str:
        """The words for it: "counted, stick on, 28 deg iron, since 2026-05-01"."""
        names = club_names or {}
        parts = [{True: "counted", False: "uncounted", None: "counted or not"}[self.counted]]
        if self.blocks:
            parts.append(" and ".join(kind for kind in BlockKind if kind in self.blocks))
        if self.clubs:
            parts.append(" and ".join(sorted(names.get(club, club) for club in self.clubs)))
        if self.swing is not None:
            parts.append(f"{self.swing} swing")
        if self.stick is not None:
            parts.append("stick on" if self.stick else "stick off")
        if self.surface is not None:
            parts.append(self.surface)
        if self.session_id:
            parts.append("one session")
        if self.since:
            parts.append(f"since {self.since}")
        if self.until:
            parts.append(f"until {self.until}")
        return ", ".join(parts)


EVERYTHING = Filter(counted=None)
