"""lexicon/hearing/heads.txt: its heads end names of the lexicon, and what was heard for them is no such name itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from extractor.errors import LexiconError
from extractor.lexicon import Lexicon, lexicon_folder, plain
from extractor.names.heads import HeadPlace, head_places, load_heads

FOLDER = lexicon_folder() / "hearing"


def test_every_head_ends_names_and_is_heard_as_something_else(lexicon: Lexicon) -> None:
    last = {plain(n).split()[-1] for e in lexicon.ingredients for n in (e.name, *e.others)}
    seen: set[tuple[str, tuple[str, ...]]] = set()
    for found in load_heads(FOLDER).values():
        for h in found:
            assert h.head in last, f"{h.head!r} ends no name"
            assert (h.head,) != h.heard
            assert (h.head, h.heard) not in seen, f"{h.heard} stands twice for {h.head!r}"
            seen.add((h.head, h.heard))
    assert len(seen) > 40


def test_places_are_found_by_whole_words() -> None:
    heads = load_heads(FOLDER)
    words = ["twenty", "mil", "of", "honey's", "are", "up", "and", "hazel", "nut", "liquor"]
    assert head_places(words, heads) == [HeadPlace(4, 6, "syrup", "likely"), HeadPlace(9, 10, "liqueur", "sure")]
    assert head_places(["the", "areas", "upstairs"], heads) == []


@pytest.mark.parametrize("line", ["syrup serp", "syrup: serp |", "[maybe]\nsyrup: serp"])
def test_a_line_that_cannot_be_read_is_told(line: str, tmp_path: Path) -> None:
    (tmp_path / "heads.txt").write_text(line if line.startswith("[") else f"[sure]\n{line}\n", encoding="utf-8")
    with pytest.raises(LexiconError):
        load_heads(tmp_path)


def test_a_lexicon_without_the_file_has_none(tmp_path: Path) -> None:
    assert load_heads(tmp_path) == {}
