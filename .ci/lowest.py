"""Prints the lowest versions that pyproject.toml allows, one requirement a line; tools that only look at the source are left out."""

import re
import tomllib
from pathlib import Path

SOURCE_TOOLS = {"ruff", "mypy", "import-linter"}

project = tomllib.loads(Path("pyproject.toml").read_text(encoding="utf-8"))["project"]
for requirement in (*project["dependencies"], *project["optional-dependencies"]["test"]):
    bound = re.fullmatch(r"([A-Za-z0-9_.-]+)>=([0-9.]+)(,<[0-9.]+)?", requirement)
    if bound is None:
        raise SystemExit(f"{requirement}: a lower bound is missing")
    if bound[1] not in SOURCE_TOOLS:
        print(f"{bound[1]}=={bound[2]}")
