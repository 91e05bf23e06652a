"""What older sessions taught, as plain numbers that can be kept in a file and handed to a new bracket."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from rangelog.bracketing.cells import SHAPES, SpreadBelief
from rangelog.bracketing.chain import Carried, Chain
from rangelog.bracketing.priors import SHARED
from rangelog.core.errors import OffScale


@dataclass(frozen=True, slots=True)
class ClubMemory:
    """What one club's older sessions taught. All numbers open-positive degrees.

    Attributes:
        club: its name in the log.
        first_grip: grip at which the intercept and the spread hold, degrees.
        mean: bias at the middle of the bow scale, effect of a notch, of ten degrees of grip, of the stick off, of a ball width forward.
        cov: their covariance, 5 x 5, row by row.
        log_spread, log_spread_sd: logarithm of the spread at the first grip, one pair for every shape the spread may have over grips.
        log_weight: logarithm of the weight of each shape.
    """

    club: str
    first_grip: float
    mean: tuple[float, ...]
    cov: tuple[float, ...]
    log_spread: tuple[float, ...]
    log_spread_sd: tuple[float, ...]
    log_weight: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Memory:
    """What older sessions taught, club by club, the latest club last."""

    clubs: tuple[ClubMemory, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain dictionaries, lists, words and numbers, fit for JSON."""
        return {"clubs": [_plain(asdict(kept)) for kept in self.clubs]}

    @classmethod
    def from_dict(cls, kept: Mapping[str, Any]) -> "Memory":
        """The memory that `as_dict` wrote. Raises OffScale where it is not one."""
        try:
            return cls(tuple(_club(entry) for entry in kept["clubs"]))
        except (KeyError, TypeError, ValueError, np.linalg.LinAlgError):
            raise OffScale("memory", "Memory is what an earlier bracket handed over, unchanged.") from None


def _plain(entry: dict[str, Any]) -> dict[str, Any]:
    return {key: list(value) if isinstance(value, tuple) else value for key, value in entry.items()}


def _club(entry: Mapping[str, Any]) -> ClubMemory:
    lists = {key: tuple(float(x) for x in entry[key]) for key in ("mean", "cov", "log_spread", "log_spread_sd", "log_weight")}
    made = ClubMemory(club=str(entry["club"]), first_grip=float(entry["first_grip"]), **lists)
    shapes = len(made.log_spread)
    if len(made.mean) != SHARED or len(made.cov) != SHARED * SHARED or shapes not in (1, len(SHAPES)):
        raise ValueError("sizes")
    if len(made.log_spread_sd) != shapes or len(made.log_weight) != shapes or min(made.log_spread_sd) <= 0:
        raise ValueError("sizes")
    numbers = np.array([*made.mean, *made.cov, *made.log_spread, *made.log_spread_sd, *made.log_weight, made.first_grip])
    if not np.all(np.isfinite(numbers)):
        raise ValueError("not finite")
    np.linalg.cholesky(np.reshape(made.cov, (SHARED, SHARED)))
    return made


def recalled(memory: Memory | None, club: str) -> tuple[Carried, float] | None:
    """What a club starts from, and its first grip; None where the memory does not know it."""
    for kept in memory.clubs if memory is not None else ():
        if kept.club == club:
            shapes = len(kept.log_spread)
            spread = SpreadBelief(np.array(kept.log_spread), np.array(kept.log_spread_sd), np.array(kept.log_weight))
            mean = np.tile(np.array(kept.mean), (shapes, 1))
            cov = np.tile(np.reshape(kept.cov, (SHARED, SHARED)), (shapes, 1, 1))
            return Carried(mean, cov, spread), kept.first_grip
    return None


def remembered(taught: Mapping[str, tuple[Chain, Carried]], older: Memory | None) -> Memory:
    """Memory of every club: those with balls as they now stand, the others as they were remembered."""
    clubs = [kept for kept in (older.clubs if older is not None else ()) if kept.club not in taught]
    for name, (chain, carried) in taught.items():
        mean, cov = carried.overall()
        spread = carried.spread
        clubs.append(
            ClubMemory(
                name,
                chain.grip_of_intercept,
                tuple(map(float, mean)),
                tuple(map(float, ((cov + cov.T) / 2).ravel())),
                tuple(map(float, spread.log_mean)),
                tuple(map(float, spread.log_sd)),
                tuple(map(float, spread.log_weight)),
            )
        )
    return Memory(tuple(clubs))
