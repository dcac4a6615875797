"""Home-made things: what goes into them, for how long and how hot.

A making is told of a topic ("the cider syrup, I tell you how"; "my simple is one to one"; "for this we make a kokum
shrub"). Where it is told: stretches.py.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from extractor.lexicon import Lexicon, plain
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.links import Group, Linked
from extractor.specs.made_names import batch_words, compounds, form_of, makeable, word_list
from extractor.specs.misheard_makings import misheard_makings, named_by_parts, named_when_poured
from extractor.specs.modes import Extent, left_out, mode_at
from extractor.specs.same import same_thing, words_of
from extractor.specs.stretches import EQUALLY, POURED, Stretch, Weigher, is_topic, not_meant, weighed

__all__ = ["Making", "batch_words", "compounds", "makeable", "makings"]


@dataclass
class Making:
    """One home-made thing as told: text[start:end] is about it."""

    topic: Mention
    start: int
    end: int
    parts: list[Linked] = field(default_factory=list)
    plain_parts: list[Mention] = field(default_factory=list)
    ratio: Measure | None = None
    equal: Measure | None = None
    """One part of each: "equal parts", "the same amount of each"."""
    time: Measure | None = None
    heat: Measure | None = None
    overnight: bool = False
    steep: bool = False
    amends: bool = False
    """Only puts right an amount of a making told before: it gives no component of its own."""
    nameless: bool = False
    """No name of it was heard, so that no drink is known to have it."""


def makings(
    reader: TalkReader, linked: Sequence[Linked], extents: Sequence[Extent], lexicon: Lexicon, openings: Sequence[int],
    loose: Sequence[Group] = (), drinks: Sequence[str] = (),
) -> list[Making]:  # fmt: skip
    """All home-made things whose making is told, in order. What is told of one a second time amends the first."""
    out: list[Making] = []
    weigher = Weigher(reader, linked, extents, lexicon, drinks)
    segments = weigher.segments()
    known = weighed(weigher, segments, openings)
    for stretch in sorted([*known, *misheard_makings(weigher, segments, known)], key=lambda s: s.start):
        stretch = named_when_poured(weigher, stretch)
        making = _collect(reader, stretch, linked, loose, extents, lexicon)
        told = making.parts or making.plain_parts
        if (not told and making.ratio is None) or _only_poured(making):
            continue
        same = next((m for m in out if _same_making(m, making)), None)
        if same is None:
            out.append(making)
        else:
            _amend(same, making)
    late = [*_put_right(out, linked, extents), *_corrected(out, linked, extents, reader, lexicon)]
    return sorted([*out, *late], key=lambda m: m.start)


def _only_poured(making: Making) -> bool:
    """ "It was one when I made it myself. And half a part of lemon juice": one pour and no work is no making."""
    if making.plain_parts or len(making.parts) != 1 or making.ratio or making.time or making.heat or making.steep:
        return False
    return all(g.value.unit in (*POURED, "part") for g in making.parts[0].groups) and not making.overnight


AMENDS_WITHIN = 60
AT_ONCE_BEHIND = 8
ASKED_BEHIND = 40
"""How far behind a making "how many days?" may stand, in characters."""


def _put_right(out: Sequence[Making], linked: Sequence[Linked], extents: Sequence[Extent]) -> list[Making]:
    """ "On the lid the orgeat says two cups of sugar": a part's amount, said again right behind the thing's name."""
    found: list[Making] = []
    for k, x in enumerate(linked):
        if k == 0 or not x.groups or mode_at(extents, x.mention.start) is not None:
            continue
        name = linked[k - 1].mention
        first = x.groups[0]
        if linked[k - 1].groups or not 0 <= min(x.mention.start, first.start) - name.end < AMENDS_WITHIN:
            continue
        for m in out:
            known = next((p for p in m.parts if same_thing(p.mention, x.mention)), None)
            a, b = words_of(name.name), words_of(m.topic.name)
            about = a <= b or b <= a
            if (
                known is None
                or is_topic(x.mention, m.topic)
                or not about
                or name.start < m.end
                or any(o.start <= name.start < o.end for o in out)
            ):
                continue
            if known.groups and known.groups[-1].value.unit == first.value.unit:
                known.groups.extend(x.groups)
                found.append(Making(name, name.start, max(x.mention.end, x.groups[-1].end), amends=True))
    return found


CORRECTED_WITHIN = 130
OF_MAKINGS = ("g", "kg", "lb", "cup", "pint", "l", "bottle")
"""Units by which a part of a making is told from a pour."""


def _corrected(
    out: Sequence[Making], linked: Sequence[Linked], extents: Sequence[Extent], reader: TalkReader, lexicon: Lexicon
) -> list[Making]:
    """ "Did I say nine tea bags? It's eight. Eight tea bags": long after the making, of a part of it."""
    found: list[Making] = []
    for x in linked:
        at = x.mention.start
        if not x.groups or mode_at(extents, at) is not None or any(m.start <= at < m.end for m in out):
            continue
        if not reader.has("turns.correction", max(0, at - CORRECTED_WITHIN), at):
            continue
        name, unit = as_put_in(x.mention, reader, lexicon).name, x.groups[-1].value.unit
        formed = form_of(x.mention, reader, lexicon) is not None
        for m in out:
            known = next((p for p in m.parts if words_of(p.mention.name) == words_of(name)), None)
            if known is None or at < m.end or not known.groups or known.groups[-1].value.unit != unit:
                continue
            if formed or unit in OF_MAKINGS:
                known.groups.extend(x.groups)
                start = min(at, x.groups[0].start)
                found.append(Making(m.topic, start, max(x.mention.end, x.groups[-1].end), amends=True))
                break
    return found


def _same_making(first: Making, second: Making) -> bool:
    a, b = words_of(first.topic.name), words_of(second.topic.name)
    if a == b:
        return True
    known = [x.mention for x in first.parts] + first.plain_parts
    again = [x.mention for x in second.parts] + second.plain_parts
    return (a < b or b < a) and all(any(same_thing(x, k) for k in known) for x in again)


def _amend(first: Making, second: Making) -> None:
    """ "On the lid it says two cups of sugar": the last word holds."""
    for x in second.parts:
        known = next((p for p in first.parts if same_thing(p.mention, x.mention)), None)
        if known is not None:
            known.groups.extend(x.groups)
        else:
            first.parts.append(x)
            first.plain_parts = [m for m in first.plain_parts if not same_thing(m, x.mention)]
    for m in second.plain_parts:
        if not any(same_thing(m, k) for k in [*(p.mention for p in first.parts), *first.plain_parts]):
            first.plain_parts.append(m)
    first.ratio = second.ratio or first.ratio
    first.time = second.time or first.time
    first.heat = second.heat or first.heat
    first.steep = first.steep or second.steep
    first.overnight = first.overnight or second.overnight
    if not first.parts and first.plain_parts:
        first.equal = first.equal or second.equal


def _equal(measures: Sequence[Measure], reader: TalkReader, start: int, stop: int) -> Measure | None:
    one = Fraction(1)
    for m in measures:
        if m.kind == "equal":
            return replace(m, kind="amount", low=one, high=one, unit="part")
    for cue in (c for label in EQUALLY for c in reader.cues_in(label, start, stop)):
        return Measure(cue.start, cue.end, "amount", one, one, "part", reader.talk.text[cue.start : cue.end])
    return None


def _collect(
    reader: TalkReader, stretch: Stretch, linked: Sequence[Linked], loose: Sequence[Group], extents: Sequence[Extent],
    lexicon: Lexicon,
) -> Making:  # fmt: skip
    topic, start, stop = replace(stretch.topic, name=stretch.topic.name.replace(",", "")), stretch.start, stretch.end
    making = Making(topic, start, stop, nameless=stretch.nameless)
    measures = [
        m for m in reader.talk.measures
        if start <= m.start < stop and mode_at(extents, m.start) not in ("hypothetical", "history", "riff")
    ]  # fmt: skip
    making.ratio = next((m for m in measures if m.kind == "ratio"), None)
    making.heat = next((m for m in measures if m.kind == "temperature"), None)
    making.overnight = any(m.kind == "time" and _overnight(m) for m in measures)
    times = [m for m in reader.talk.measures if m.kind == "time" and start <= m.start < stop and not _overnight(m)]
    times = [m for m in times if mode_at(extents, m.start) not in ("history", "riff")]
    making.time = _time(times, reader, lexicon)
    asked = reader.has("homemade.how long", start, stop + ASKED_BEHIND)
    making.steep = asked or reader.has("homemade.steep words", start, stop)
    making.equal = _equal(measures, reader, start, stop)

    def apart(mention: Mention) -> bool:
        if mode_at(extents, mention.start) is not None or left_out(reader, mention) is not None:
            return True
        return not_meant(mention, reader) or _of_a_vessel(mention, reader, lexicon)

    inside = [
        Linked(_of_its_plant(as_put_in(x.mention, reader, lexicon), topic, lexicon), x.groups) for x in linked
        if (start <= x.mention.start < stop or _told_in(x, topic, start, stop)) and not apart(x.mention)
        and (
            not is_topic(as_put_in(x.mention, reader, lexicon), topic)
            or form_of(x.mention, reader, lexicon) is not None
            or _steeped_in_itself(x, topic, lexicon)
            or _part_of_itself(x, reader)
        )
    ]  # fmt: skip
    unmeasured = [x.mention for x in inside if not x.groups and x.mention.how != "unknown"]
    pronouns = _the_one_and_the_other(reader, unmeasured, start, stop)
    pronouns += _of_them(reader, loose, linked, topic, start, stop)
    pronouns += _named_in_topic(reader, topic, inside, start, stop, lexicon)
    forms = _forms_alone(reader, topic, measures, linked, lexicon)
    inside = [x for x in inside if not any(f.mention.start <= x.mention.start < f.mention.end for f in forms)]
    taken = {g.start for x in forms for g in x.groups}
    inside = [Linked(x.mention, [g for g in x.groups if g.start not in taken]) for x in inside]
    taken = {g.start for x in pronouns for g in x.groups}
    making.parts = [x for x in inside if x.groups and not any(g.start in taken for g in x.groups)]
    making.parts = [x for x in making.parts if plain(x.mention.heard) not in ("other", "one")]
    making.parts = _folded([*making.parts, *(x for x in [*pronouns, *forms] if x.groups)])
    making.plain_parts = [x.mention for x in pronouns if not x.groups]
    seen = [*(x.mention for x in making.parts), *making.plain_parts]
    put_in: list[Mention] = [x.mention for x in making.parts]
    for x in inside:
        m = x.mention
        if (
            x.groups
            or m.how == "unknown"
            or any(same_thing(m, s) for s in seen)
            or not (_goes_in(reader, m, start, lexicon) or _listed_on(reader, m, put_in, lexicon))
        ):
            continue
        making.plain_parts.append(m)
        seen.append(m)
        put_in.append(m)
    making.topic = named_by_parts(topic, [*(x.mention for x in making.parts), *making.plain_parts], reader, lexicon)
    return making


NAMED_BEFORE_ITS_AMOUNT = 30


def _told_in(item: Linked, topic: Mention, start: int, stop: int) -> bool:
    """ "Mountain tea, that is the flowers. Ten grams, and three hundred mil of water": named right before the making,
    its amount is the first thing told in it."""
    near = 0 <= start - item.mention.start < NAMED_BEFORE_ITS_AMOUNT and item.mention.start > topic.start
    return near and bool(item.groups) and all(start <= g.start < stop for g in item.groups)


# ---- time ----------------------------------------------------------------------------------------------------------


def _overnight(m: Measure) -> bool:
    return m.said.lower().strip() in ("overnight", "over night")


def _time(times: Sequence[Measure], reader: TalkReader, lexicon: Lexicon) -> Measure | None:
    """The longest time that is told as done: no storage ("keeps two weeks"), no warning, no other person's way."""

    def not_done(m: Measure) -> bool:
        return _only_keeps(m, reader, lexicon) or _warned(m, reader) or _anothers(m, reader, lexicon)

    held = [m for m in times if not not_done(m)]
    return max(held, key=lambda m: m.high or 0, default=None)


