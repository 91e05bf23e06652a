"""Everything that is installed with the log to run it, with version and licence, from the metadata of what is installed.

python -m tests.harness.dependencies        the table of DEVELOPERS.md
"""

import re
import sys
from importlib.metadata import Distribution, distribution

from packaging.requirements import Requirement

HEAD = "| package | version | licence | asked for by |\n|---|---|---|---|"


def plain(name: str) -> str:
    """One spelling of a package's name."""
    return re.sub(r"[-_.]+", "-", name).lower()


def closure(root: str = "rangelog") -> dict[str, tuple[Distribution, set[str]]]:
    """All packages that a package needs to run here, each with those that ask for it; tests and other extras are left out."""
    found: dict[str, tuple[Distribution, set[str]]] = {}
    waiting = [(root, frozenset[str](), "")]
    seen = set()
    while waiting:
        name, extras, asker = waiting.pop()
        found.setdefault(name, (distribution(name), set()))[1].add(asker)
        if (name, extras) in seen:
            continue
        seen.add((name, extras))
        for text in found[name][0].requires or ():
            wanted = Requirement(text)
            if wanted.marker is None or any(wanted.marker.evaluate({"extra": extra}) for extra in ("", *extras)):
                waiting.append((plain(wanted.name), frozenset(wanted.extras), name))
    del found[root]
    return found


def licence(package: Distribution) -> str:
    """The licence as the package states it: an expression, a word, or what its classifiers say."""
    facts = package.metadata
    classes = [text.rpartition(" :: ")[2] for text in facts.get_all("Classifier") or () if text.startswith("License ::")]
    stated = (facts.get("License-Expression") or facts.get("License") or "").strip()
    return stated if stated and "\n" not in stated else ", ".join(classes) or "not stated"


def table() -> str:
    """The table, in order of names."""
    lines = [
        f"| {name} | {package.version} | {licence(package)} | {', '.join(sorted(askers))} |"
        for name, (package, askers) in sorted(closure().items())
    ]
    return "\n".join([HEAD, *lines])


if __name__ == "__main__":
    print(table())
    sys.exit(0)
