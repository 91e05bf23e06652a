"""The app driven by keys: what the book holds and what the screen says."""

import asyncio
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from textual.widgets import Static

from rangelog.logbook import Logbook
from rangelog.store import BookBusy
from rangelog.tui.app import RangelogApp, crash_line
from rangelog.tui.screens.balls import BallLines, BallsScreen
from rangelog.tui.screens.form import FormScreen
from rangelog.tui.screens.menu import MenuScreen
from rangelog.tui.screens.reading import ReadingScreen
from rangelog.tui.screens.tee import TeeScreen
from rangelog.tui.screens.typed import TypedLine
from rangelog.tui.widgets.big import HintPanel, LastPanel, NextPanel
from rangelog.tui.widgets.footer import FooterLine
from rangelog.tui.widgets.lines import EchoLine, NoticeLine, PlainLine
from tests.tui.conftest import Hand, press, thought
from tests.tui.fake_book import FakeBook

Tee = Callable[..., RangelogApp]


def said(app: RangelogApp) -> str:
    echo = app.tee.query_one(EchoLine).echo
    return echo.text if echo else ""


async def test_a_newcomer_reaches_the_tee_with_enter_alone(tee: Tee, tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "book.db") as book:
        app = tee(book)
        async with app.run_test(size=(80, 24), notifications=True) as pilot:
            assert isinstance(app.screen, ReadingScreen), "cautions come first"
            await press(pilot, *["enter"] * 16)
            assert isinstance(app.screen, TeeScreen)
            await press(pilot, "space", "f", "j")
            await thought(pilot)
            (ball,) = book.balls()
            assert (ball.side, ball.strike, ball.setup.stated, ball.counted) == ("right", "solid", True, True)


async def test_leaving_the_first_start_leaves_the_log(tee: Tee) -> None:
    app = tee(FakeBook(fresh=True))
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", "escape")
    assert app.return_value == 0


async def test_a_ball_is_on_disk_before_it_is_shown(tee: Tee, logbook: Logbook, tmp_path: Path) -> None:
    with logbook:
        app = tee(logbook)
        async with app.run_test(size=(80, 24)) as pilot:
            await press(pilot, "f")
            assert app.tee.query_one(LastPanel).view.last is not None
            with Logbook.open(tmp_path / "book.db", read_only=True) as other:
                assert [ball.side for ball in other.balls(logbook.session.id)] == ["right"]  # type: ignore[union-attr]


async def test_balls_before_the_model_has_loaded_are_stored_at_once(tee: Tee, logbook: Logbook) -> None:
    with logbook:
        app = tee(logbook)
        async with app.run_test(size=(80, 24)) as pilot:
            await press(pilot, "f", "d")
            assert len(logbook.balls()) == 2
            await thought(pilot)
            assert logbook.model_ready
            assert not app.tee.view.hint_is_stored


async def test_a_model_that_could_not_load_is_tried_again(tee: Tee, monkeypatch: pytest.MonkeyPatch) -> None:
    """As where another program held the book while the past was read."""
    monkeypatch.setattr("rangelog.tui.app.LOAD_AGAIN_S", 0.001)
    loaded = threading.Event()

    class BusyOnce(FakeBook):
        tries = 0

        def load_model(self) -> None:
            self.tries += 1
            if self.tries == 1:
                raise BookBusy("The book is being written by another program.", "Try again in a moment.")
            super().load_model()
            loaded.set()

    book = BusyOnce()
    app = tee(book)
    async with app.run_test(size=(80, 24)) as pilot:
        await thought(pilot)
        await asyncio.to_thread(loaded.wait, 30)
        assert book.loaded
        assert "another program" in said(app)


async def test_the_arrows_state_the_next_setup_and_leave_the_last_ball_alone(tee: Tee, logbook: Logbook) -> None:
    with logbook:
        app = tee(logbook)
        async with app.run_test(size=(80, 24)) as pilot:
            await press(pilot, "f", "up", "up", "right", "full_stop")
            assert logbook.balls()[-1].setup.bow == 0.0
            setup = app.tee.query_one(NextPanel).view.setup
            assert (setup.bow, setup.grip, setup.position_balls) == (2.0, 45.0, 0.25)