def _only_keeps(m: Measure, reader: TalkReader, lexicon: Lexicon) -> bool:
    around = (*reader.before(m.start, 4), *reader.after(m.end, 3))
    if "good" in reader.before(m.start, 3) and "for" in reader.before(m.start, 2):
        return True
    return bool(word_list(lexicon, "storage") & set(around)) and not {"leave", "let"} & set(around)


def _warned(m: Measure, reader: TalkReader) -> bool:
    """ "Not more than three days", "because an hour and it's like chewing a lawn", "at ten minutes it's medicine"."""
    before, after = reader.before(m.start, 3), reader.after(m.end, 2)
    if "not" in (*before, *m.said.lower().split()[:1]) or before[-1:] in (("than",), ("because",)):
        return True
    turns = after[:1] in (("it's",), ("it",)) or (
        after[:1] in (("and",), ("or",)) and after[1:] in (("it's",), ("it",))
    )
    return before[-1:] in (("at",), ("after",), ("because",)) and turns


def _anothers(m: Measure, reader: TalkReader, lexicon: Lexicon) -> bool:
    """ "My mother boiled it half an hour": how somebody else did it."""
    if "if" in reader.before(m.start, 4):
        return True
    return bool(word_list(lexicon, "other people") & set(reader.before(m.start, 6))) and not {"i", "you", "we"} & set(
        reader.before(m.start, 4)
    )


