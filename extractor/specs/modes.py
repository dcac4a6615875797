"""Which stretches of talk are not about what goes in: the classic and what it holds, history, what one could do,
tasting.

A stretch that is only told about pours nothing. Names behind "instead of", "not", "without" are left out one by one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from extractor.lexicon import plain
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.doubled import doubles_all
from extractor.specs.gaps import TalkReader
from extractor.specs.own_way import names_nothing

# The words with which a speaker turns from what is told about to what is done.
BACK = (
    "but",
    "so we",
    "so i",
    "we only",
    "i keep",
    "we keep",
    "i split",
    "here we",
    "here i",
    "today we",
    "today i",
    "so it's",
    "so that's",
    "and i'm thinking",
    "now i",
    "now we",
    "now it's",
    "these days",
    "nowadays",
    "this year",
)
# The same, where it is told what others do: "most people put an ounce, I do half".
BACK_FROM_OTHERS = ("i do", "we do", "i put", "we put", "i use", "we use", "i take", "we take", "i go", "we go")
# "The Manhattan is rye and sweet vermouth": a classic with one of these behind it is being described.
IS = frozenset(
    (
        "is",
        "has",
        "'s",
        "was",
        "that's",
        "that",
        "which",
        "uses",
        "calls",
        "takes",
        "wants",
        "you",
        "you've",
        "you'd",
        "they",
        "they've",
        "there's",
        "gets",
        "needs",
        "it",
        "have",
        "had",
        "normally",
    )
)
GOES_ON = frozenset(("that", "it", "which", "that's", "it's", "then", "and", "normally", "they", "there"))
# A sentence that begins with one of these is a sip, and what is named after it is tasted.
SIPS = frozenset(["mm", "mmm", "mmmm", "hm", "hmm", "mhm", "oof", "wow", "yum", "ooh", "cheers"])
VOLUMES = ("fl_oz", "ml", "cl", "tsp", "tbsp", "bar_spoon", "dash")
OF_A_LIST = ("part", "drop", "pinch", "cup", "pint", "bottle", "l")
"""Units of a list besides."""
_DESCRIBES = frozenset(("that's", "it's"))
_PRAISE = (("that",), ("that's",), ("wow",), ("yes",), ("yeah",), ("my",))
_SO = frozenset(("so", "okay", "ok", "now", "alright", "right"))
GOT = ("fl_oz", "ml", "cl", "l", "cup", "pint", "bottle", "g", "kg", "oz_wt", "lb", "tbsp", "tsp")
"""Units in which nothing is tasted."""
SEVERAL = 4
"""So many amounts in one breath are the drink's own, whatever was told about before."""
_DENIES = ("is", "isn't", "are", "aren't", "was", "wasn't")
# What may stand between the comma and the first amount where the speaker is back at the drink: "you'd be drinking
# lorries, in the mixing glass I pour two ounces of rye".
_BACK_AT_IT = frozenset(
    (
        "and", "then", "so", "now", "it's", "in", "into", "to", "the", "a", "my", "this", "that", "mixing", "glass",
        "shaker", "tin", "jug", "pot", "pan", "pour", "poor", "put", "take", "you", "i", "we", "goes", "go", "comes",
        "first",
    )
)  # fmt: skip
FOR_SURE, FOR_SURE_IF = 2, 3
"""So many amounts must follow behind that comma; more where it began with "if"."""
LOCAL = 3
"""A word of leaving out governs a name that begins within so many words."""


@dataclass(frozen=True, slots=True)
class Extent:
    start: int
    end: int
    mode: str


def _sip_end(reader: TalkReader, number: int) -> int:
    """The tasting that a sip begins: up to three sentences, until an amount is said or something is remembered."""
    end = reader.sentence_span(number)[1]
    for n in range(number, min(number + 4, len(reader.sentences))):
        start, stop = reader.sentence_span(n)
        poured = any(start <= m.start < stop and m.kind in ("amount", "number") for m in reader.talk.measures)
        listed = n > number and _adds(reader, start, stop)
        if poured or listed or reader.has("turns.forgotten", start, stop) or reader.has("turns.opening", start, stop):
            return start if n > number else min(end, start + 4)
        end = stop
    return end


