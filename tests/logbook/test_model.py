"""The model behind the hint is no more than the balls of the book, whichever way they came in."""

import random
from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.bracketing import Bracket
from rangelog.core.ball import Ball
from rangelog.core.flight import Flight
from rangelog.core.words import Height, Side, Strike
from rangelog.logbook import Logbook

Disk = Callable[[], list[Ball]]


def start(book: Logbook, degrees: float, strike: Strike | None = Strike.SOLID) -> None:
    book.hit(Flight(Side.RIGHT if degrees > 0 else Side.LEFT, Height.MID))
    book.number(f"{degrees:+.1f}")
    if strike is not None:
        book.amend(strike=strike)


def bucket(book: Logbook, seed: int, count: int = 12) -> None:
    """Invented balls at several settings, some in degrees and some in classes."""
    rng = random.Random(seed)
    for number in range(count):
        book.set_setup(bow=float(rng.choice((0, 2, 4))), grip=rng.choice((30.0, 45.0)))
        if number % 3:
            start(
                book,
                round(5 - 2.5 * (book.view().setup.bow or 0) + rng.gauss(0, 2), 1) or 0.1,
                rng.choice((Strike.SOLID, Strike.TOP, Strike.TOE)),
            )
        else:
            book.hit(Flight(rng.choice(list(Side))))


def fresh(book: Logbook, balls: list[Ball]) -> Bracket:
    """A new model fed the balls as they stand in the file."""
    view = book.view()
    made = Bracket(hand="right", window=2.0, wide=6.0, bow_range=view.picture.bow_range, grip_range=(-15, 90))
    for ball in balls:
        assert ball.setup.bow is not None
        assert ball.setup.grip is not None
        made.add(
            bow=ball.setup.bow,
            grip=ball.setup.grip,
            start=ball.start_deg if ball.start_deg is not None else ball.side,
            session=ball.session_id,
            club=f"{ball.setup.club_id}/{ball.setup.swing}",
            stick=ball.setup.stick,
            strike=ball.strike,
            counted=ball.counted,
            touched=ball.touched,
        )
    made.stand(club=f"{view.setup.club_id}/{view.setup.swing}", stick=view.setup.stick, session=book.session.id if book.session else "")
    return made


@pytest.mark.parametrize("seed", [1, 2])
def test_what_is_shown_equals_a_fresh_model_of_the_balls_on_disk(logbook: Logbook, on_disk: Disk, seed: int) -> None:
    logbook.load_model()
    bucket(logbook, seed)
    logbook.undo()
    logbook.relabel(2, bow=1.0, reason="forgot")
    logbook.uncount("interrupted")
    grip = logbook.view().setup.grip
    assert grip is not None
    assert logbook.view().picture.crossing == fresh(logbook, on_disk()).crossing(grip=grip)


def test_a_model_that_loads_late_says_what_one_loaded_early_says(logbook: Logbook, open_book: Callable[[], Logbook]) -> None:
    logbook.load_model()
    bucket(logbook, 3)
    early = logbook.view()
    logbook.close()
    late = open_book()
    assert late.view().hint_is_stored
    assert late.view().hint == early.hint, "the stored hint is on show until the model has answered"
    late.load_model()
    assert late.view().picture == early.picture
    assert late.view().hint == early.hint
    assert late.view().share_at_crossing == early.share_at_crossing


def test_undoing_everything_since_leaves_the_answers_as_they_were(logbook: Logbook) -> None:
    logbook.load_model()
    bucket(logbook, 4)
    before = logbook.view()
    start(logbook, 12.0)
    for _ in range(3):
        logbook.undo()
    after = logbook.view()
    assert after.picture == before.picture
    assert after.hint == before.hint
    assert after.share_at_crossing == before.share_at_crossing


def test_another_club_leaves_the_fit_of_the_first_unchanged_to_the_last_digit(logbook: Logbook) -> None:
    logbook.load_model()
    bucket(logbook, 5)
    logbook.set_setup(bow=2.0, grip=30.0)
    before = logbook.view()
    first = before.setup.club_id
    logbook.add_club("long iron", 34.0)
    logbook.set_setup(club_id=logbook.clubs()[-1].id)
    bucket(logbook, 6)
    logbook.set_setup(club_id=first, bow=2.0, grip=30.0)
    after = logbook.view()
    assert after.picture.crossing == before.picture.crossing
    assert after.share_at_crossing == before.share_at_crossing
    assert [mark.bow for mark in after.picture.marks] == [mark.bow for mark in before.picture.marks]


def test_a_ball_that_says_nothing_of_the_face_moves_no_answer(logbook: Logbook) -> None:
    logbook.load_model()
    bucket(logbook, 7)
    logbook.set_setup(bow=2.0, grip=30.0)
    before = logbook.view()
    start(logbook, -20.0, Strike.SHANK)
    logbook.hit(Flight(Side.FAR_LEFT))
    logbook.amend(touched=True)
    logbook.hit(Flight(Side.FAR_LEFT))
    logbook.uncount("interrupted")
    after = logbook.view()
    assert before.picture.crossing is not None
    assert after.picture.crossing is not None
    # a later ball moves "now" along, so that drift may add a little to what is not known; it moves no answer
    assert after.picture.crossing.bow == pytest.approx(before.picture.crossing.bow, abs=0.02)
    assert after.share_at_crossing == pytest.approx(before.share_at_crossing, abs=0.01)


def test_the_first_hint_after_the_model_comes_without_a_key(logbook: Logbook, book_path: Path) -> None:
    logbook.hit(Flight(Side.RIGHT))
    assert not logbook.model_ready
    logbook.load_model()
    assert logbook.view().picture.crossing is not None
    assert not logbook.view().hint_is_stored


def test_a_restart_changes_no_hint(logbook: Logbook, open_book: Callable[[], Logbook]) -> None:
    """A bracket without a block, ball by ball: what is proposed next stands on this ball, not on what was known before it."""
    logbook.load_model()
    book, said = logbook, []
    for bow, sides in ((0.0, "RRRR"), (4.0, "LLLL"), (1.0, "RRORO"), (2.0, "OLOO"), (1.5, "OORO")):
        book.set_setup(bow=bow, grip=30.0)
        for letter in sides:
            book.hit(Flight({"R": Side.RIGHT, "L": Side.LEFT, "O": Side.ON_LINE}[letter], Height.MID))
            book.amend(strike=Strike.SOLID)
            before = book.hint
            assert before is not None
            book.close()
            book = open_book()
            book.load_model()
            book.think()
            assert book.hint == before
            said.append(before.words)
    assert any("Crosses at" in words for words in said), "the bracket closes"
    assert not any("Baseline" in words for words in said)