# ---- parts ---------------------------------------------------------------------------------------------------------


def as_put_in(mention: Mention, reader: TalkReader, lexicon: Lexicon) -> Mention:
    """The name of a part of a making.

    "Rooibos" in a jar is no tea yet: where the lexicon's name for a short word says more than was said, the speaker's
    word stands.
    """
    form = form_of(mention, reader, lexicon)
    heard = plain(mention.heard).split()
    said = mention.heard if reader.sentence(mention.start)[0] != mention.start else mention.heard.lower()
    if form is not None and form not in heard:
        return replace(mention, name=f"{said} {form}")
    name = plain(mention.name).split()
    if mention.how != "exact" and len(heard) > 1 and heard[-1] in word_list(lexicon, "cut up"):
        return replace(mention, name=said.rsplit(" ", 1)[0], entry=lexicon.named(" ".join(heard[:-1])))
    if form is not None and form not in name:
        return replace(mention, name=said)
    if mention.how == "other name" and heard and name and heard[-1] in name[:-1] and name[-1] not in heard:
        return replace(mention, name=said)
    return mention


def _of_a_vessel(mention: Mention, reader: TalkReader, lexicon: Lexicon) -> bool:
    """The water of "in a water bottle", the coffee of "a coffee filter"."""
    touching = reader.lower[mention.end : mention.end + 1] == " "
    return touching and bool(word_list(lexicon, "vessels") & set(reader.after(mention.end, 1)))


