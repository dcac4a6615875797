"""Reads the talk: a spaCy pipeline of our own components over the blank English tokenizer.

`read_talk(transcript, lexicon)` gives a record.talk.Talk. What the components find is only found, never judged: which
drink a thing belongs to, and whether it is in a drink at all, is decided in extractor.specs.
"""

from extractor.talk.pipeline import read_talk

__all__ = ["read_talk"]
