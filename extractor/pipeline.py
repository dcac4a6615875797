"""The list of stages, from caption file to record."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from extractor.errors import CaptionError, PourwordError, Where
from extractor.record import Episode

if TYPE_CHECKING:
    from collections.abc import Mapping

    from extractor.lexicon import Lexicon
    from extractor.record.finding import Draft
    from extractor.record.talk import Talk
    from extractor.record.words import Transcript
    from extractor.units import Units


def read_bytes(path: Path) -> bytes:
    """The bytes of a caption file. Raises CaptionError where it cannot be read."""
    try:
        return path.read_bytes()
    except (FileNotFoundError, ValueError):
        raise CaptionError(
            "There is no such file", where=Where(str(path)), hint="Check the name and the folder."
        ) from None
    except IsADirectoryError:
        raise CaptionError("This is a folder", where=Where(str(path)), hint="Name one caption file.") from None
    except OSError as e:
        raise CaptionError(
            f"The file cannot be read: {e.strerror}", where=Where(str(path)), hint="Check that you may read it."
        ) from None


def draft(
    captions: str | Path | bytes,
    *,
    locale: str = "us",
    lexicon: Lexicon | Path | str | None = None,
    sizes: Mapping[str, float] | None = None,
) -> Episode:
    """Captions in, record out.

    captions: a path, or the text or bytes of a caption file. locale: us, bar, metric, uk or au (what an ounce, a cup
    and a spoon are). lexicon: a user's own names on top of ours, as a file or an already loaded Lexicon. sizes: a
    user's own measures in millilitres ({"bar_spoon": 5}).
    Raises CaptionError for what is no caption file and LexiconError for a faulty lexicon file.
    """
    return draft_stages(captions, locale=locale, lexicon=lexicon, sizes=sizes)[0]


def draft_stages(
    captions: str | Path | bytes,
    *,
    locale: str = "us",
    lexicon: Lexicon | Path | str | None = None,
    sizes: Mapping[str, float] | None = None,
) -> tuple[Episode, Talk, Draft]:
    """draft(), with what the stages before the record gave: for the commands that show the words around a question."""
    from extractor.captions import read_captions
    from extractor.lexicon import Lexicon, load_lexicon
    from extractor.talk import read_talk
    from extractor.units import load_units

    data, path = _captions(captions)
    transcript = read_captions(data, path=path)
    own: tuple[Path, ...] = ()
    if isinstance(lexicon, Lexicon):
        words = lexicon
    else:
        own = (own_lexicon(lexicon),) if lexicon is not None else ()
        words = load_lexicon(own=own)
    units = load_units(locale, overrides=sizes)
    talk = read_talk(transcript, words, locale=locale, own=own)
    return _judged(transcript, talk, words, units, locale)


def _judged(
    transcript: Transcript, talk: Talk, lexicon: Lexicon, units: Units, locale: str
) -> tuple[Episode, Talk, Draft]:
    from extractor.measures.read_amount import to_amount
    from extractor.questions import ask
    from extractor.record import Source
    from extractor.specs import read_specs

    def millilitres(number: float, unit: str) -> float | None:
        size = units.millilitres(number, number, unit)
        return None if size is None else size[0]

    found = read_specs(talk, lexicon, amount_of=lambda m, liquid: to_amount(m, units, liquid), millilitres=millilitres)
    episode = Episode(
        source=Source(
            path=transcript.path,
            kind=transcript.kind,
            duration_s=transcript.duration_s,
            cues=transcript.cues,
            notes=transcript.notes,
            locale=locale,
        ),
        drinks=found.drinks,
        corrections=found.corrections,
    )
    episode = with_figures(episode, lexicon, units)
    return episode.model_copy(update={"questions": ask(episode, found, talk, lexicon, units)}), talk, found


def _is_there(name: str) -> bool:
    try:
        return Path(name).exists()
    except (OSError, ValueError):
        return False  # Too long for a name, or with a NUL in it: it is talk.


def with_figures(episode: Episode, lexicon: Lexicon, units: Units) -> Episode:
    """The record with the figures of each drink that has none: all at first, later those that an answer changed."""
    from extractor.figures import drink_figures

    # A home-made thing stands with the first drink that uses it and serves the later ones too.
    made = tuple(c for d in episode.drinks for c in d.components)
    drinks = tuple(
        d if d.figures is not None
        else d.model_copy(update={"figures": drink_figures(d, lexicon, units, components=made)})
        for d in episode.drinks
    )  # fmt: skip
    return episode.model_copy(update={"drinks": drinks})


def own_lexicon(lexicon: Path | str) -> Path:
    """The path of a user's lexicon file, which must be there and be UTF-8."""
    path = Path(lexicon)
    try:
        path.read_bytes().decode("utf-8")
    except UnicodeDecodeError as error:
        number = error.object[: error.start].count(b"\n") + 1
        raise PourwordError(
            "The lexicon file is not UTF-8", where=Where(str(path), line=number), hint="Save it again as UTF-8."
        ) from None
    except OSError as error:
        raise PourwordError(
            f"The lexicon file cannot be read: {error.strerror or error}",
            where=Where(str(path)),
            hint="Check its name, or leave --lexicon out.",
        ) from None
    return path


def _captions(captions: str | Path | bytes) -> tuple[bytes, str | None]:
    """A path's bytes, or the given text's: a text with a line break, or one that names no file, is captions."""
    if isinstance(captions, bytes):
        return captions, None
    if isinstance(captions, Path):
        return read_bytes(captions), str(captions)
    if "\n" in captions or len(captions) > 1000:
        return captions.encode("utf-8", "surrogateescape"), None
    if captions.strip() and (len(captions.split()) == 1 or _is_there(captions)):
        return read_bytes(Path(captions)), captions
    return captions.encode("utf-8"), None
