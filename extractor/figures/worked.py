"""Sums with numbers that are only known within bounds.

`Worked` (extractor.record) is a low and a high bound, the unknowns that it rests on, and its source. Each operation
here keeps the bounds true: the result holds whatever the operands really are within theirs.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from extractor.record import Worked

# An unknown that moves a total by less than this share of it is kept in the bounds but not told.
NEGLIGIBLE = 0.01


def merged(*groups: Iterable[str]) -> tuple[str, ...]:
    """The items of all groups in order, each once."""
    return tuple(dict.fromkeys(item for group in groups for item in group))


def sources(*parts: Worked | str) -> str:
    """The source keys of all parts, each once, joined by ", "."""
    keys: list[str] = []
    for part in parts:
        keys += (part if isinstance(part, str) else part.source).split(", ")
    return ", ".join(dict.fromkeys(k for k in keys if k))


def exact(value: float, unit: str, source: str = "") -> Worked:
    return Worked(value, value, unit, (), source)


def unknown(unit: str, why: str, *, low: float = 0.0, high: float | None = None) -> Worked:
    """Nothing but its bounds is known, and `why` says what would have to be."""
    return Worked(low, high, unit, (why,))


def resting(worked: Worked, *why: str) -> Worked:
    return replace(worked, rests_on=merged(worked.rests_on, why))


def total(parts: Sequence[Worked], unit: str) -> Worked:
    """The sum of independent parts; no upper bound where one part has none. `unit` is that of every part."""
    for part in parts:
        if part.unit != unit:
            raise ValueError(f"cannot add {part.unit} to {unit}")
    highs = [p.high for p in parts]
    high = sum(h for h in highs if h is not None) if None not in highs else None
    low = float(sum(p.low for p in parts))
    telling = [p for p in parts if high is None or p.high is None or p.high - p.low > NEGLIGIBLE * high]
    return Worked(low, high, unit, merged(*(p.rests_on for p in telling)), sources(*parts))


def times(a: Worked, b: Worked | float, unit: str) -> Worked:
    """The product of two numbers that are not negative; nothing times the unbounded is nothing."""
    if not isinstance(b, Worked):
        b = exact(b, "")
    high: float | None
    if a.high == 0 or b.high == 0:
        high = 0.0
    elif a.high is None or b.high is None:
        high = None
    else:
        high = a.high * b.high
    # What multiplies nothing at all does not matter, nor do its unknowns.
    rests_on: tuple[str, ...] = () if high == 0 else merged(a.rests_on, b.rests_on)
    return Worked(a.low * b.low, high, unit, rests_on, sources(a, b))


def over(a: Worked, b: Worked, unit: str) -> Worked:
    """The quotient of two independent numbers that are not negative; no upper bound where `b` may be nothing."""
    high: float | None
    if a.high == 0:
        high = 0.0
    elif a.high is None or b.low <= 0:
        high = None
    else:
        high = a.high / b.low
    low = 0.0 if b.high is None or a.low == 0 else a.low / b.high if b.high > 0 else 0.0
    return Worked(low, high, unit, merged(a.rests_on, b.rests_on), sources(a, b))


def per(a: Worked, divisor: float) -> Worked:
    """`a` shared out evenly."""
    return replace(a, low=a.low / divisor, high=None if a.high is None else a.high / divisor)


def either(a: Worked, b: Worked, *why: str) -> Worked:
    """One of the two, and it is not known which."""
    high = None if a.high is None or b.high is None else max(a.high, b.high)
    rests_on = merged(a.rests_on, b.rests_on, why)
    return Worked(min(a.low, b.low), high, a.unit, rests_on, sources(a, b))


def perhaps(a: Worked, why: str) -> Worked:
    """`a` or nothing."""
    return replace(a, low=0.0, rests_on=merged(a.rests_on, (why,)))


def _extreme(weights: Sequence[tuple[float, float]], values: Sequence[float], *, greatest: bool) -> float:
    """The least or greatest weighted mean when each weight may be anything within its bounds.

    A ratio of linear forms takes its extremes at corners, where one end of the values has its greatest weights and
    the other its least: so it is enough to try each place of the cut.
    """
    order = sorted(range(len(values)), key=lambda i: values[i], reverse=greatest)
    best: float | None = None
    for cut in range(len(order) + 1):
        picked = [(weights[i][1] if n < cut else weights[i][0], values[i]) for n, i in enumerate(order)]
        weight = sum(w for w, _ in picked)
        if weight <= 0:
            continue
        mean = sum(w * v for w, v in picked) / weight
        if best is None or (mean > best if greatest else mean < best):
            best = mean
    if best is None:
        raise ZeroDivisionError("a mean over nothing")
    return best


# Stands for a volume without an upper bound ("topped up"): large against any drink, so that the mean goes to its limit.
_BOUNDLESS = 1e9


def mean(weights: Sequence[Worked], values: Sequence[Worked], unit: str) -> Worked | None:
    """The mean of `values` by `weights` (strength by volume, say), with the tightest bounds that hold.

    None where the weights come to nothing. No upper bound where a value that weighs something has none.
    """
    pairs = [(w, v) for w, v in zip(weights, values, strict=True) if w.high != 0]
    if not pairs:
        return None
    points = {(v.low, v.high) for _, v in pairs}
    if len(pairs) == 1 or (len(points) == 1 and all(v.low == v.high for _, v in pairs)):
        # One thing alone, or things all alike, are as they are whatever their weights.
        alike = [v for _, v in pairs]
        return Worked(alike[0].low, alike[0].high, unit, merged(*(v.rests_on for v in alike)), sources(*alike))
    spans = [(w.low, _BOUNDLESS if w.high is None else w.high) for w, _ in pairs]
    low = _extreme(spans, [v.low for _, v in pairs], greatest=False)
    highs = [v.high for _, v in pairs]
    known = [h for h in highs if h is not None]
    high = _extreme(spans, known, greatest=True) if len(known) == len(highs) else None
    used = [x for pair in pairs for x in pair]
    least = sum(w.low for w, _ in pairs)
    telling = [x for w, v in pairs if w.high is None or w.high > NEGLIGIBLE * least for x in (w, v)]
    return Worked(low, high, unit, merged(*(x.rests_on for x in telling)), sources(*used))


def rounded(a: Worked, digits: int = 4) -> Worked:
    return replace(a, low=round(a.low, digits), high=None if a.high is None else round(a.high, digits))
