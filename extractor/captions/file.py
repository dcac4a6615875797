"""A caption file as read: the transcript, and the cues that the rewriting needs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from extractor.captions import words
from extractor.captions.cues import Reading
from extractor.captions.segment_words import with_entries, with_whole
from extractor.record.words import Transcript

if TYPE_CHECKING:
    from extractor.captions.segments import Segments
    from extractor.captions.words import Index


class CaptionFile(Transcript):
    """A transcript whose words are made when they are first asked for: a file that is only rewritten needs few."""

    _reading: Reading
    _index: Index
    _segments: Segments | None

    @property
    def index(self) -> Index:
        return self._index

    @property
    def segments(self) -> Segments | None:
        return self._segments

    def __getattr__(self, name: str) -> Any:
        made: Any
        if name == "words":
            made = words.words(self._index)
            if self._segments is not None:
                made = with_whole(with_entries(made, self._index, self._segments), self._index, self._segments)
        elif name == "_index":
            made = words.index(self.source, self._reading)
        else:
            raise AttributeError(name)
        self.__dict__[name] = made
        return made


def caption_file(
    path: str | None, source: str, encoding: str, reading: Reading, segments: Segments | None
) -> CaptionFile:
    out = object.__new__(CaptionFile)
    ends = [c.end_s for c in reading.cues if c.end_s is not None]
    starts = [c.start_s for c in reading.cues if c.start_s is not None]
    out.__dict__.update(
        path=path,
        kind=reading.kind,
        source=source,
        encoding=encoding,
        cues=len(reading.cues),
        duration_s=max((*ends, *starts), default=None),
        notes=tuple(reading.notes),
        well_formed=reading.well_formed,
        _reading=reading,
        _segments=segments,
    )
    return out
