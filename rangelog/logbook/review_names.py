"""The questions of a review by name, for whoever wants to list them before a book is read."""

QUESTIONS: dict[str, str] = {
    "map": "Where did each setting start the ball?",
    "better": "Is this combination really better?",
    "starts": "Where did the balls start?",
    "spread": "How wide am I?",
    "strike": "Is strike paying for it?",
    "height": "Does height follow ball position?",
    "course": "Did I drift or tire?",
    "days": "What changes from day to day?",
    "tests": "Does it survive stick off, random order, next week?",
    "stick": "Is it still there without the stick?",
    "feel": "Do I feel what happens?",
    "left out": "What was thrown away?",
    "asked": "What was asked, what was done?",
}
"""In the order of the screen."""
