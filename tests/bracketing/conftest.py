"""The invented players, for every test of the model."""

import importlib.util
import sys
from pathlib import Path

_place = Path(__file__).with_name("players.py")
_spec = importlib.util.spec_from_file_location("bracketing_players", _place)
assert _spec is not None
assert _spec.loader is not None
players = importlib.util.module_from_spec(_spec)
sys.modules["bracketing_players"] = players
_spec.loader.exec_module(players)
