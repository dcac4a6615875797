"""Where things lie: what Pourword keeps beside a caption file, and what it keeps for a user. Core."""

from __future__ import annotations

from pathlib import Path

RECORD, DRAFT, QUESTIONS, ANSWERS = "record.json", "draft.md", "questions.md", "answers.txt"
OWN_LEXICON, OWN_HABITS = "lexicon.txt", "habits.txt"


def beside(captions: Path | str, what: str) -> Path:
    """A file that belongs to a caption file: beside("talks/brunch.vtt", RECORD) is talks/brunch.record.json."""
    path = Path(captions)
    return path.with_name(f"{path.stem}.{what}")


def user_folder() -> Path:
    """Where the user's own lexicon and habits lie, by the custom of the operating system. It need not be there."""
    from platformdirs import user_config_path

    return user_config_path("pourword")
