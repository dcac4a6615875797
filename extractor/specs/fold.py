"""Many statements of one thing become one line of a spec: corrections hold, recaps are held against it, doubt is
kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from extractor.lexicon import Entry, Lexicon, plain
from extractor.record.episode import Amount, Ingredient
from extractor.record.finding import Finding
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.doubled import is_doubled
from extractor.specs.gaps import TalkReader
from extractor.specs.method import evidence
from extractor.specs.same import same_thing, words_of
from extractor.specs.settled import explains, of_another_thing, put_right, same_number
from extractor.specs.statements import FLOAT, GARNISH, RIM, RINSE, TOP, Statement, is_volume, settle_unit

AmountOf = Callable[[Measure, bool | None], Amount]
MAIN_UNITS = ("fl_oz", "ml", "cl", "oz_wt", "g")
# A number without a unit takes the unit before it if that makes an amount within so many times the usual one.
PLAUSIBLE = 3.0
_MORE = frozenset(("again", "another", "more", "extra", "additional"))
SUM_WITHIN = 60
PUT_RIGHT_WITHIN = 180
"""Another amount of one thing, so many characters behind the first, with words of correction between, puts it right."""


@dataclass
class Line:
    """One line of a spec in the making."""

    mention: Mention
    statements: list[Statement] = field(default_factory=list)
    measure: Measure | None = None
    measured_at: Statement | None = None
    role: str = "pour"
    conflict: list[Measure] = field(default_factory=list)
    superseded: list[Measure] = field(default_factory=list)
    carried: bool = False

    def names(self) -> list[Mention]:
        return [s.mention for s in self.statements]


def equal_amounts(a: Measure, b: Measure) -> bool:
    if a.low is None or b.low is None:
        return a.low == b.low and (a.unit == b.unit or a.unit is None or b.unit is None)
    if a.unit == b.unit or a.unit is None or b.unit is None:
        return a.low == b.low and a.high == b.high
    return False


def _short_for(line: Line, s: Statement, lexicon: Lexicon) -> bool:
    """ "Three quarters of quince", behind quince syrup: no fruit is measured so, the liquid named before it is."""
    entry, m = s.mention.entry, s.measure
    if m is None or entry is None or lexicon.is_liquid(entry) or not lexicon.is_liquid(line.mention.entry):
        return False
    share = m.unit is None and m.kind == "number" and m.low is not None and m.low.denominator > 1
    return m.unit in ("fl_oz", "ml", "cl") or share


_FORMS = frozenset(("sprig", "wheel", "wedge", "slice", "twist", "peel", "ribbon", "fan", "crown", "bouquet"))


def _decorates(line: Line, s: Statement, lexicon: Lexicon) -> bool:
    """ "Lime cordial ... wedge of lime", "cherry brandy ... a cherry": the fruit on a drink is not the liquid in it."""
    entry = s.mention.entry
    if entry is None or lexicon.is_liquid(entry) or s.retold or s.mode == "recap":
        return False
    liquid = line.measure is not None and lexicon.is_liquid(line.mention.entry)
    return liquid and not any(words_of(m.name) == words_of(s.mention.name) for m in line.names())


def _matches(line: Line, s: Statement, lexicon: Lexicon) -> bool:
    if (line.role == RIM) != (s.role == RIM):
        return False
    if (
        s.measure is not None
        and s.measure.unit in ("peel", "wheel", "wedge", "slice", "sprig", "leaf")
        and line.role != GARNISH
        and s.role == GARNISH
    ):
        return False
    if s.placed and line.role == "pour" and line.measure is not None and line.measure.unit in _BY_THE_PIECE:
        return False  # "six mint leaves ... mint leaf on top"
    if s.role == GARNISH and s.measure is None and line.role != GARNISH and line.measure is not None:
        forms = _FORMS & words_of(s.mention.name)
        if forms and not any(forms & words_of(m.name) for m in line.names()):
            return False  # "six mint leaves ... a mint sprig on top"
    if s.role == GARNISH and line.role != GARNISH and _decorates(line, s, lexicon):
        return False
    floats = s.role == FLOAT and is_volume(s.measure) and line.role == "pour" and line.measure is not None
    if floats and not any(words_of(m.name) == words_of(s.mention.name) for m in line.names()):
        return False  # "two ounces of Scotch ... float a quarter ounce of Islay Scotch on top"
    made = line.mention.how == "head" and line.mention.entry is None and line.measure is not None
    if made and s.measure is not None and s.mention.entry is not None and s.mode != "recap" and not s.retold:
        heads = plain(s.mention.name).split()[-1:] == plain(line.mention.name).split()[-1:]  # "the bourbon" is it
        if not heads and words_of(s.mention.name) < words_of(line.mention.name) and not _short_for(line, s, lexicon):
            return False  # "twenty-five of the rhubarb oleo ... it's rhubarb, three dashes"
    loose = s.measure is None or s.mode in ("recap", "correct") or _short_for(line, s, lexicon)
    return any(same_thing(m, s.mention, loose=loose) for m in line.names())


def _put_right(line: Line, s: Statement, reader: TalkReader) -> bool:
    """ "Half an ounce of ginger syrup, no, look at the card, three quarters of ginger syrup": said again near by."""
    first = line.measured_at
    if first is None or first.measure is None or s.mode != "make" or s.retold or s.measure is None:
        return False
    before = max(first.measure.end, first.mention.end)
    now = min(s.measure.start, s.mention.start)
    if not 0 <= now - before <= PUT_RIGHT_WITHIN:
        return False
    return any(reader.has(f"turns.{x}", before, now) for x in ("correction", "read off"))


def _with_more(first: Measure, more: Measure, reader: TalkReader) -> Measure | None:
    """ "I put again a quarter of maple syrup": what is added to an amount said before, as their sum."""
    if not set(reader.before(more.start, 2)) & _MORE or first.low is None or more.low is None:
        return None
    if first.unit is None or more.unit not in (None, first.unit):
        return None
    low, high = first.low + more.low, (first.high or first.low) + (more.high or more.low)
    return replace(more, low=low, high=high, unit=first.unit, kind="amount")


def _told_sum(total: Measure, more: Measure, reader: TalkReader) -> bool:
    """ "So that makes three quarters": the sum is said too."""
    near = (m for m in reader.talk.measures if more.end <= m.start <= more.end + SUM_WITHIN)
    return any(m.low == total.low for m in near)


def _fuller_name(line: Line, mention: Mention) -> Mention:
    """The longer of two names of one thing, unless it is less sure."""
    old = line.mention
    if mention.entry is not None and old.entry is None:
        # "Huckleberry for the garnish" does not make huckleberries of a huckleberry shrub.
        return old if old.how == "head" and words_of(mention.name) < words_of(old.name) else mention
    longer = len(mention.name.split()) > len(old.name.split())
    if (
        longer
        and (mention.entry is not None) == (old.entry is not None)
        and mention.confidence >= old.confidence - 0.05
    ):
        return mention
    return old


def _by_its_head(lines: Sequence[Line], mention: Mention) -> Line | None:
    """ "Tea, four cups" in a list read out again: the one thing of the drink that is some tea."""
    words = plain(mention.name).split()
    like = [ln for ln in lines if ln.role != GARNISH and plain(ln.mention.name).split()[-len(words) :] == words]
    return like[0] if len(like) == 1 else None


def _told_with_it(s: Statement, known: Measure, statements: Sequence[Statement]) -> bool:
    """Was the amount that holds said of the same naming, beside this one: "agave a quarter, five drops, chile"?"""
    if any(equal_amounts(known, x) for g in s.groups for x in g.measures):
        return True
    beside = (o for o in statements if o is not s and o.mention is s.mention and o.measure is not None)
    return any(o.measure is not None and equal_amounts(known, o.measure) for o in beside)


def fold(
    statements: Sequence[Statement], reader: TalkReader, lexicon: Lexicon, *, drink: str | None
) -> tuple[list[Line], list[Finding]]:
    """The lines of one drink in the order said, and what could not be settled."""
    lines: list[Line] = []
    findings: list[Finding] = []
    for s in statements:
        matching = [ln for ln in lines if _matches(ln, s, lexicon)]
        exact = [ln for ln in matching if any(n.name == s.mention.name for n in ln.names())]
        line = exact[0] if exact else matching[0] if len(matching) == 1 else matching[0] if matching else None
        if line is None and (s.mode == "recap" or s.retold) and s.measure is not None and s.measure.unit is not None:
            line = _by_its_head(lines, s.mention)
        if line is None:
            if (s.mode == "recap" or s.retold) and not s.forced:
                continue
            line = Line(s.mention, role=s.role)
            lines.append(line)
        line.statements.append(s)
        for g in s.groups:
            if g.corrected:
                line.superseded += [x for x in g.measures if not equal_amounts(x, g.value)]
        if s.mode != "recap":
            line.mention = _fuller_name(line, s.mention)
        if s.role in (TOP, FLOAT, RINSE) and line.role == "pour" and line.measure is None:
            line.role = s.role
        if line.role == GARNISH and s.measure is not None and s.role != GARNISH:
            line.role = s.role
        m = s.measure
        if m is None:
            continue
        if m.unit == "piece" and s.groups and s.groups[-1].value.unit is None and lexicon.is_liquid(line.mention.entry):
            m = s.groups[-1].value  # "ten pear", where pear liqueur was said before, is no ten pears
        if line.measure is None or line.measure.unit not in MAIN_UNITS:
            m = settle_unit(m, line.mention if lexicon.is_liquid(line.mention.entry) else s.mention, lexicon)
        if line.measure is None:
            if s.mode != "recap" or s.forced or m.kind == "amount":
                line.measure, line.measured_at = m, s
            continue
        if same_number(line.measure, m) or explains(line.measure, m, reader, recap=s.mode == "recap" or s.retold):
            continue
        if equal_amounts(line.measure, m):
            if line.measure.unit is None and m.unit is not None:
                line.measure, line.measured_at = m, s
            continue
        if any(equal_amounts(old, m) for old in line.superseded):
            continue  # what was taken back is only told of again
        total = _with_more(line.measure, m, reader)
        if total is not None and s.mode != "recap" and not s.retold:
            line.conflict += [line.measure] if not _told_sum(total, m, reader) else []
            line.superseded += [line.measure, m]
            line.measure, line.measured_at = total, s
            continue
        at = min(m.start, s.mention.start)
        if (
            s.mode == "correct"
            or is_doubled(line.measure, m, reader)
            or _put_right(line, s, reader)
            or put_right(line.measure, m, reader, at)
        ):
            line.superseded.append(line.measure)
            if m.unit is None and line.measure.unit is not None and line.measure.low is not None:
                m = replace(m, unit=line.measure.unit, kind="amount")
            line.measure, line.measured_at = m, s
            line.conflict.clear()
            continue
        if (
            line.measure.low is None
            and line.measure.kind == "vague"
            and m.kind == "amount"
            and m.low is not None
            and s.mode != "recap"
        ):
            line.measure, line.measured_at = m, s  # "a slosh of hot water, I'd say a hundred and twenty mil"
            continue
        if (
            line.measure.unit is None
            and line.measure.kind in ("vague", "number")
            and m.kind == "amount"
            and s.mode != "recap"
        ):
            line.measure, line.measured_at = m, s
            continue
        if m.kind == "vague" or (m.low is None and line.measure.low is not None):
            continue
        if m.unit is None and s.mode == "recap" and line.measure.unit not in (None, "fl_oz", "ml", "cl"):
            continue
        if line.role == GARNISH:
            continue  # how many of a garnish is nothing that two opinions are about
        if (s.mode == "recap" or s.retold) and (
            of_another_thing(line.measure, m) or _told_with_it(s, line.measure, statements)
        ):
            continue
        line.conflict.append(m)
    for line in lines:
        if line.conflict and line.measure is not None:
            other = line.conflict[-1]
            findings.append(
                Finding("conflict", drink, line.mention.name, other.start, other.end, (line.measure.said, other.said))
            )
    return lines, findings


def carry_units(
    lines: Sequence[Line],
    millilitres: Callable[[Measure], float | None],
    usual: Callable[[Mention], tuple[float, float] | None],
    liquid: Callable[[Mention], bool],
    *,
    servings: float = 1.0,
    usual_unit: str | None = None,
) -> None:
    """Bare numbers of liquids take the unit that was said before them in the same list, where that is plausible."""
    ordered = sorted(
        (ln for ln in lines if ln.measure is not None), key=lambda ln: ln.measure.start if ln.measure else 0
    )
    unit: str | None = None
    volume: str | None = None
    weighed = any(ln.measure is not None and ln.measure.unit == "g" and liquid(ln.mention) for ln in ordered)
    for k, line in enumerate(ordered):
        m = line.measure
        assert m is not None
        if m.unit in MAIN_UNITS and m.kind in ("amount", "equal"):
            unit = "fl_oz" if m.unit == "oz_wt" else m.unit
            volume = unit if unit != "g" else volume
        elif m.unit is None and m.low is not None and m.kind == "number":
            wet = liquid(line.mention)
            later = (x.measure.unit for x in ordered[k:] if x.measure and x.measure.unit in MAIN_UNITS)
            candidate = (volume if wet else unit) or next((u for u in later if not wet or u != "g"), None)
            # Who weighs what is poured and says no millilitre weighs it all: "gin, fifty grams; lemon, twenty".
            candidate = candidate or usual_unit or ("g" if weighed else None)
            if candidate is None:
                continue
            before = ordered[k - 1].measure if k else None
            if before is not None and before.unit in _SPOONS and candidate in ("ml", "cl") and m.low < FEW:
                continue  # "three tablespoons of yogurt, orange juice, six": of which, must be asked
            tried = replace(m, unit=candidate, kind="amount")
            size, range_ = millilitres(tried), usual(line.mention)
            if not liquid(line.mention) and candidate in ("fl_oz", "ml", "cl") and line.mention.entry is not None:
                continue
            if size is not None:
                size /= servings
            if size is not None and range_ is not None and not range_[0] / PLAUSIBLE <= size <= range_[1] * PLAUSIBLE:
                continue
            line.measure = tried
            line.carried = True


_BY_THE_PIECE = (None, "piece", "leaf", "sprig", "slice", "wheel", "wedge", "peel", "stick")
_SPOONS = ("tbsp", "tsp", "bar_spoon", "cup")
FEW = 10
CUTS = ("slice", "wheel", "wedge", "sprig", "leaf", "peel")


def as_cut(line: Line, lexicon: Lexicon) -> tuple[str, Entry | None]:
    """The name of a line: the thing's, but "a slice of orange" garnishes as an orange slice."""
    m, unit = line.mention, line.measure.unit if line.measure is not None else None
    if m.entry is None or line.role != GARNISH or unit not in CUTS or unit in plain(m.name).split():
        return m.name, m.entry
    if lexicon.is_any(m.entry, ("garnish", "spice")):
        return m.name, m.entry  # "a peel of lemon zest", "a leaf of cinnamon"
    cut = lexicon.named(f"{m.name} {unit}")
    if cut is not None:
        return f"{m.name} {unit}", cut
    return (m.name, m.entry) if m.name.endswith("s") else (f"{m.name} {unit}", m.entry)


