"""The README keeps in step with the program."""

import re
from pathlib import Path

from rangelog.cli.root import COMMANDS
from rangelog.tui.key_table import markdown

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")


def test_the_key_table_is_the_one_of_the_program() -> None:
    table = re.search(r"<!-- keys -->\n(.*?)\n<!-- /keys -->", README, re.DOTALL)
    assert table is not None
    assert table[1].strip() == markdown().strip()


def test_every_command_the_readme_names_is_there() -> None:
    named = set(re.findall(r"rangelog ([a-z][a-z-]*)", README))
    assert named - {"is"} <= set(COMMANDS)


def test_two_commands_come_first() -> None:
    blocks = re.findall(r"```\n(.*?)\n```", README, re.DOTALL)
    assert blocks[0].endswith("rangelog demo")
    assert blocks[1].endswith("pytest -q")
    assert all("\n" not in block for block in blocks[:2])
