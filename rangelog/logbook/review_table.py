"""All balls of a book as columns of small numbers: read once in short runs, then any filter and any grouping costs milliseconds.

A hundred thousand balls take about 4 MB. Notes, times and ids are left in the book.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
import numpy.typing as npt

from rangelog.core import scales
from rangelog.core.ball import NO_DIRECTION
from rangelog.core.results import Setting
from rangelog.core.words import BlockKind, Height, Reason, Side, Strike, Surface, Swing
from rangelog.logbook.review_filter import Filter
from rangelog.logbook.review_tally import Tally

Mask = npt.NDArray[np.bool_]
Floats = npt.NDArray[np.float32]
Codes = npt.NDArray[np.signedinteger[Any]]

WORDS: dict[str, type[StrEnum]] = {
    "side": Side,
    "strike": Strike,
    "height": Height,
    "surface": Surface,
    "swing": Swing,
    "reason": Reason,
}
FLAGS = ("touched", "stick", "counted")
NONE = -1
"""Code of a word or an id that is not there."""

MOST_CODES = 4_000_000
"""Spread of codes up to which counting them costs less than sorting them."""

BY_NAME = {
    "bow": "bow_notches",
    "grip": "grip_deg",
    "position": "position_balls",
    "felt": "felt_bow_notches",
    "club": "club_id",
    "session": "session_id",
    "block": "block_id",
}
"""Short names of columns to group by; the others go by their own."""


@dataclass(frozen=True, slots=True)
class BallTable:
    """Balls that stand, in columns, in no promised order.

    Attributes:
        codes: words, flags and ids by column as whole numbers, NONE where there is none; "block" holds the kind of the block.
        numbers: degrees, notches and ball widths by column, NaN where there is none; "start_deg" has the aim correction in it.
        ids: what the codes of id columns stand for.
        dates: date of each session, by its code.
    """

    codes: dict[str, Codes]
    numbers: dict[str, Floats]
    ids: dict[str, list[str]]
    dates: list[str]

    def __len__(self) -> int:
        return len(self.numbers["start_deg"])

    def chosen(self, wanted: Filter) -> Mask:
        """Which balls pass a filter; the same choice as Filter.keeps."""
        mask: Mask = np.ones(len(self), dtype=np.bool_)
        if wanted.counted is not None:
            mask &= self.codes["counted"] == int(wanted.counted)
        if wanted.stick is not None:
            mask &= self.codes["stick"] == int(wanted.stick)
        if wanted.surface is not None:
            mask &= self.codes["surface"] == _code(wanted.surface)
        if wanted.swing is not None:
            mask &= self.codes["swing"] == _code(wanted.swing)
        if wanted.clubs:
            mask &= np.isin(self.codes["club_id"], [at for at, club in enumerate(self.ids["club_id"]) if club in wanted.clubs])
        if wanted.session_id or wanted.since or wanted.until:
            mask &= np.isin(self.codes["session_id"], self._sessions(wanted))
        kinds = self.codes["block"]
        warm_up = _code(BlockKind.WARM_UP)
        outside = {NONE} if BlockKind.FREE in wanted.blocks else set()
        mask &= np.isin(kinds, [*outside, *(_code(kind) for kind in wanted.blocks)]) if wanted.blocks else kinds != warm_up
        return mask

    def _sessions(self, wanted: Filter) -> list[int]:
        return [
            at
            for at, (session, date) in enumerate(zip(self.ids["session_id"], self.dates, strict=True))
            if (not wanted.session_id or session == wanted.session_id)
            and (not wanted.since or date >= wanted.since)
            and (not wanted.until or date <= wanted.until)
        ]

    def stated(self) -> Mask:
        """Both levers stated, stock ball position."""
        numbers = self.numbers
        mask: Mask = ~np.isnan(numbers["bow_notches"]) & ~np.isnan(numbers["grip_deg"]) & (numbers["position_balls"] == 0)
        return mask

    def at(self, setting: Setting) -> Mask:
        """Balls at one setting, stock ball position."""
        mask: Mask = (
            (self.numbers["bow_notches"] == np.float32(setting.bow))
            & (self.numbers["grip_deg"] == np.float32(setting.grip))
            & (self.numbers["position_balls"] == 0)
        )
        return mask

    def _side_codes(self, at: npt.NDArray[np.intp], window_deg: float, wide_deg: float) -> Codes:
        """Code of the side that some balls show: from the number where there is one, else as keyed."""
        start = self.numbers["start_deg"][at].astype(float)
        # the columns hold single precision: an edge belongs to the inner class, so it is met with room for the rounding
        near, far = np.abs(start) <= window_deg + 1e-6, np.abs(start) <= wide_deg + 1e-6
        right = np.where(far, _code(Side.RIGHT), _code(Side.FAR_RIGHT))
        left = np.where(far, _code(Side.LEFT), _code(Side.FAR_LEFT))
        by_number = np.where(near, _code(Side.ON_LINE), np.where(start > 0, right, left))
        return np.where(np.isnan(start), self.codes["side"][at], by_number).astype(np.int8)

    def sessions(self, mask: Mask) -> set[str]:
        """Ids of the sessions in which balls under a mask were hit."""
        return {self.ids["session_id"][code] for code in np.flatnonzero(np.bincount(self.codes["session_id"][mask])).tolist()}

    def tallies(
        self,
        keys: Sequence[str],
        mask: Mask,
        window_deg: float = scales.DEFAULT_WINDOW_DEG,
        wide_deg: float = scales.DEFAULT_WIDE_DEG,
    ) -> dict[tuple[Any, ...], Tally]:
        """Balls under a mask by the values of some columns (short names of BY_NAME, or "surface", "stick", "counted", "drawn" ...).

        Words come back as words, flags as True and False, ids as ids, numbers as numbers; None where there is none.
        """
        at = np.flatnonzero(mask)
        groups, labels = self._groups(keys, at)
        found = [Tally() for _ in labels]
        if not labels:
            return {}
        side, strike, height = self._side_codes(at, window_deg, wide_deg), self.codes["strike"][at], self.codes["height"][at]
        start, launch = (self.numbers[column][at].astype(float) for column in ("start_deg", "launch_deg"))
        _count(found, "strikes", groups, strike, (*Strike, None))
        _count(found, "heights", groups, height, (*Height, None))
        clean = (self.codes["touched"][at] == 0) & ~np.isin(strike, [_code(each) for each in NO_DIRECTION]) & (side != NONE)
        numbered = clean & ~np.isnan(start)
        _count(found, "sides", groups[clean], side[clean], (*Side,))
        _count(found, "classed", groups[clean & ~numbered], side[clean & ~numbered], (*Side,))
        _sum(found, ("numbers", "total", "squares"), groups[numbered], start[numbered])
        _bin(found, groups[numbered], start[numbered])
        launched = ~np.isnan(launch)
        _sum(found, ("launches", "launch_total", "launch_squares"), groups[launched], launch[launched])
        for tally in found:
            tally.n = tally.strikes.total()
        return dict(zip(labels, found, strict=True))

    def settings(self, mask: Mask, window_deg: float, wide_deg: float) -> dict[Setting, Tally]:
        """Balls under a mask by setting."""
        found = self.tallies(("bow", "grip"), mask & self.stated(), window_deg, wide_deg)
        return {Setting(bow, grip): tally for (bow, grip), tally in found.items()}

    def felt(self, mask: Mask, window_deg: float, wide_deg: float) -> dict[tuple[float, float, Side | None], int]:
        """Balls with a felt bow by (intended bow, felt bow, side shown)."""
        known = mask & ~np.isnan(self.numbers["felt_bow_notches"]) & ~np.isnan(self.numbers["bow_notches"])
        counts: dict[tuple[float, float, Side | None], int] = {}
        for (bow, felt), tally in self.tallies(("bow", "felt"), known, window_deg, wide_deg).items():
            for side, n in tally.sides.items():
                counts[bow, felt, side] = n
            if tally.n > tally.seen:
                counts[bow, felt, None] = tally.n - tally.seen
        return counts

    def _groups(self, keys: Sequence[str], at: npt.NDArray[np.intp]) -> tuple[npt.NDArray[np.intp], list[tuple[Any, ...]]]:
        """Group number of each ball, and the key of each group."""
        if not len(at):
            return np.zeros(0, dtype=np.intp), []
        code = np.zeros(len(at), dtype=np.int64)
        values: list[list[Any]] = []
        for key in keys:
            distinct, inverse = self._column(key, at)
            code = code * len(distinct) + inverse
            values.append(distinct)
        kept, groups = _ranked(code)
        labels = []
        for number in kept.tolist():
            label: list[Any] = []
            for distinct in reversed(values):
                number, place = divmod(number, len(distinct))
                label.append(distinct[place])
            labels.append(tuple(reversed(label)))
        return groups, labels

    def _column(self, key: str, at: npt.NDArray[np.intp]) -> tuple[list[Any], npt.NDArray[np.intp]]:
        """Distinct values of a column in words, and the place of each ball's value among them."""
        if key == "block":
            distinct, inverse = _ranked(self.codes["block"][at])
            return [_word(BlockKind, code) for code in distinct.tolist()], inverse
        column = BY_NAME.get(key, key)
        if column in self.numbers:
            numbers, inverse = np.unique(self.numbers[column][at], return_inverse=True)
            return [None if np.isnan(value) else float(value) for value in numbers.tolist()], inverse
        codes, inverse = _ranked(self.codes[column][at])
        if column in self.ids:
            return ["" if code == NONE else self.ids[column][code] for code in codes.tolist()], inverse
        if column in WORDS:
            return [_word(WORDS[column], code) for code in codes.tolist()], inverse
        return [bool(code) for code in codes.tolist()], inverse