def _folded(parts: Sequence[Linked]) -> list[Linked]:
    """ "Half a teaspoon of nutmeg. Quarter. Quarter of a teaspoon of nutmeg": one part, the last word holds."""
    out: list[Linked] = []
    for x in sorted(parts, key=lambda x: x.mention.start):
        same = next((p for p in out if words_of(p.mention.name) == words_of(x.mention.name)), None)
        if same is not None and same.groups and x.groups and _alike(same.groups[-1].value, x.groups[0].value):
            same.groups.extend(x.groups)
        else:
            out.append(Linked(x.mention, list(x.groups)))
    return out


def _alike(a: Measure, b: Measure) -> bool:
    return a.unit == b.unit or a.unit is None or b.unit is None


def _named_in_topic(
    reader: TalkReader, topic: Mention, inside: Sequence[Linked], start: int, stop: int, lexicon: Lexicon
) -> list[Linked]:
    """The plant of a "cataia cachaça" that no dictionary has: "fifteen leaves of cataia", "push buchu leaves down"."""
    words = topic.heard.lower().split()
    if topic.entry is not None or topic.how != "head" or len(words) < 2:
        return []
    plant = " ".join(words[:-1])
    if any(words_of(plant) <= words_of(x.mention.name) | words_of(x.mention.heard) for x in inside):
        return []
    forms = "|".join(sorted(word_list(lexicon, "forms")))
    pattern = re.compile(
        r"(?<![\w'])" + re.escape(plant) + r"(?: (" + forms + r"))?(?!\w| " + re.escape(words[-1]) + ")"
    )
    best: Linked | None = None
    for m in pattern.finditer(reader.lower, start, stop):
        a, b = m.span()
        mention = Mention(a, b, reader.talk.text[a:b], reader.talk.text[a:b], "ingredient", None, "unknown")
        measure = next(
            (x for x in reader.talk.measures if x.kind == "amount" and 0 <= a - x.end <= 4 and start <= x.start), None
        )
        if measure is not None:
            return [Linked(mention, [Group([measure], measure)])]
        if m[1] is not None or (best is None and _goes_in(reader, mention, start, lexicon)):
            best = Linked(mention)
    return [best] if best is not None else []


