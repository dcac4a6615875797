"""`pourword name`: what a name as heard may mean, and why."""

from __future__ import annotations

import json
from typing import Annotated

import typer

from extractor.cli.shared import Json, OwnLexicon, write, write_json
from extractor.paths import OWN_LEXICON, user_folder


def name(
    heard: Annotated[str, typer.Argument(metavar="WORDS", help='A name as the captions have it: "fuller num".')],
    before: Annotated[str, typer.Option(metavar="WORDS", help='The words before it: "half an ounce of".')] = "",
    after: Annotated[str, typer.Option(metavar="WORDS", help='The words behind it: "into the shaker".')] = "",
    lexicon: OwnLexicon = None,
    as_json: Json = False,
) -> int:
    """Show which names may be meant by what was heard, how sure that is, and how both sound.

    The words around it count: behind a measure a poor match is likely, in chatter even a good one is not. Exit status 1
    where no name is near it.
    """
    from extractor.lexicon import load_lexicon
    from extractor.names import load_hearing, read_name
    from extractor.pipeline import own_lexicon
    from extractor.view import name_text

    own = lexicon or user_folder() / OWN_LEXICON
    words = load_lexicon(own=(own_lexicon(own),) if lexicon is not None or own.exists() else ())
    found = read_name(heard, before=before, after=after, lexicon=words)
    if as_json:
        keys = ("name", "lexicon_id", "confidence", "apply", "how")
        write_json(json.dumps([{k: getattr(c, k) for k in keys} for c in found], ensure_ascii=False, indent=1))
    else:
        hearing = load_hearing(words)
        phones = {code: phone for phone, code in hearing.sounds.codes.items()}
        write(name_text(heard, found, lambda text: " ".join(phones[c] for c in hearing.say(_plain(text))),
                        before=before, after=after))  # fmt: skip
    return 0 if found else 1


def _plain(text: str) -> str:
    from extractor.lexicon import plain

    return plain(text)
