"""One episode opened: drafted from its captions, with the answers that lie beside them and what the user always means.

The commands and the page start here. Nothing is written but through `Opened.desk`, which keeps the answers file.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from extractor.errors import AnswerError
from extractor.paths import ANSWERS, OWN_HABITS, OWN_LEXICON, beside, user_folder

if TYPE_CHECKING:
    from extractor.answers import Desk, Habits, Readers
    from extractor.lexicon import Lexicon
    from extractor.record import Amount, Episode
    from extractor.record.talk import Talk
    from extractor.units import Units


@dataclass(frozen=True)
class Opened:
    """`draft` is the record as read from the captions; `path` is None where they came from standard input.

    `own` is the user's lexicon file, None where there is none; `folder` the user's folder.
    """

    path: Path | None
    draft: Episode
    talk: Talk = field(repr=False)
    lexicon: Lexicon = field(repr=False)
    units: Units = field(repr=False)
    folder: Path
    own: Path | None
    habits: Habits | None

    @property
    def episode(self) -> Episode:
        """The record with all answers in it. Raises AnswerError for an answers file that cannot be understood."""
        answered = self.path is not None and beside(self.path, ANSWERS).exists()
        if not answered and (self.habits is None or not self.habits.made):
            return self.draft
        return self.with_figures(self.desk().episode)

    def with_figures(self, episode: Episode) -> Episode:
        """The record with the figures of every drink worked out anew: an answer about one may change another's."""
        from extractor.pipeline import with_figures

        bare = tuple(d.model_copy(update={"figures": None}) for d in episode.drinks)
        return with_figures(episode.model_copy(update={"drinks": bare}), self.lexicon, self.units)

    def desk(self, *, by: str | None = None) -> Desk:
        """The episode and its answers file, to answer, edit and undo. `by`: who answers, kept with each answer."""
        from extractor.answers import Answers, Desk, Saved, Store

        class _Nowhere(Store):
            """For captions from standard input: no answers, and none can be kept."""

            def read(self) -> Answers:
                return Answers()

            def save(self, *given: object, **rest: object) -> Saved:
                raise AnswerError("Answers to captions from standard input cannot be kept", hint="Name a caption file.")

        store = Store(beside(self.path, ANSWERS)) if self.path is not None else _Nowhere(Path("-"))
        return Desk(self.draft, store, self.readers(), by=by, habits=self.habits)

    def readers(self) -> Readers:
        """How answers are read: in the episode's locale, with the user's own sizes and names."""
        from extractor.answers import Readers
        from extractor.measures import read_amount
        from extractor.names import read_name
        from extractor.record import Range

        locale, own = self.draft.source.locale, self.habits.measures if self.habits is not None else {}

        def amount(spoken: str) -> Amount | None:
            found = read_amount(spoken, locale=locale)
            size = self.units.millilitres(found.low, found.high, found.unit) if found and found.unit in own else None
            if found is None or size is None:
                return found
            return found.model_copy(update={"millilitres": Range(low=size[0], high=size[1])})

        return Readers(amount, lambda name: read_name(name, lexicon=self.lexicon))


def open_episode(
    captions: Path | bytes,
    *,
    locale: str = "us",
    lexicon: Path | None = None,
    folder: Path | None = None,
) -> Opened:
    """Reads the captions, with the user's own names and habits.

    `folder` is where those lie (the platform's own config place by default); `lexicon` is a file of own names to use
    in place of the one there. Raises CaptionError, LexiconError, AnswerError (a faulty habits file) or UnitError.
    """
    from extractor.lexicon import load_lexicon
    from extractor.pipeline import draft_stages
    from extractor.units import load_units

    folder = folder or user_folder()
    own = lexicon if lexicon is not None else _if_there(folder / OWN_LEXICON)
    habits = None
    if _if_there(folder / OWN_HABITS) is not None:
        from extractor.answers import read_habits

        habits = read_habits(folder)
    sizes = habits.measures if habits is not None else None
    episode, talk, _ = draft_stages(captions, locale=locale, lexicon=own, sizes=sizes)
    return Opened(
        path=captions if isinstance(captions, Path) else None,
        draft=episode,
        talk=talk,
        lexicon=load_lexicon(own=(own,) if own is not None else ()),
        units=load_units(locale, overrides=sizes),
        folder=folder,
        own=own,
        habits=habits,
    )


def _if_there(path: Path) -> Path | None:
    return path if path.exists() else None
