"""The key table of the README, made from the list of acts so that it never goes stale."""

from rangelog.tui.actions import ACTIONS, GROUPS
from rangelog.tui.keymap import KeyMap, ready, shown


def markdown(keys: KeyMap | None = None) -> str:
    """A table of every act with its keys, by group, in Markdown; acts without a key stand under the menu."""
    chosen = keys or ready()
    lines: list[str] = []
    for group, title in GROUPS.items():
        lines += [f"**{title}**", "", "| key | act | |", "|---|---|---|"]
        for action in ACTIONS:
            if action.group == group:
                named = " ".join(f"`{shown(key)}`" for key in chosen.keys[action.id]) or "menu"
                lines.append(f"| {named.replace('|', chr(92) + '|')} | {action.label} | {action.help} |")
        lines.append("")
    return "\n".join(lines)