def _adds(reader: TalkReader, start: int, stop: int) -> bool:
    """ "Hm. And peach bitters.": a sentence that begins with "and" and a thing goes on with the list."""
    first = next((m for m in reader.mentions_in(start, stop) if m.group == "ingredient"), None)
    if first is None:
        return False
    lead = reader.gap(start, first.start).words
    goes_on = {"and", "then", "plus"}
    return bool(lead) and lead[0] in goes_on and set(lead) <= goes_on | {"the", "a", "some"}


_RELATIVE = (("which",), ("that",))


def _classic_after(reader: TalkReader, offset: int) -> bool:
    """A classic is named behind an offset, in the same sentence: "it starts from the Brandy Alexander"."""
    _, end = reader.sentence(offset)
    return any(m.group == "classic" and offset <= m.start < end for m in reader.talk.mentions)


def _named_before(reader: TalkReader, at: int, start: int) -> int:
    """Where the name begins that stands right before an amount; else the amount itself."""
    near = [m for m in reader.mentions_in(max(start, at - 40), at) if m.group == "ingredient" and m.end <= at]
    if not near or reader.gap(near[-1].end, at).words:
        return at
    measure = next(m for m in reader.talk.measures if m.start == at)
    follows = any(m.group == "ingredient" for m in reader.mentions_in(measure.end, measure.end + 3))
    return at if follows else near[-1].start  # "falernum three quarters lime juice"


def _until_back(reader: TalkReader, start: int, end: int, *, others: bool = False) -> int:
    """The end of a told-about stretch: its sentence's, or where the speaker turns back to the drink in hand.

    others: it is told what others do, or could.
    """
    text = reader.lower[start:end]
    found = [k for k in (_find_words(text, b) for b in BACK) if k > 0]
    if others and reader.talk.punctuated:
        found += [
            k for k in (_find_words(text, b) for b in BACK_FROM_OTHERS)
            if k > 1 and (text[k - 2] in ",;" or text[:k].endswith(" and "))
        ]  # fmt: skip
    end = start + min(found) if found else end
    return end if reader.talk.punctuated else min(end, _poured_again(reader, start, end))


def _poured_again(reader: TalkReader, start: int, end: int) -> int:
    """Where, in talk without full stops, a told-about stretch has run into the pours of the drink.

    "My neighbor says it tastes like a bonfire which i will take so an ounce and a half of port one ounce of bourbon
    ...": behind "so", or where it goes on with three amounts.
    """
    amounts = [
        m.start for m in reader.talk.measures if start <= m.start < end and m.kind == "amount" and m.unit in VOLUMES
    ]
    for at in amounts:
        if set(reader.before(at, 2)) & _SO and len(reader.gap(start, at).words) > 1:
            return _named_before(reader, at, start)
    return _named_before(reader, amounts[0], start) if len(amounts) >= SEVERAL else end


def _pours_behind_comma(reader: TalkReader, start: int, end: int, *, enough: int) -> int:
    """Where a told-about stretch has run into the drink's own amounts, in captions whose full stops are few.

    "... so dark you could tan a hide in it, forty-five of dark rum, thirty of ginger wine": behind a comma, nothing was
    measured in what is told about, and `enough` amounts follow.
    """
    amounts = [
        m for m in reader.talk.measures
        if start <= m.start < end
        and ((m.kind == "amount" and m.unit in (*VOLUMES, *OF_A_LIST)) or m.kind == "number")
    ]  # fmt: skip
    goes_on = _goes_on_with_list(reader, start, amounts)
    sure = sum(m.kind == "amount" or reader.after(m.end, 1) == ("of",) or m.said.endswith(" of") for m in amounts)
    if len(amounts) < enough or sure < enough - 1:
        return end if goes_on is None else goes_on
    for k, first in enumerate(amounts):
        # Past an amount that is told about, the drink's own are a list: "last year's card, this year says ten, twenty
        # of lime, thirty of rum, ten of honey".
        if len(amounts) - k < (enough if k == 0 else max(enough, FOR_SURE_IF)):
            break
        at = _named_before(reader, first.start, start)
        comma = max(reader.lower.rfind(c, start, at) for c in ",;")
        if comma < 0 or not set(reader.gap(comma, at).words) <= _BACK_AT_IT:
            continue
        after = reader.after(first.end, 3)
        named = any(m.group == "ingredient" for m in reader.mentions_in(first.end, first.end + 30))
        if at < first.start or named or after[:1] == ("of",):
            return comma + 1
    return end if goes_on is None else goes_on


