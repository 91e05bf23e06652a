"""The list of what the log stands on, held against what is installed."""

import re
from pathlib import Path

from tests.harness import dependencies

DEVELOPERS = Path(__file__).resolve().parents[2] / "DEVELOPERS.md"
PROJECT = DEVELOPERS.with_name("pyproject.toml")


def listed() -> dict[str, tuple[str, str]]:
    """Licence and askers of every package in the table, by name."""
    _, _, after = DEVELOPERS.read_text(encoding="utf-8").partition(dependencies.HEAD)
    rows = re.match(r"(?:\n\|.*\|)+", after)
    assert rows is not None
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in rows[0].strip().split("\n")]
    return {name: (licence, askers) for name, _, licence, askers in cells}


def test_the_table_names_exactly_what_is_installed_to_run_the_log() -> None:
    assert sorted(listed()) == sorted(dependencies.closure())


def test_the_packages_asked_for_by_the_log_itself_are_those_of_the_project_file() -> None:
    own = {name for name, (_, askers) in listed().items() if "rangelog" in askers.split(", ")}
    runtime = PROJECT.read_text(encoding="utf-8").partition("\ndependencies = [")[2].partition("]")[0]
    assert own == set(re.findall(r'"([a-z-]+)[>=<]', runtime))


def test_every_licence_is_stated_and_lets_the_log_be_passed_on() -> None:
    free = ("MIT", "BSD", "Apache", "PSF", "Public Domain")
    assert [(name, licence) for name, (licence, _) in listed().items() if not any(word in licence for word in free)] == []
    assert [name for name, (package, _) in dependencies.closure().items() if dependencies.licence(package) == "not stated"] == []
