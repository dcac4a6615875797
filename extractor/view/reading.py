"""What one phrase is read as, and why: what `pourword measure` and `pourword name` print."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Protocol

from extractor.record import Amount
from extractor.record.measure import Measure
from extractor.units import Convention
from extractor.visible import line


class Candidate(Protocol):
    """One name that may be meant, as the names stage gives it."""

    @property
    def name(self) -> str: ...
    @property
    def lexicon_id(self) -> str | None: ...
    @property
    def confidence(self) -> float: ...
    @property
    def apply(self) -> bool: ...
    @property
    def how(self) -> str: ...


def measure_text(
    spoken: str,
    amount: Amount | None,
    found: Sequence[Measure],
    *,
    convention: Callable[[str], Convention | None] = lambda _: None,
    sources: Mapping[str, str] | None = None,
) -> str:
    """What a phrase says: the amount, then every measure in it with the rule that read it. Ends in a line break.

    `found` are the measures of the phrase; `convention` finds a line of conventions.txt by its word; `sources` gives
    the words of its source.
    """
    out = [f"“{line(spoken)}”"]
    if amount is None:
        out.append("  not read as one amount")
    else:
        out.append(_row("amount", _amount(amount)))
        if amount.millilitres is not None:
            out.append(_row("that is", f"{_span(amount.millilitres.low, amount.millilitres.high)} ml"))
        if amount.lean:
            out.append(_row("said with", line(amount.lean)))
        if amount.approximate:
            out.append(_row("", "approximate, not exact"))
        used = convention(amount.convention.split("/")[0]) if amount.convention is not None else None
        if used is not None:
            source = (sources or {}).get(used.source, used.source)
            sort = "a published standard" if used.standard else "practice, not a standard"
            out.append(_row("counted as", f"{used} ({sort}: {line(source)})"))
    if not found:
        out.append(_row("", "no measure was found in it"))
    for m in found:
        out.append(_row("read", f"“{line(m.said)}” as {_reading(m)}, by the rule “{m.rule}”"))
        out += [_row("put right", f"“{line(heard)}” is {line(meant)}") for heard, meant in m.repaired]
        out += [_row("or else", _numbers(*other)) for other in m.others]
    return "\n".join(out) + "\n"


def name_text(
    heard: str, candidates: Sequence[Candidate], sound: Callable[[str], str], *, before: str = "", after: str = ""
) -> str:
    """What a name may mean: candidates with their confidence and sound, best first. Ends in a line break.

    `sound` gives the phones of a text as it would be read out.
    """
    place = f" (behind “{line(before)}”)" if before.strip() else ""
    place += f" (before “{line(after)}”)" if after.strip() else ""
    out = [f"“{line(heard)}”{place}", _row("sounds like", sound(heard))]
    if not candidates:
        return "\n".join([*out, "  no name is near it: the words would stay as they are"]) + "\n"
    first = candidates[0]
    if first.confidence >= 1 and not first.apply:
        decided = "a name as it stands: nothing to put right"
    elif first.apply:
        decided = f"put right without asking: {line(first.name)}"
    else:
        decided = "not sure enough: the words stay as they are, and where it goes into a drink it is asked about"
    out += [_row("decided", decided), ""]
    wide = max(len(line(c.name)) for c in candidates)
    out += [f"  {c.confidence:6.3f}  {line(c.name):<{wide}}  by {c.how:<10}  {sound(c.name)}" for c in candidates]
    return "\n".join(out) + "\n"


def _row(label: str, words: str) -> str:
    return f"  {label:<12}{words}"


def _amount(amount: Amount) -> str:
    if amount.low is None or amount.high is None:
        return amount.unit or "vague: it cannot be measured"
    return f"{_span(amount.low, amount.high)} {amount.unit or '(no unit said)'}"


def _span(low: float, high: float) -> str:
    return f"{low:.6g}" if low == high else f"{low:.6g} to {high:.6g}"


def _numbers(low: Fraction | None, high: Fraction | None, unit: str | None) -> str:
    if low is None or high is None:
        return unit or "no number"
    return " ".join((_span(float(low), float(high)), *((unit,) if unit else ())))


_UNITS = {"time": "seconds", "temperature": "degrees Celsius", "strength": "per cent by volume"}


def _reading(m: Measure) -> str:
    """ "an amount: 1.75 fl_oz"."""
    kinds = {
        "amount": "an amount",
        "vague": "a vague amount",
        "number": "a number without a unit",
        "equal": "equal parts",
    }
    kind = kinds.get(m.kind, f"a {m.kind}")
    if m.kind == "ratio":
        by = f" by {m.by}" if m.by else ""
        return f"{kind}: {' to '.join(f'{float(p):.6g}' for p in m.parts)}{by}"
    if m.kind == "relation":
        return f"{kind}: {m.relation}"
    if m.low is None:
        return f"{kind}{f': {m.unit}' if m.unit else ''}"
    return f"{kind}: {_numbers(m.low, m.high, m.unit or _UNITS.get(m.kind))}"