_GOES_ON = frozenset(("and", "then", "plus", "so"))
_WOULD_PUT = frozenset((
    "put", "use", "add", "take", "do", "try", "go", "swap", "pour", "throw", "give", "make", "have", "splash", "whack",
    "stick", "like", "likes", "want", "wants", "get", "do", "did", "does", "used", "puts", "uses", "adds", "takes",
))  # fmt: skip
"""With one of these said, what follows "and" may belong to what could be done: "if you like, use navy rum, and"."""


def _listed_on(reader: TalkReader, start: int, end: int) -> list[int]:
    """The same, where captions have commas and no full stops."""
    amounts = [m for m in reader.talk.measures if start <= m.start < end and m.kind == "amount" and m.unit in VOLUMES]
    at = _goes_on_with_list(reader, start, amounts)
    return [] if at is None else [at]


def _goes_on_with_list(reader: TalkReader, start: int, amounts: Sequence[Measure]) -> int | None:
    """ "So if you're ever passing, and two dashes of aromatic bitters": behind a comma the list goes on with "and", an
    amount and its name, where nothing was named or could be done in what is told about."""
    first = amounts[0] if amounts else None
    if first is None or first.kind != "amount" or first.low is None:
        return None
    comma = max(reader.lower.rfind(c, start, first.start) for c in ",;")
    if comma < 0:
        return None
    lead = reader.gap(comma, first.start).words
    told = reader.gap(start, comma).words
    if not lead or lead[0] not in _GOES_ON or not set(lead) <= _GOES_ON or set(told) & _WOULD_PUT:
        return None
    if any(m.group == "ingredient" for m in reader.mentions_in(start, comma)):
        return None
    named = [m for m in reader.mentions_in(first.end, first.end + 12) if m.group == "ingredient"]
    return comma + 1 if named and not reader.gap(first.end, named[0].start).stop else None


def _breaks(reader: TalkReader, start: int, end: int) -> list[int]:
    """Where a clause may end: at a comma or an "and"."""
    text = reader.lower[start:end]
    return [start + k for k in (text.find(", "), text.find(" and ")) if k >= 0]


def _find_words(text: str, words: str) -> int:
    at = text.find(words)
    while at >= 0:
        if (at == 0 or not text[at - 1].isalnum()) and not text[at + len(words) : at + len(words) + 1].isalnum():
            return at
        at = text.find(words, at + 1)
    return -1


_DOES = re.compile(r"(?<!\w)(?:what (?:i|we|you) do|(?:so |and |then )*(?:i|we|you) (?:take|put|get))(?!\w)")


def _clause_of(reader: TalkReader, at: int, start: int) -> int:
    """Where the speaker begins to do what is done at an offset: "what I do first is I take a glass, and I rinse it"."""
    does = _DOES.search(reader.lower, start, at)
    return does.start() if does is not None else at


_COMES_NEXT = (("then", "comes"), ("now", "comes"), ("next", "comes"), ("there", "comes"), ("here", "comes"))


def _of_a_list(reader: TalkReader, offset: int) -> bool:
    """A thing is named right before, as in a list: "pineapple juice, about double"."""
    near = [m for m in reader.mentions_in(max(0, offset - 40), offset) if m.group == "ingredient" and m.end <= offset]
    if not near:
        return False
    gap = reader.gap(near[-1].end, offset)
    return not gap.stop and set(gap.words) <= {"about", "roughly", "maybe", "is", "at"}


