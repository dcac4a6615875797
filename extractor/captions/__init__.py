"""Caption files: any of six formats to timed words that know their place in the file."""

from extractor.captions.read import read_captions

__all__ = ["read_captions"]