async def test_undo_and_redo(tee: Tee, logbook: Logbook) -> None:
    with logbook:
        app = tee(logbook)
        async with app.run_test(size=(80, 24)) as pilot:
            await press(pilot, "f", "d", "backspace", "backspace", "backspace")
            assert logbook.balls() == []
            assert said(app) == "Nothing to undo."
            await press(pilot, "semicolon", *"bring back", "enter")
            assert len(logbook.balls()) == 1


async def test_keys_typed_in_one_burst_are_all_taken_in_order(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        for key in ("o", "3", "f", "j", "p", "1", "2", "enter", "n", "d"):
            app.simulate_key(key)
        await thought(pilot)
    assert bracketed.calls == ["uncount wrong setup", "hit right mid", "amend solid", "pain wrist 2 False", "hit on line mid"]


async def test_a_held_key_makes_one_ball_and_a_question(tee: Tee, bracketed: FakeBook, hand: Hand) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        hand.step_s = 0.03
        for _ in range(60):
            app.simulate_key("d")
        await thought(pilot)
        assert bracketed.calls == ["hit on line mid"]
        assert said(app) == "Same key: another ball? Space yes, other keys no."


async def test_caps_lock_changes_nothing(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "F", "J")
    assert bracketed.calls == ["hit right mid", "amend solid"]


async def test_azerty_takes_its_own_places_and_digits(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed, layout="azerty")
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "é", "q", "enter")
        await press(pilot, "minus", "left_parenthesis", "enter")
    assert bracketed.calls == ["hit left None", "hit far left mid", "number -("]


async def test_while_a_field_is_open_the_keys_belong_to_it(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press(pilot, "n", *"wind [/b]", "enter")
        await press(pilot, "f")
    assert bracketed.calls == ["note wind [/b]", "hit right mid"]


@pytest.mark.parametrize("text", ["[/b]", "[bold", "[@click=app.quit]x[/]", "\\[", "{x}", "日本語 note"])
async def test_a_players_words_are_never_markup(tee: Tee, bracketed: FakeBook, text: str) -> None:
    bracketed.add_club(text, 30.0)
    bracketed.set_setup(club_id="c2")
    bracketed.note(text)
    bracketed.resume_text = text
    app = tee(bracketed)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await press(pilot, "tab", "tab", "y", "escape", "semicolon", *"club", "enter", "escape")
        assert isinstance(app.screen, TeeScreen)


async def test_a_number_that_is_refused_says_why_and_loses_nothing(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", *"95 R", "enter")
        assert said(app) == "Start runs -45 to 45 deg."
        assert bracketed.stored[-1].start_deg is None


async def test_an_unsigned_number_asks_its_side(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", "5", "enter", "l")
    assert bracketed.calls == ["number 5", "number 5 L"]


async def test_the_menu_finds_an_act_by_a_few_letters(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "slash", *"felt")
        assert isinstance(app.screen, MenuScreen)
        assert app.screen.shown[0].id == "ball.felt"
        await press(pilot, "enter", "3", "enter")
        assert bracketed.stored[-1].felt_bow == 3.0
        assert bracketed.stored[-1].setup.bow == 4.0, "what was intended stays"


async def test_a_book_that_cannot_save_says_so_until_it_can(tee: Tee, bracketed: FakeBook) -> None:
    bracketed.failing = True
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "f")
        notice = app.tee.query_one(NoticeLine)
        assert notice.display
        assert notice.said() == "NOT SAVED: 1 ball in memory only. ; Enter saves again."
        bracketed.failing = False
        await press(pilot, "semicolon", "enter")
        assert said(app) == "Saved."
        assert not notice.display


async def test_a_read_only_book_says_who_holds_it_and_takes_no_ball(tee: Tee, bracketed: FakeBook) -> None:
    bracketed.read_only, bracketed.notice = True, "Reading only: open in another window."
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "f", "up")
        assert app.tee.query_one(NoticeLine).said() == "Reading only: open in another window."
    assert bracketed.calls == []


async def test_escape_asks_and_enter_leaves(tee: Tee) -> None:
    app = tee()
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "escape", "enter")
    assert app.return_value == 0


@pytest.mark.parametrize("opened", [(), ("n",), ("question_mark",), ("semicolon",), ("tab",)])
async def test_control_q_leaves_from_anywhere(tee: Tee, bracketed: FakeBook, opened: tuple[str, ...]) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, *opened, "ctrl+q")
    assert app.return_value == 0