def extents(reader: TalkReader, classics: frozenset[str] = frozenset()) -> list[Extent]:
    """All stretches that pour nothing, in order of their beginning; they may overlap.

    classics: the names of classic drinks in plain form; some ("eggnog") are ingredients too.
    """
    out: list[Extent] = []
    talk = reader.talk
    for cue in reader.cues("modes.riff"):
        said = reader.lower[cue.start : cue.end]
        if (said.endswith("from") or said.startswith("if you know")) and not _classic_after(reader, cue.end):
            continue  # "if you know your plums you can tell me"
        _, end = reader.sentence(cue.start)
        out.append(Extent(cue.start, _until_back(reader, cue.end, end, others=True), "riff"))
    for mention in talk.mentions:
        if mention.group == "glass" or (mention.group != "classic" and plain(mention.heard) not in classics):
            continue  # "strain it into a highball, top it with ginger ale" tells of no classic
        start, end = reader.sentence(mention.start)
        after = reader.after(mention.end, 2)
        later = reader.gap(mention.end, end).words[:9]
        if after and (after[0] in IS or (len(after) > 1 and after[1] in IS) or _DESCRIBES & set(later)):
            out.append(Extent(mention.start, _until_back(reader, mention.end, end), "riff"))
    # "That is cognac, crème de cacao and cream." goes on with what the sentence before began.
    riffs = {reader.sentence_number(e.start) for e in out}
    for number in sorted(riffs):
        if number + 1 < len(reader.sentences):
            start, end = reader.sentence_span(number + 1)
            first = reader.after(start, 2)
            measured = any(
                start <= m.start < end and (m.kind == "amount" or m.thing is not None) for m in talk.measures
            )
            holds = any(start <= m.start < end and m.group == "ingredient" for m in talk.mentions)
            if holds and first and first[0] in GOES_ON and not measured and talk.punctuated:
                out.append(Extent(start, _until_back(reader, start, end), "riff"))
    for cue in reader.cues("modes.history"):
        if "made" in reader.lower[cue.start : cue.end] and reader.before(cue.start, 1)[-1:] in _RELATIVE:
            continue  # "raspberry syrup, which I made with equal parts raspberries and sugar"
        _, end = reader.sentence(cue.end - 1)
        if reader.has("turns.said before", cue.end, end) and reader.has("turns.correction", cue.end, end):
            continue  # "last time I told you thirty, it should be forty-five"
        others = not {"i", "we"} & set(reader.gap(cue.start, cue.end).words)
        if not talk.punctuated:
            end = min([end, *_numbered_next(reader, cue.end, end), *_listed_on(reader, cue.end, end)])
        else:
            end = _pours_behind_comma(reader, cue.end, end, enough=FOR_SURE)
        out.append(Extent(cue.start, _until_back(reader, cue.end, end, others=others), "history"))
    for cue in reader.cues("modes.hypothetical"):
        if reader.lower.startswith("double ", cue.start) and _of_a_list(reader, cue.start):
            continue  # "the pineapple juice, about double that"
        doubles = [m for m in talk.measures if m.start == cue.start and m.relation == "double"]
        if any(doubles_all(m, reader) or reader.after(m.end, 1) == ("of",) for m in doubles):
            continue  # "so double that: four of the rum", "and double that of pineapple juice"
        if _SAID_BY_THE_WAY.match(reader.lower, cue.start):
            continue  # "that's three hundred and fifty, if you're counting, and a hundred of lemon"
        number = reader.sentence_number(cue.start)
        start, end = reader.sentence_span(number)
        conditional = reader.lower.startswith("if ", cue.start)
        if conditional and not talk.punctuated and number + 1 < len(reader.sentences):
            end = reader.sentence_span(number + 1)[1]
        # "..., use that, it'll be a little tart, but I'm using the syrup"
        if not talk.punctuated:
            end = min([end, *_numbered_next(reader, cue.end, end), *_listed_on(reader, cue.end, end)])
        else:
            end = _pours_behind_comma(reader, cue.end, end, enough=FOR_SURE_IF if conditional else FOR_SURE)
        if conditional and (stop := _only_if_had(reader, cue.end)) is not None:
            end = min(end, stop)  # "orange bitters if you have them, a dash": it may be left out, no more
        if conditional and (stop := _in_passing(reader, start, cue.start, cue.end)) is not None:
            end = min(end, stop)
        out.append(Extent(cue.start, _until_back(reader, cue.end, end, others=True), "hypothetical"))
    out += _for_others(reader)
    for start, end in reader.sentences:
        # "Can I take oat milk?": nothing is poured in a question.
        if reader.talk.text[start:end].rstrip().endswith("?") and not any(
            start <= m.start < end and m.kind in ("amount", "number") for m in talk.measures
        ):
            out.append(Extent(_question_begins(reader, start, end), end, "hypothetical"))
    for cue in reader.cues("modes.tasting"):
        _, end = reader.sentence(cue.end - 1)
        if reader.after(cue.end, 1) in (("your",), ("yourself",)):
            continue  # "you get your lime juice" is an order
        if reader.lower.startswith("you get ", cue.start) and any(
            m.start == cue.start + len("you get ") and m.kind == "amount" and m.unit in GOT for m in talk.measures
        ):
            continue  # "so you get a cup of gin"
        if reader.lower.startswith("go with", cue.start) and reader.before(cue.start, 1) in (("i",), ("we",)):
            continue  # "we go with three quarters"
        if reader.lower[cue.start : cue.end].endswith("comes in") and any(
            m.unit is not None and reader.sentence(cue.start)[0] <= m.start < cue.start for m in talk.measures
        ):
            continue  # "a cucumber slice comes in"
        if reader.gap(cue.start, cue.end).words[-2:] in _COMES_NEXT:
            continue  # "and then comes honey syrup, half an ounce"
        if reader.after(cue.end, 1) == ("at",) and any(0 <= m.start - cue.end <= 4 for m in talk.measures):
            continue  # "lime comes in at one"
        if reader.before(cue.start, 1) in (("till",), ("until",), ("'til",)):
            # "You brown it till it smells like nuts, and that goes in a jar": how far it is worked, no more.
            end = min([end, *(c.start for c in talk.clauses if c.start > cue.end), *_breaks(reader, cue.end, end)])
        head = reader.lower[cue.start : cue.end].split()[0]
        # "A little bit of grain in the nose": what is tasted stands before.
        start = reader.sentence(cue.start)[0] if head in ("in", "on", "comes") and talk.punctuated else cue.start
        poured = [
            m.start for m in talk.measures if cue.end <= m.start < end and m.kind == "amount" and m.unit in VOLUMES
        ]
        # "It's like the middle C, what I do first is I rinse it with absinthe": nothing is tasted there.
        rinsed = [m for m in talk.measures if cue.end <= m.start < end and m.unit in ("rinse", "rim")]
        poured += [_clause_of(reader, m.start, cue.end) for m in rinsed]
        if not talk.punctuated:
            poured += [m.start for m in talk.measures if cue.end <= m.start < end and m.kind == "number"]
            # "Like it grew up in the desert by itself and lemon juice three quarters of an ounce": from the name on.
            poured = [_named_before(reader, at, cue.end) for at in poured]
            poured += _numbered_next(reader, cue.end, end)
        out.append(Extent(start, min([_until_back(reader, cue.end, end), *poured]), "tasting"))
    for number, (start, _) in enumerate(reader.sentences):
        first = reader.after(start, 2)
        sip = bool(first) and (first[0] in SIPS or (first[0] in ("oh", "ooh", "ah") and first[1:2] in _PRAISE))
        if sip and talk.punctuated and not any(m.start < start < m.end for m in talk.measures):
            out.append(Extent(start, _sip_end(reader, number), "sip"))
    for cue in reader.cues("modes.aside"):
        _, end = reader.sentence(cue.start)
        out.append(Extent(cue.start, end, "aside"))
    return sorted((_until_amount(reader, e) for e in out), key=lambda e: (e.start, e.end))