def ingredient(line: Line, reader: TalkReader, lexicon: Lexicon, amount_of: AmountOf) -> Ingredient:
    """The record's ingredient of a line."""
    m = line.mention
    liquid = None if m.entry is None else lexicon.state(m.entry) == "liquid"
    amount: Amount | None = None
    if line.measure is not None and line.measure.kind != "relation":
        amount = amount_of(line.measure, liquid)
    unitless = amount is None or (amount.low is None and amount.unit is None)
    if unitless and line.role in (TOP, RINSE, RIM, FLOAT):
        said = line.measure.said if line.measure is not None else line.role
        amount = Amount(low=None, high=None, unit=line.role, millilitres=None, said=said)  # type: ignore[arg-type]
    notes: list[str] = []
    if line.role in (FLOAT, RINSE) and amount is not None and amount.unit != line.role:
        notes.append({"float": "floated on top", "rinse": "to rinse the glass"}[line.role])
    if line.role == "muddle":
        notes.append("muddled")
    if line.carried and amount is not None:
        notes.append(f"unit carried over: {amount.unit}")
    alternatives: list[str] = []
    optional = False
    for s in line.statements:
        for n in s.notes:
            if n not in notes:
                notes.append(n)
        alternatives += [a.name for a in s.alternatives if a.name not in alternatives]
        optional = optional or s.optional
    name, entry = as_cut(line, lexicon)
    start, end = m.start, m.end
    if line.measured_at is not None and line.measure is not None:
        first = line.measured_at.mention
        start = min(first.start, line.measure.start)
        end = max(first.end, line.measure.end)
        if end - start > 220:
            start, end = line.measure.start, line.measure.end
    return Ingredient(
        name=name,
        lexicon_id=entry.id if entry is not None else None,
        heard=m.heard,
        amount=amount,
        notes=tuple(notes),
        optional=optional,
        alternatives=tuple(alternatives),
        at_s=reader.talk.second(start),
        evidence=evidence(reader, start, end),
    )