_ONE = re.compile(r"^(?: of)? the (?:one|first|former)(?!\w)")
_OTHER = re.compile(r"^(?: of)? the (?:other|second|latter)(?!\w)")


def _the_one_and_the_other(reader: TalkReader, names: Sequence[Mention], start: int, stop: int) -> list[Linked]:
    """ "Honey let down with hot water, a hundred grams of the one and a hundred of the other"."""
    if len(names) < 2:
        return []
    out: list[Linked] = []
    for m in reader.talk.measures:
        if not start <= m.start < stop or m.kind not in ("amount", "number"):
            continue
        behind = reader.lower[m.end : m.end + 20]
        before = [n for n in names if n.end <= m.start]
        if len(before) < 2:
            continue
        if _ONE.match(behind):
            out.append(Linked(before[0], [Group([m], m)]))
        elif _OTHER.match(behind):
            out.append(Linked(before[1], [Group([m], m)]))
    return out


_THEM = re.compile(r"^ of (?:'?em|them|those|these)(?!\w)")


THEM_BEHIND = 160


def _of_them(
    reader: TalkReader, loose: Sequence[Group], linked: Sequence[Linked], topic: Mention, start: int, stop: int
) -> list[Linked]:
    """ "He's got pine nuts, and I toast one cup of em": what was named last before."""
    out: list[Linked] = []
    for g in loose:
        if start <= g.start < stop and _THEM.match(reader.lower[g.end : g.end + 12]):
            # "Two hundred mil, that's six or seven of 'em"
            measured = [x for x in linked if any(p.value.unit is not None for p in x.groups)]
            before = [x.mention for x in linked if g.start - THEM_BEHIND < x.mention.end <= g.start]
            if any(before and x.mention is before[-1] for x in measured):
                continue
            before = [m for m in before if m.how != "unknown" and not is_topic(m, topic)]
            before = [m for m in before if reader.before(m.start, 1) not in (("i",), ("you",), ("we",))]  # "I toast"
            if before:
                out.append(Linked(before[-1], [g]))
    return out


def _of_its_plant(mention: Mention, topic: Mention, lexicon: Lexicon) -> Mention:
    """ "A tablespoon of flowers in a cup of hot water", of a butterfly pea tea: those of the pea."""
    plant = plain(topic.heard).split()[:-1]
    if not plant or plain(mention.heard) not in word_list(lexicon, "forms"):
        return mention
    return replace(mention, name=" ".join([*plant, plain(mention.heard)]))


def _steeped_in_itself(item: Linked, topic: Mention, lexicon: Lexicon) -> bool:
    """ "The bourbon, I infuse it with pecans: a cup of pecans in a bottle of bourbon": it goes into itself."""
    spirit = topic.entry is not None and lexicon.is_a(topic.entry, "spirit")
    return spirit and any(g.value.unit in OF_MAKINGS for g in item.groups)


def _part_of_itself(item: Linked, reader: TalkReader) -> bool:
    """ "My honey is two parts honey to one part water": not "two parts of the honey"."""
    if any(g.end > item.mention.start for g in item.groups):
        return False
    return any(g.value.unit == "part" and reader.gap(g.end, item.mention.start).words == () for g in item.groups)