_ASKS = frozenset([
    "can", "could", "do", "does", "did", "what", "is", "are", "am", "should", "shall", "will", "would", "why", "how",
    "who", "where", "when", "which", "have", "has", "had", "you", "may", "might", "and", "but", "so", "now", "well",
    "okay", "oh", "or", "no", "yes",
])  # fmt: skip
LONG_QUESTION = 9


def _question_begins(reader: TalkReader, start: int, end: int) -> int:
    """ "This is in a highball, with ice, and you fill with ginger beer? No!": only the last clause is asked."""
    words = reader.gap(start, end).words
    if len(words) < LONG_QUESTION or words[0] in _ASKS:
        return start
    comma = reader.lower.rfind(", ", start, end)
    return comma if comma > start else start


_SAID_BY_THE_WAY = re.compile(
    r"if (?:you're|you are|anyone's|anybody's|we're|i'm|you|anybody|anyone|i|you'll|i may|i might)"
    r" (?:still |really |also )?(?:counting|asking|wondering|curious|keeping score|keeping count|keeping up|watching|"
    r"listening|following|following along|writing|writing this down|taking notes|taking this down|interested|new here|"
    r"playing along|asks?|wonders?|please|believe it|believe that|can believe it|can call it that|remember rightly|"
    r"remember right|say so|say so myself|ask me|know what i mean|see what i mean|excuse|pardon|forgive)\b"
)
_THEM = re.compile(r" (?:it|them|one|any|some|that)(?:,| then|:| -)")


