"""Player, clubs, prescriptions and the small state of the program."""

# ruff: noqa: S608 - only names from our own lists are put into SQL; values are always parameters

from collections.abc import Mapping
from typing import Any

from rangelog.core.player import Club, Player, Prescription
from rangelog.store import cells, errors, rows, times
from rangelog.store.desk import BadRow, Desk


class People(Desk):
    """The part of a book that says who plays with what, and what the program had in mind."""

    def player(self) -> Player | None:
        """The owner, None in a new book."""
        found = self._records(rows.PLAYER, "ORDER BY id LIMIT 1")
        return found[0] if found else None

    def save_player(self, player: Player) -> None:
        """Set or change the owner. Raises OtherPlayer where the book belongs to another id, NotSaved."""
        held = self.player()
        if held is not None and held.id != player.id:
            raise errors.OtherPlayer(f"This book belongs to {held.code}.", "Use another book for another player.")

        def work(connection: Any) -> None:
            stamp = self._stamp(connection, rows.PLAYER, player.id)
            names = ", ".join(f"{column} = excluded.{column}" for column in rows.PLAYER.all_columns[1:])
            marks = ", ".join("?" * len(rows.PLAYER.all_columns))
            connection.execute(
                f"INSERT INTO players ({', '.join(rows.PLAYER.all_columns)}) VALUES ({marks}) ON CONFLICT (id) DO UPDATE SET {names}",
                (*rows.player_row(player), stamp),
            )

        self._write(work)

    def clubs(self) -> list[Club]:
        """Clubs in the order they were added."""
        return self._records(rows.CLUB, "ORDER BY saved_utc, id")

    def add_club(self, club: Club) -> None:
        """Add a club; the same id again changes nothing. Raises NotSaved."""

        def work(connection: Any) -> None:
            (newest,) = connection.execute("SELECT max(saved_utc) FROM clubs").fetchone()
            self._put(connection, rows.CLUB, club, times.after(newest, self._now()))

        self._write(work)

    def prescriptions(self) -> list[Prescription]:
        """All versions, oldest first."""
        found: list[Prescription] = self._records(rows.PRESCRIPTION)
        return sorted(found, key=lambda made: (made.version, times.utc_text(made.made_at) if made.made_at else "", made.id))

    def prescription(self) -> Prescription | None:
        """The version in force: the latest."""
        found = self.prescriptions()
        return found[-1] if found else None

    def add_prescription(self, prescription: Prescription) -> None:
        """Add a version; the same id again changes nothing. Raises NotSaved."""
        self._write(lambda connection: self._put(connection, rows.PRESCRIPTION, prescription))

    def state(self, key: str, default: Any = None) -> Any:
        """One value of the program's small memory; `default` where it is not there or, listed in bad_rows, not readable."""
        text = self._value("SELECT value_json FROM state WHERE key = ?", (key,))
        if text is None:
            return default
        try:
            return cells.from_json("value_json", text)
        except ValueError as error:
            self.bad_rows["state", key] = BadRow("state", key, str(error))
            return default

    def save_state(self, state: Mapping[str, Any]) -> None:
        """Keep JSON values by key, all or none. Raises NotSaved, OffScale for what JSON cannot hold."""
        self._write(lambda connection: self._put_state(connection, state))