def _forms_alone(
    reader: TalkReader, topic: Mention, measures: Sequence[Measure], linked: Sequence[Linked], lexicon: Lexicon
) -> list[Linked]:
    """ "I do mine with fifteen heads", of an elderflower cordial; "ten pods, cracked": the plant is the thing's own."""
    plant = " ".join(plain(topic.name).split()[:-1])
    forms = word_list(lexicon, "forms")
    out: list[Linked] = []
    for m in measures:
        found = _FORM_ALONE.match(reader.lower, m.end)
        if m.kind not in ("amount", "number") or m.low is None or m.thing is not None or not plant:
            continue
        owners = [x.mention for x in linked if any(g.start == m.start for g in x.groups)]
        if any(set(plain(o.heard).split()) & set(plant.split()) for o in owners):
            continue  # "curry leaves, two sprigs"
        inside = m.said.lower().split()[-1]  # "ten leaves" is an amount by itself, "ten petals" a number and a word
        of_another = _OF_ANOTHER.match(reader.lower, m.end) or any(
            0 <= x.start - m.end <= 1 for x in reader.mentions_in(m.end, m.end + 2)
        )
        form = inside if inside in forms and not of_another else found[1] if found else None
        if form is None or form not in forms:
            continue
        a, b = (m.start, m.end) if found is None or form == inside else found.span(1)
        mention = Mention(a, b, f"{plant} {form}", reader.talk.text[a:b], "ingredient", None, "head")
        out.append(Linked(mention, [Group([m], replace(m, kind="amount", unit=m.unit or "piece"))]))
    return out


_OF_ANOTHER = re.compile(r" of(?!\w)")
_FORM_ALONE = re.compile(
    r"(?: of)?(?: the| dried| fresh| big| small| cracked| whole)? ([a-z]+)(?=[,.;:]| and | in | for | cracked| crushed)"
)


def _listed_on(reader: TalkReader, mention: Mention, put_in: Sequence[Mention], lexicon: Lexicon) -> bool:
    """ "A cup of sugar, a cup of water and a big hunk of ginger": the list goes on with a thing of no amount."""
    before = [m for m in put_in if m.end <= mention.start]
    if not before:
        return False
    gap = reader.gap(max(m.end for m in before), mention.start)
    joined = gap.comma or bool({"and", "plus", "with"} & set(gap.words))
    return (
        joined and not gap.stop and set(gap.words) <= word_list(lexicon, "lists on") | word_list(lexicon, "no measure")
    )


def _goes_in(reader: TalkReader, mention: Mention, start: int, lexicon: Lexicon) -> bool:
    """An unmeasured name in a making that is put in: "it's sugar and hot water", "put it in a jar with vodka"."""
    before = reader.before(mention.start, 3)
    gap_start = reader.gap(start, mention.start)
    if not gap_start.words or (len(gap_start.words) <= 1 and not gap_start.stop):
        return True
    if any(
        m.kind in ("ratio", "equal") and 0 <= mention.start - m.end <= AT_ONCE_BEHIND
        and set(reader.gap(m.end, mention.start).words) <= {"of", "the"} for m in reader.talk.measures
    ) or any(
        0 <= mention.start - c.end <= AT_ONCE_BEHIND and set(reader.gap(c.end, mention.start).words) <= {"of", "the"}
        for label in EQUALLY for c in reader.cues_in(label, max(0, mention.start - 60), mention.start)
    ):  # fmt: skip
        return True  # "one to one sugar and water", "the same weight of sugar and water"
    words = [w for w in before if w not in ("a", "an", "the", "some", "your", "my", "of", "small", "little", "bit")]
    sentence_start, _ = reader.sentence(mention.start)
    at_head = len(reader.gap(sentence_start, mention.start).words) == 0
    if at_head:
        after = reader.after(mention.end, 4)
        return "you" in after or "and" in after[:1]
    if not words or {"like", "no", "not", "than", "until", "till"} & set(before):
        return False
    return words[-1] in word_list(lexicon, "put in")
