"""What one or two keys say of a ball."""

from dataclasses import dataclass

from rangelog.core.words import Height, Side


@dataclass(frozen=True, slots=True)
class Flight:
    """Start side and height of one key of the flight block; both None for "hit, not seen"."""

    side: Side | None = None
    height: Height | None = None

    @property
    def seen(self) -> bool:
        return self.side is not None
