"""Whatever is pressed, nothing breaks and no stored ball is lost."""

import asyncio
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from textual import events

from rangelog.core.words import Side
from rangelog.logbook import Logbook
from rangelog.tui import keymap
from rangelog.tui.app import RangelogApp
from rangelog.tui.desk import Desk
from rangelog.tui.forms import Filling
from tests.tui.conftest import CHARACTERS
from tests.tui.fake_book import FakeBook

LETTERS = "1234567890qwertyuiopasdfghjklzxcvbnm,./;?-+[éA"
NAMED = ("up", "down", "left", "right", "enter", "escape", "backspace", "tab", "space", "f1", "pagedown", "home", "ctrl+a")
KEYS = st.sampled_from([*LETTERS, *NAMED])
SIZES = st.sampled_from([(80, 24), (60, 18), (40, 12), (30, 8), (1, 1), (140, 45)])


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.one_of(KEYS, SIZES), max_size=60), st.sampled_from(["qwerty", "azerty", "dvorak"]))
def test_any_keys_and_sizes_leave_the_screen_standing(presses: list[str | tuple[int, int]], layout: str) -> None:
    async def drive() -> None:
        book = FakeBook()
        at = [0.0]

        def clock() -> float:
            at[0] += 5.0
            return at[0]

        app = RangelogApp(book, keys=keymap.ready(layout), clock=clock, now=lambda: datetime(2026, 5, 2))
        async with app.run_test(size=(80, 24), notifications=True) as pilot:
            for press in presses:
                if isinstance(press, tuple):
                    await pilot.resize_terminal(*press)
                else:
                    name = keymap.CHARACTER_NAMES.get(press, press)
                    app.post_message(events.Key(name, CHARACTERS.get(name, press if len(press) == 1 else None)))
                await pilot.pause(0)
                if not app.is_running:
                    return
            await pilot.pause(0)

    asyncio.run(drive())


@settings(max_examples=25, deadline=None)
@given(st.lists(KEYS, max_size=40), st.lists(st.text(max_size=12), max_size=10))
def test_any_keys_on_a_real_book_leave_it_with_every_ball_that_was_echoed(keys: list[str], typed: list[str]) -> None:
    layout = keymap.ready()
    answers = iter(typed)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "book.db"
        with Logbook.open(path) as book:
            book.first_start(code="test", hand="right", club_name="iron")
            book.start_session()
            desk = Desk(book, iter(range(0, 10_000, 5)).__next__)
            for key in keys:
                action_id = layout.action(key, "tee")
                reply = desk.press(action_id, keymap.fold(key))
                if reply.form is not None:
                    filling = Filling(reply.form)
                    while filling.field is not None and filling.enter(next(answers, "")):
                        pass
                    if filling.complete:
                        desk.answer(reply.form, filling.answers)
            before = [(ball.seq, ball.side, ball.strike, ball.counted) for ball in book.balls()]
            session = book.session
        if session is None:
            return
        with Logbook.open(path) as book:
            assert [(ball.seq, ball.side, ball.strike, ball.counted) for ball in book.balls(session.id)] == before


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from("12345qwertasdfgzxcvb0"), max_size=40))
def test_every_flight_key_pressed_apart_is_one_ball(keys: list[str]) -> None:
    book = FakeBook()
    layout = keymap.ready()
    desk = Desk(book, iter(range(0, 10_000, 5)).__next__)
    for key in keys:
        desk.press(str(layout.action(key, "tee")), key)
    sides = [ball.side for ball in book.stored]
    assert sides == [None if key == "0" else tuple(Side)["12345qwertasdfgzxcvb".index(key) % 5] for key in keys]
