"""Whatever a player does in whatever order: no stored ball is lost, and the file says what the logbook says."""

import itertools
from datetime import datetime, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from rangelog.core.errors import RangelogError
from rangelog.core.flight import Flight
from rangelog.core.words import BlockKind, Curve, Height, Reason, Side, Strike
from rangelog.logbook import Logbook
from rangelog.store import Book
from tests.conftest import Clock

SETTLED = {"bow": st.sampled_from([-2.0, 0.0, 1.5, 5.0, 9.0]), "grip": st.sampled_from([-15.0, 30.0, 90.0, 120.0])}
ACTS = st.one_of(
    st.tuples(st.just("hit"), st.builds(Flight, st.sampled_from([None, *Side]), st.sampled_from([None, *Height]))),
    st.tuples(
        st.just("amend"),
        st.fixed_dictionaries({"strike": st.sampled_from(Strike)}, optional={"curve": st.sampled_from(Curve), "touched": st.booleans()}),
    ),
    st.tuples(st.just("number"), st.sampled_from(["5", "-5", "31R", "95", "launch 14", "apex 9 m", "nan", "2 m at 50 m L"])),
    st.tuples(st.just("uncount"), st.sampled_from([*Reason, "went left"])),
    st.tuples(st.just("note"), st.text(max_size=20)),
    st.tuples(st.just("felt_bow"), SETTLED["bow"]),
    st.tuples(st.sampled_from(["undo", "redo", "recount", "end_block", "take_hint", "reopen", "think"]), st.none()),
    st.tuples(st.just("relabel"), st.fixed_dictionaries({"last": st.integers(-1, 4)}, optional=SETTLED)),
    st.tuples(st.just("step"), st.tuples(st.sampled_from(["bow", "grip", "position"]), st.sampled_from([-1, 1]))),
    st.tuples(st.just("set_setup"), st.fixed_dictionaries({}, optional=SETTLED)),
    st.tuples(st.just("start_block"), st.sampled_from([*BlockKind, "none"])),
    st.tuples(st.just("pain"), st.tuples(st.sampled_from(["wrist", "knee"]), st.integers(-1, 11))),
    st.tuples(st.just("correct_aim"), st.sampled_from([-5.0, 3.0, 90.0])),
    st.tuples(st.just("start_session"), st.sampled_from([{}, {"swing": "full"}, {"surface": "sand"}])),
)  # fmt: skip


class Player:
    """Does acts on a book, and remembers every ball that was ever echoed."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.clock = Clock(datetime(2026, 6, 2, 17, tzinfo=timezone(timedelta(hours=2))))
        self.clock.step = timedelta(seconds=7)
        self.numbers = itertools.count(1)
        self.book = self.open()
        self.book.first_start(loft_deg=28.0)
        self.book.start_session()
        self.stored: set[str] = set()

    def open(self) -> Logbook:
        return Logbook.open(self.path, now=self.clock, new_id=lambda: f"{next(self.numbers):032x}")

    def do(self, name: str, given: object) -> None:
        """One act; a refusal changes nothing."""
        before = (self.book.balls(), self.book.view().setup)
        try:
            self.act(name, given)
        except RangelogError:
            assert (self.book.balls(), self.book.view().setup) == before
        self.stored |= {ball.id for ball in self.book.balls()}

    def act(self, name: str, given: object) -> None:
        if name == "reopen":
            self.book.close()
            self.book = self.open()
        elif name == "relabel":
            self.book.relabel(**given, reason="forgot")  # type: ignore[arg-type]
        elif isinstance(given, dict):
            getattr(self.book, name)(**given)
        elif isinstance(given, tuple):
            getattr(self.book, name)(*given)
        elif given is None:
            getattr(self.book, name)()
        else:
            getattr(self.book, name)(given)

    def agree(self) -> None:
        """The file, read by another program, says what the logbook says; every ball ever echoed is in it once."""
        session = self.book.session
        assert session is not None
        with Book.open(self.path, read_only=True) as other:
            assert other.balls(session.id) == self.book.balls()
            assert other.blocks(session.id) == self.book._desk.blocks
            assert other.forms(session.id) == self.book._desk.forms
            kept = [ball for one in other.sessions() for ball in other.balls(one.id, include_voided=True)]
            assert other.check().whole
        ids = [ball.id for ball in kept]
        assert len(ids) == len(set(ids))
        assert self.stored <= set(ids)
        assert self.book.view().unsaved == 0


@settings(max_examples=25)
@given(st.lists(ACTS, max_size=25))
def test_no_sequence_of_acts_loses_a_ball_or_parts_file_and_logbook(acts: list[tuple[str, object]]) -> None:
    with TemporaryDirectory() as folder:
        player = Player(Path(folder) / "book.db")
        try:
            for name, given in acts:
                player.do(name, given)
            player.agree()
            player.do("reopen", None)
            player.agree()
        finally:
            player.book.close()


@settings(max_examples=4)
@given(st.lists(ACTS, min_size=10, max_size=30))
def test_the_same_holds_with_the_model_behind_the_hint(acts: list[tuple[str, object]]) -> None:
    with TemporaryDirectory() as folder:
        player = Player(Path(folder) / "book.db")
        try:
            player.book.load_model()
            for name, given in acts:
                player.do(name, given)
            player.agree()
            assert player.book.hint is not None
        finally:
            player.book.close()
