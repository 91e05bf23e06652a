"""`rangelog hint`: balls on standard input or in a file, one hint out, bad lines set aside by their number."""

import io
import json
from pathlib import Path

import pytest

from rangelog.cli import main

Capture = pytest.CaptureFixture[str]
CLOSED = [*((0, start) for start in (6.0, 4.5, 7.5, 4.0)), *((4, start) for start in (-3.0, -6.5, -4.0, -4.5))]
"""Invented balls: bow and start in degrees, + = right."""


def lines(*balls: tuple[float, object], **more: object) -> str:
    return "".join(json.dumps({"bow": bow, "grip": 30, "start": start, **more}) + "\n" for bow, start in balls)


def run(monkeypatch: pytest.MonkeyPatch, typed: str, *words: str) -> int:
    stream = io.TextIOWrapper(io.BytesIO(typed.encode()), encoding="utf-8")
    monkeypatch.setattr("sys.stdin", stream)
    return main(["hint", *words])


def test_a_closed_bracket_is_told_in_words(monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    assert run(monkeypatch, lines(*CLOSED)) == 0
    told = capsys.readouterr()
    assert told.out.splitlines()[0] == "Bracketed 0 to 4. Try 2."
    assert "crosses at 2.2" in told.out
    assert told.err == ""


def test_the_same_as_json_with_the_estimates(monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    assert run(monkeypatch, lines(*CLOSED), "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told["hint"]["setting"] == {"bow": 2.0, "grip": 30.0}
    assert told["crossing"]["bow"] == pytest.approx(2.2, abs=0.1)
    assert told["balls"] == told["fitted"] == 8
    assert told["set_aside"] == []


def test_a_left_hander_s_balls_give_the_same_hint(monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    assert run(monkeypatch, lines(*CLOSED), "--json") == 0
    ours = json.loads(capsys.readouterr().out)
    mirrored = [(bow, -start) for bow, start in CLOSED]
    assert run(monkeypatch, lines(*mirrored, hand="left"), "--json") == 0
    theirs = json.loads(capsys.readouterr().out)
    assert theirs["crossing"] == ours["crossing"]
    assert theirs["hint"]["words"] == ours["hint"]["words"]
    assert theirs["bias"]["mean"] == -ours["bias"]["mean"]


@pytest.mark.parametrize(
    "bad",
    [
        "not json", "[]", "42", "null", '{"bow": 9, "grip": 30, "start": 1}', '{"bow": 0, "grip": 120, "start": 1}',
        '{"bow": 0, "grip": 30, "start": 95}', '{"bow": 0, "grip": 30, "start": NaN}',
        '{"bow": 0, "grip": 30, "side": "up"}', '{"bow": "0; DROP", "grip": 30, "start": 1}',
        '{"bow": 0, "grip": 30, "start": 1, "strike": "magic"}',
        "\x1b[2J", "{" * 2000,
    ],
)  # fmt: skip
def test_a_bad_line_is_set_aside_by_its_number_and_the_rest_is_read(monkeypatch: pytest.MonkeyPatch, capsys: Capture, bad: str) -> None:
    good = lines(*CLOSED).splitlines()
    assert run(monkeypatch, "\n".join([*good[:3], bad, *good[3:]]) + "\n") == 0
    told = capsys.readouterr()
    assert told.out.splitlines()[0] == "Bracketed 0 to 4. Try 2."
    assert told.err.startswith("line 4 set aside: ")
    assert len(told.err.splitlines()) == 1
    assert "\x1b" not in told.err


@pytest.mark.parametrize("typed", ["", "\n\n", "nonsense\n"])
def test_no_ball_at_all_is_one_line_and_exit_two(monkeypatch: pytest.MonkeyPatch, capsys: Capture, typed: str) -> None:
    assert run(monkeypatch, typed) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.splitlines()[-1].startswith("rangelog: There are no balls")


def test_bytes_that_are_no_text_are_one_line_and_exit_two(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "balls.jsonl"
    path.write_bytes(b"\xff\xfe\x00" * 20)
    assert main(["hint", str(path)]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1


@pytest.mark.parametrize(
    "words", [["--wrist-limit", "9"], ["--window", "0"], ["--window", "nan"], ["--wide", "1"], ["--hand", "both"], ["--lever", "hip"]]
)
def test_bad_options_are_one_line_and_exit_two(monkeypatch: pytest.MonkeyPatch, capsys: Capture, words: list[str]) -> None:
    assert run(monkeypatch, lines(*CLOSED), *words) == 2
    told = capsys.readouterr()
    assert (told.out, len(told.err.splitlines())) == ("", 1)


def test_a_wrist_limit_caps_the_hint(monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    assert run(monkeypatch, lines(*CLOSED), "--wrist-limit", "1", "--json") == 0
    told = json.loads(capsys.readouterr().out)
    setting = told["hint"]["setting"]
    assert setting is None or setting["bow"] <= 1.0
    assert told["crossing"]["bow"] <= 1.0