def _only_if_had(reader: TalkReader, end: int) -> int | None:
    """Where "if you have them," ends, of which an amount stands right behind."""
    found = _THEM.match(reader.lower, end)
    if found is None:
        return None
    return found.end() if any(found.end() <= m.start <= found.end() + 3 for m in reader.talk.measures) else None


_CONSEQUENCE = frozenset(
    ("use", "put", "add", "you", "swap", "go", "throw", "then", "do", "just", "try", "take", "make", "pour", "it's",
     "that's", "i", "we", "leave", "skip", "buy", "get")
)  # fmt: skip


def _in_passing(reader: TalkReader, begin: int, start: int, end: int) -> int | None:
    """ "Apple brandy, the bonded one if you have it, and you'll want an ounce": where such a condition ends that stands
    in the middle of a clause, with "and" and an amount behind it."""
    found = _THEM.match(reader.lower, end)
    inside = bool(reader.gap(begin, start).words) and reader.lower[start - 2] not in ",;:"
    if found is None or not inside or not reader.talk.punctuated:
        return None
    behind = reader.after(found.end(), 1)
    return found.end() if behind == ("and",) or (behind and behind[0] not in _CONSEQUENCE) else None


_OR = frozenset(("maybe", "or", "perhaps", "even", "up", "to", "possibly", "and", "but"))
_IF = re.compile(r",? (?:only )?(?:if|when|for those who|for people who|in case)\b")
_CLAUSE_ENDS = re.compile(r"[,.;:!?]|$| (?:but|mine|i|so) ")


def _for_others(reader: TalkReader) -> list[Extent]:
    """ "Half an ounce, maybe three quarters if it is a dry one, so half": the second amount holds only if."""
    out: list[Extent] = []
    amounts = [m for m in reader.talk.measures if m.kind in ("amount", "number") and m.low is not None]
    for a, b in pairwise(amounts):
        gap = reader.gap(a.end, b.start)
        if gap.stop or not set(gap.words) <= _OR or not (gap.comma or gap.words):
            continue
        condition = _IF.match(reader.lower, b.end)
        if condition is None or any(a.end <= m.start < b.start for m in reader.talk.mentions):
            continue
        end = _CLAUSE_ENDS.search(reader.lower, condition.end())
        out.append(Extent(b.start, end.start() if end is not None else condition.end(), "hypothetical"))
    return out