async def test_pages_open_scroll_and_close_without_storing_a_ball(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        for opener in ("question_mark", "f1", "y"):
            await press(pilot, opener)
            assert isinstance(app.screen, ReadingScreen)
            await press(pilot, "down", "pagedown", "up", "f")
            assert isinstance(app.screen, TeeScreen)
    assert bracketed.calls == []


async def test_a_ball_of_the_list_is_corrected_for_a_reason(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "tab", "down", "enter", "enter", "1", "2", "enter")
        assert isinstance(app.screen, BallsScreen)
    assert bracketed.calls == ["edit x7 side left mis-keyed"]


async def test_the_other_screens_come_one_after_the_other_and_escape_goes_back(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        seen = []
        for _ in range(3):
            await press(pilot, "tab")
            seen.append(type(app.screen).__name__)
        assert seen == ["BallsScreen", "ReviewScreen", "TeeScreen"]
        await press(pilot, "tab", "escape")
        assert isinstance(app.screen, TeeScreen)
        await press(pilot, "semicolon", *"reviews", "enter")
        assert type(app.screen).__name__ == "ReviewScreen"
    assert bracketed.calls == []


async def test_a_hundred_thousand_balls_open_at_once(tee: Tee, bracketed: FakeBook) -> None:
    bracketed.stored = bracketed.stored * 12_500
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "tab", "end", "up", "pageup", "home", "down")
        lines = app.screen.query_one(BallLines)
        assert (len(lines.shelf), lines.at) == (100_000, 1)


@pytest.mark.parametrize("size", [(1, 1), (2, 5), (39, 11), (40, 12), (59, 17), (60, 18), (80, 24), (200, 60), (300, 3)])
async def test_no_size_breaks_the_screen_or_loses_a_ball(tee: Tee, bracketed: FakeBook, size: tuple[int, int]) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.resize_terminal(*size)
        await press(pilot, "f", "j", "semicolon", "escape", "n", "x", "escape", "question_mark", "escape", "tab", "escape")
        await pilot.resize_terminal(80, 24)
        await press(pilot, "d")
    assert bracketed.calls == ["hit right mid", "amend solid", "hit on line mid"]


async def test_below_forty_by_twelve_one_plain_line_says_the_three(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(38, 10)):
        assert app.tee.query_one(PlainLine).display
        assert " ".join(app.tee.query_one(PlainLine).text().split()) == "Next: bow 2, grip 30. Last: on line, mid, solid. Hint: bow 2."
        assert not app.tee.query_one(HintPanel).display


async def test_the_footer_shows_only_what_applies_and_can_be_clicked(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        footer = app.tee.query_one(FooterLine).text()
        assert "solid" not in footer, "the last ball has its strike"
        await pilot.click(FooterLine, offset=(footer.index("undo"), 0))
    assert bracketed.calls == ["undo"]


async def test_an_option_of_a_form_can_be_clicked(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o")
        question = app.screen.query_one("#question", Static)
        line = str(question.render()).splitlines()[1]
        await pilot.click("#question", offset=(line.index("whiff"), 1))
    assert bracketed.calls == ["uncount whiff or shank"]


async def test_the_look_changes_on_the_fly(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "semicolon", *"look", "enter")
        assert app.palette.name == "contrast"
        assert app.theme == "rangelog-contrast"


async def test_a_retry_key_names_the_players_own_menu_key(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed, layout="azerty")
    async with app.run_test(size=(80, 24)):
        assert app.tee.query_one(NoticeLine).retry == "m"


async def test_a_field_that_is_dropped_changes_nothing(tee: Tee, bracketed: FakeBook) -> None:
    app = tee(bracketed)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "n", *"abc", "escape")
        assert isinstance(app.screen, TeeScreen)
        await press(pilot, "n")
        assert isinstance(app.screen, FormScreen)
        assert app.screen.query_one(TypedLine).value == ""
    assert bracketed.calls == []


def test_a_crash_names_its_place_and_none_of_the_players_words() -> None:
    def broken(note: str) -> None:
        raise ValueError(note)

    with pytest.raises(ValueError, match="secret") as caught:
        broken("my secret note")
    line = crash_line(caught.value).plain
    assert "ValueError in test_app.py" in line
    assert "secret" not in line