def _ranked(codes: npt.NDArray[np.signedinteger[Any]]) -> tuple[npt.NDArray[np.signedinteger[Any]], npt.NDArray[np.intp]]:
    """The distinct codes, ascending, and the place of each code among them: what numpy.unique gives, counted in place of sorted."""
    low = int(codes.min())
    if int(codes.max()) - low > MOST_CODES:
        return np.unique(codes, return_inverse=True)
    there = np.bincount(codes - low) > 0
    return np.flatnonzero(there) + low, (np.cumsum(there) - 1)[codes - low]


def _code(word: StrEnum) -> int:
    return list(type(word)).index(word)


def _word(kind: type[StrEnum], code: int) -> StrEnum | None:
    return None if code == NONE else list(kind)[code]


def _count(found: list[Tally], name: str, groups: npt.NDArray[np.intp], codes: Codes, words: tuple[Any, ...]) -> None:
    """Add counts of words to one counter of every tally; a code of NONE is the last word."""
    width = len(words)
    table = np.bincount(groups * width + codes % width, minlength=len(found) * width).reshape(len(found), width)
    for tally, row in zip(found, table.tolist(), strict=True):
        counter: Counter[Any] = getattr(tally, name)
        counter.update({word: n for word, n in zip(words, row, strict=True) if n})


def _sum(found: list[Tally], names: tuple[str, str, str], groups: npt.NDArray[np.intp], values: npt.NDArray[np.float64]) -> None:
    """Set count, sum and sum of squares of every tally."""
    size = len(found)
    columns = (
        np.bincount(groups, minlength=size).tolist(),
        np.bincount(groups, weights=values, minlength=size).tolist(),
        np.bincount(groups, weights=values * values, minlength=size).tolist(),
    )
    for tally, *sums in zip(found, *columns, strict=True):
        for name, value in zip(names, sums, strict=True):
            setattr(tally, name, value)


def _bin(found: list[Tally], groups: npt.NDArray[np.intp], values: npt.NDArray[np.float64]) -> None:
    """Count whole degrees in every tally."""
    width, far = 1024, 512
    kept, counts = np.unique(groups * width + np.rint(values).astype(np.intp) + far, return_counts=True)
    for code, n in zip(kept.tolist(), counts.tolist(), strict=True):
        group, place = divmod(code, width)
        found[group].bins[place - far] += n
