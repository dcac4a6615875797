"""The reading of a measure is part of the record, where the later stages meet it: extractor/record/measure.py."""

from extractor.record.measure import Measure, MeasureKind

__all__ = ["Measure", "MeasureKind"]