def _numbered_next(reader: TalkReader, start: int, end: int) -> list[int]:
    """Without full stops a taste runs into the words that number the next drink: "it's like marmalade number two's"."""
    return [
        c.start
        for c in reader.cues_in("turns.opening", start, end)
        if (words := reader.gap(c.start, c.end).words)[-2:-1] == ("number",)
        or (words[-1:] in (("one",), ("drink",)) and set(words) & {"first", "second", "third", "next", "last", "final"})
    ]


def _until_amount(reader: TalkReader, extent: Extent) -> Extent:
    """ "Pear brandy, which my cousin makes up the valley, an ounce of it": what is told of a thing ends at its amount.

    The thing begins the sentence and has no amount before; the amount stands behind a comma and names nothing else.
    """
    if extent.mode in ("sip", "tasting") or not reader.talk.punctuated:
        return extent
    start, _ = reader.sentence(extent.start)
    things = [m for m in reader.mentions_in(start, extent.start) if m.group == "ingredient" and m.end <= extent.start]
    if not things or any(things[-1].end <= m.start < extent.start for m in reader.talk.measures):
        return extent
    between = reader.gap(things[-1].end, extent.start)
    if (
        not between.comma
        or len(between.words) > LOCAL
        or any(m.pours and start <= m.start < things[-1].start for m in reader.talk.measures)
    ):
        return extent
    for m in reader.talk.measures:
        if not extent.start < m.start < extent.end or m.kind not in ("amount", "number"):
            continue
        if reader.lower[max(0, m.start - 2) : m.start] == ", " and names_nothing(m, reader, reader.talk.mentions):
            return Extent(extent.start, m.start, extent.mode)
        return extent
    return extent


def mode_at(extents_: Sequence[Extent], offset: int) -> str | None:
    """The first mode whose stretch holds an offset."""
    for e in extents_:
        if e.start > offset:
            break
        if offset < e.end:
            return e.mode
    return None


_WHERE = (("where", "the"), ("where", "a"), ("where", "your"), ("where", "my"), ("where", "an"))
_WHERE_IT_WAS = re.compile(r" (?:was|used to|would|is|goes|went|should|normally|usually|had been|sat|lived|stood)\b")


_DROPPED = (("drop",), ("dropping",))
_INTO = (("in",), ("into",), ("on",), ("onto",), ("over",), ("down",))


def left_out(reader: TalkReader, mention: Mention) -> str | None:
    """ "instead of", "not", "no", "without" right before a name: which of them, or None."""
    where = _WHERE_IT_WAS.match(reader.lower, mention.end)
    if where is not None and reader.before(mention.start, 2) in _WHERE:
        return "where it was"  # "navy rum goes in where the cognac was"
    window = mention.start - 40
    for cue in reader.cues_in("modes.instead", max(0, window), mention.start):
        if cue.end > mention.start:
            continue
        gap = reader.gap(cue.end, mention.start)
        words = reader.gap(cue.start, cue.end).words
        if gap.stop or len(gap.words) > LOCAL or "and" in gap.words:
            continue
        if any(cue.end <= m.start < mention.start for m in reader.talk.mentions if m is not mention):
            continue
        if (
            words
            and words[0] == "like"
            and reader.before(cue.start, 1) in (("i",), ("we",), ("you",), ("would",), ("i'd",))
        ):
            continue  # "for this one I like a coupe"
        counted = any(cue.end < m.start <= cue.end + 1 and m.low is not None for m in reader.talk.measures)
        if words[-1:] in _DROPPED and (gap.words[:1] in _INTO or counted):
            continue  # "you drop in four tea bags", "drop three drops of bitters on the foam"
        if gap.comma and words and words[0] in ("no", "not", "nor", "like", "than"):
            continue
        if gap.comma and words and words[0] == "without" and set(gap.words) - {"the", "a", "an", "any", "its", "my"}:
            continue  # "eighty grams without the skin, coconut milk, forty mil"
        if gap.words and words and words[0] in _DENIES and reader.lower.endswith(", ", 0, mention.start):
            continue  # "your mango is not sweet, honey, a teaspoon"
        if words and words[0] in ("no", "not") and len(gap.words) > 1:
            continue
        return " ".join(words)
    return None
