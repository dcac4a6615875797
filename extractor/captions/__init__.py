"""Caption files: any of six formats to timed words that know their place in the file, and back without loss."""

from extractor.captions.convert import convert
from extractor.captions.edits import Edit
from extractor.captions.read import read_captions
from extractor.captions.rewrite import Change, changes, rewrite

__all__ = ["Change", "Edit", "changes", "convert", "read_captions", "rewrite"]
