"""What was said of each name: an amount or none, in which part of the drink, and whether it is really put in."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from extractor.lexicon import Lexicon, plain
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.juices import squeezed_in
from extractor.specs.links import Group
from extractor.specs.rims import told_in_a_word
from extractor.specs.toppings import fills_up, stands_behind_glass

MOST_EGGS = 14
"""A bare number above it is no number of eggs, not even for a bowl."""
NEAR_CUE = 6
"""A place word ("top with", "on the rim") governs a name within so many words."""

# The part of the drink that a name is in.
POUR, TOP, FLOAT, RINSE, RIM, MUDDLE, GARNISH = "pour", "top", "float", "rinse", "rim", "muddle", "garnish"
FINISH = "finish"
"""A few drops on the drink in its glass: "three drops of rose water on top"."""


@dataclass
class Statement:
    """One naming of one thing, judged."""

    mention: Mention
    measure: Measure | None
    groups: list[Group]
    role: str
    mode: str
    """make, correct, recap."""
    at: int
    drink: int | None = None
    sure: bool = True
    """False where it is only likely that the thing goes in."""
    notes: list[str] = field(default_factory=list)
    alternatives: list[Mention] = field(default_factory=list)
    settled: bool = True
    optional: bool = False
    forced: bool = False
    placed: bool = False
    """A garnish that is told to be put on the drink, in its glass."""
    retold: bool = False
    """Said where the drink is told again: it may put an amount right, never add a thing."""


def _cue_before(reader: TalkReader, label: str, mention: Mention, near: int = NEAR_CUE) -> bool:
    """A cue that ends right before the name, in the same sentence, with no other pour between."""
    for cue in reader.cues_in(label, max(0, mention.start - 90), mention.start):
        if cue.end > mention.start or _in_a_name(reader, cue.start):
            continue
        gap = reader.gap(cue.end, mention.start)
        if (
            not gap.stop
            and len(gap.words) <= near
            and not any(
                m.start < mention.start and m.start >= cue.end and m.group == "ingredient"
                for m in _between(reader, cue.end, mention.start)
            )
        ):
            return True
    return False


def _in_a_name(reader: TalkReader, at: int) -> bool:
    """ "A cinnamon stick and two cloves": nobody says to stick anything."""
    return any(m.group == "ingredient" and m.start < at < m.end for m in reader.mentions_in(max(0, at - 40), at))


def is_placed(reader: TalkReader, mention: Mention) -> bool:
    """ "Mint leaf on top", "garnish it with a mint leaf": said so in words."""
    return _cue_before(reader, "places.garnish", mention, 3) or _cue_after(reader, "places.garnished", mention.end, 3)


def _between(reader: TalkReader, start: int, end: int) -> list[Mention]:
    return [m for m in reader.talk.mentions if start <= m.start < end]


def _cue_after(reader: TalkReader, label: str, end: int, near: int = NEAR_CUE) -> bool:
    for cue in reader.cues_in(label, end, end + 70):
        gap = reader.gap(end, cue.start)
        if not gap.stop and len(gap.words) <= near and not _between(reader, end, cue.start):
            return True
    return False


def is_volume(m: Measure | None) -> bool:
    return m is not None and m.unit in ("fl_oz", "ml", "cl", "l", "cup", "pint", "tbsp", "tsp", "bar_spoon")


def role_of(reader: TalkReader, mention: Mention, measure: Measure | None, *, served: bool, lexicon: Lexicon) -> str:
    """The part of the drink in which a name stands; `served`: the drink is in its glass already."""
    end = max(mention.end, measure.end if measure is not None else 0)
    unit = measure.unit if measure is not None else None
    if told_in_a_word(mention):
        return RIM
    if plain(mention.heard).endswith(" rim"):
        return RIM if _rim_thing(mention, lexicon) else GARNISH
    if (
        measure is None and mention.entry is not None and plain(mention.entry.name).endswith(" sugar")
        and _cue_before(reader, "places.rim", mention, 2)
        and reader.has("places.wet the rim", mention.start - 90, mention.start)
    ):  # fmt: skip
        return RIM  # "wet half the lip with a lemon wedge and roll it in demerara"
    if measure is None and _rim_thing(mention, lexicon) and reader.after(mention.end, 1) in (("rim",), ("rimmed",)):
        return RIM  # "rocks glass, salt rim"
    rimmed = unit == "rim" or (_cue_before(reader, "places.rim", mention, 4) and _rim_thing(mention, lexicon))
    rimmed = rimmed or (_cue_after(reader, "places.rim", end, 3) and _rim_thing(mention, lexicon))
    if rimmed and not no_rim(reader, mention):
        return RIM
    if unit in (None, "drop", "dash", "splash", "rinse") and _swirled_out(reader, mention, end):
        return RINSE
    if unit == "rinse" or (_cue_before(reader, "places.rinse", mention, 4) and _rinsed_with(reader, mention)):
        return RINSE
    state = lexicon.state(mention.entry) if mention.entry is not None else None
    liquid = state == "liquid" or (state is None and is_volume(measure))
    garnish_name = mention.entry is not None and lexicon.is_a(mention.entry, "garnish")
    if unit == "top" or (_cue_before(reader, "places.top", mention, 4) and liquid):
        return TOP
    if (measure is None or (measure.low is None and measure.unit is None)) and (
        fills_up(reader, mention, end, lexicon) or fills_up(reader, mention, mention.end, lexicon)
    ):
        return TOP
    if (
        liquid
        and _cue_after(reader, "places.topped", end, 3)
        and (measure is None or (not is_volume(measure) and served))
    ):
        return TOP
    if liquid and measure is None and served and stands_behind_glass(reader, mention, lexicon):
        return TOP
    if unit == "float" or (liquid and _cue_before(reader, "places.float", mention, 6)):
        return FLOAT
    if _cue_before(reader, "places.muddle", mention, 5) and not (garnish_name and _pressed_over(reader, mention)):
        return MUDDLE
    if measure is not None and "squeeze" in measure.said.lower():
        if garnish_name and served:
            return GARNISH  # "orange peel, give it a squeeze, leave it in"
        if _is_fruit(mention, lexicon):
            return POUR
    drops = measure is not None and measure.unit in ("dash", "drop", "splash", "spray", "pinch", "spritz")
    if drops and served and liquid and _cue_after(reader, "places.garnished", end, 3):
        return FINISH
    if is_volume(measure) or (
        measure is not None and measure.unit in ("dash", "drop", "g", "oz_wt", "splash", "scoop") and liquid
    ):
        return POUR
    if (
        measure is not None
        and measure.unit in ("g", "oz_wt", "kg", "lb")
        and not _cue_after(reader, "places.garnished", end)
    ):
        return POUR  # what is weighed goes in
    if mention.entry is not None and not garnish_name and (
        _squeezed_in(reader, mention, end) or (measure is not None and squeezed_in(reader, measure))
    ):  # fmt: skip
        return POUR
    if measure is not None and measure.unit == "pinch" and not _cue_after(reader, "places.garnished", end):
        return POUR
    sweetens = mention.entry is not None and lexicon.is_a(mention.entry, "sweetener")
    if sweetens and not served and "bottom" in reader.after(end, 4):
        return POUR  # "set a sugar cube in the bottom of the mixing glass"
    strong = _cue_before(reader, "places.garnish", mention) or _cue_after(reader, "places.garnished", end)
    if (liquid and not garnish_name) and not (
        strong and measure is None and mention.entry is not None and plain(mention.name).endswith("cream")
    ):
        return POUR
    if strong and (not _liquid_place(reader, mention)):
        return GARNISH
    if served:
        return GARNISH
    if garnish_name and measure is None:
        return GARNISH
    return POUR


def filled_up(reader: TalkReader, mention: Mention, measure: Measure | None, lexicon: Lexicon) -> bool:
    """ "Then lager to the top, about three ounces": what fizzes, poured on top by its measure."""
    if not is_volume(measure) or not lexicon.is_any(mention.entry, _FIZZES):
        return False
    return any(_cue_after(reader, "places.topped", end, 3) for end in (mention.end, measure.end if measure else 0))


_FIZZES = ("mixer", "beer", "sparkling wine", "cider")


def _squeezed_in(reader: TalkReader, mention: Mention, end: int) -> bool:
    """ "Squeeze you one whole lime in there": its juice goes in."""
    return "squeeze" in reader.before(mention.start, 5) and reader.after(end, 1) in (("in",), ("into",))


def _rinsed_with(reader: TalkReader, mention: Mention) -> bool:
    """ "Rinse it with absinthe", "a rinse of absinthe"; not "give it a rinse, there's been sherry in it"."""
    before = reader.before(mention.start, 3)
    return "with" in before or "of" in before or reader.before(mention.start, 1)[0:1] in (("rinse",), ("rinsing",))


def _swirled_out(reader: TalkReader, mention: Mention, end: int) -> bool:
    """ "A few drops of absinthe in the glass, roll it round, and out it goes"."""
    _, stop = reader.sentence(mention.start)
    if not reader.talk.punctuated:
        stop = min(stop, end + 90)
    swirled = next((c for c in reader.cues_in("places.swirled", end, stop)), None)
    if swirled is None or any(m.group == "ingredient" for m in reader.mentions_in(end, swirled.start)):
        return False
    return reader.has("places.tipped out", swirled.end, stop + 30)


def _liquid_place(reader: TalkReader, mention: Mention) -> bool:
    return _cue_before(reader, "places.muddle", mention, 4)


def of_the_rim(mention: Mention, lexicon: Lexicon) -> Mention:
    """ "Shake, salt rim, rocks glass": what is on the rim is the salt."""
    what = plain(mention.name).removesuffix(" rim")
    entry = lexicon.named(what) if plain(mention.name).endswith(" rim") else None
    return mention if entry is None else replace(mention, name=entry.name, entry=entry)


_NO_RIM = re.compile(
    r"(?:^|[\s,.;])(?:not|no|never|without|isn't|ain't|don't|doesn't|can't|hate|hates|skip|instead of)[\w' ,]{0,18}? "
    r"(?:rim|edge)\b"
)


def no_rim(reader: TalkReader, mention: Mention) -> bool:
    """ "Salt, not on the rim, I can't stand a rim": it is put in."""
    return _NO_RIM.match(reader.lower[mention.end : mention.end + 40]) is not None


_HUNG = ("fruit", "vegetable", "garnish", "herb", "flower")
"""What hangs on a rim, and does not stick to it: "a strawberry on the rim", "a basil leaf"."""


def _rim_thing(mention: Mention, lexicon: Lexicon) -> bool:
    """Salt, sugar, spice: what can stick to a rim; not the fruit that wets it."""
    if mention.entry is None:
        return True
    return lexicon.state(mention.entry) == "solid" and not lexicon.is_any(mention.entry, _HUNG)


def wets_the_rim(reader: TalkReader, mention: Mention, lexicon: Lexicon) -> bool:
    """The lemon that is run round the rim is not in the drink."""
    if mention.entry is not None and _rim_thing(mention, lexicon):
        return False
    if not (
        _cue_before(reader, "places.wet the rim", mention, 5)
        or _cue_after(reader, "places.wet the rim", mention.end, 3)
    ):
        return False
    start, end = reader.sentence(mention.start)
    stretch = reader.lower[start : min(len(reader.lower), end + 60)]
    return any(w in stretch for w in ("rim", "edge", "lip", "border"))


_PUT_IN = ("places.pour", "places.top", "places.float", "places.muddle", "places.rinse")


def goes_in(reader: TalkReader, mention: Mention, neighbours: Sequence[Mention]) -> bool:
    """Is an unmeasured name put in? "add X", "X goes in", "top with X", or one of a list of things that are.

    neighbours: names of the same drink that have an amount.
    """
    if any(_cue_before(reader, label, mention, 2) for label in _PUT_IN) and not _told(reader, mention):
        return True
    if _cue_after(reader, "places.goes in", mention.end, 4):
        return True
    if _INSTEAD_OF_ANOTHER.search(reader.lower[max(0, mention.start - 50) : mention.start]):
        return True  # "instead of the plain sugar, fig syrup"
    if "from" in reader.before(mention.start, 2):
        return False  # "it's from apricot pits" tells where it comes from
    if mention.entry is not None and mention.entry.everyday and reader.before(mention.start, 1)[-1:] in _DESCRIBING:
        return False  # "it stays bitter"
    if any(
        rule(reader, mention, neighbours)
        for rule in (_listed_alone, _heads_a_list, _next_in_turn, _runs_into, _of_so_much)
    ):
        return True
    for n in neighbours:
        first, last = (n, mention) if n.start < mention.start else (mention, n)
        gap = reader.gap(first.end, last.start)
        if gap.stop or len(gap.words) > 5 or any(first.end <= m.start < last.start for m in reader.talk.mentions):
            continue
        joined = set(gap.words) <= _LIST_WORDS
        if joined and (
            "and" in gap.words or gap.comma or "then" in gap.words or any(w not in _ARTICLES for w in gap.words)
        ):
            return True
    return False


def _listed_alone(reader: TalkReader, mention: Mention, neighbours: Sequence[Mention]) -> bool:
    """ "Amontillado, one ounce. And peach bitters.": a thing by itself in its sentence, behind one with an amount."""
    if mention.entry is None or mention.entry.everyday or not reader.talk.punctuated:
        return False
    number = reader.sentence_number(mention.start)
    start, end = reader.sentence_span(number)
    lead = reader.gap(start, mention.start).words
    if lead in (("of",), ("and", "of"), ("then", "of")):
        return True  # "Of ginger syrup a decent swallow."
    if number == 0 or not lead or lead[0] not in _GOES_ON or not set(lead) <= _LEADS:
        return False
    if mention.end < end and reader.lower[mention.end : mention.end + 1] not in ",.;":
        return False
    before = reader.sentence_span(number - 1)[0]
    if number > 1 and len(reader.gap(before, start).words) <= 2:
        before = reader.sentence_span(number - 2)[0]  # "Hm." stands between
    return any(before <= n.start < start for n in neighbours)


def _heads_a_list(reader: TalkReader, mention: Mention, neighbours: Sequence[Mention]) -> bool:
    """ "Fino, six centilitres. Quince liqueur, the one without colour. And of the bitters, three dashes.": a thing told
    of at the head of its sentence, between sentences that pour."""
    if mention.entry is None or mention.entry.everyday or not reader.talk.punctuated:
        return False
    number = reader.sentence_number(mention.start)
    start, end = reader.sentence_span(number)
    lead = reader.gap(start, mention.start).words
    if not set(lead) <= _LEADS | {"now", "next", "after", "so"} or number == 0 or number + 1 >= len(reader.sentences):
        return False
    if reader.lower[mention.end : mention.end + 1] not in (",", "."):
        return False
    if any(m.pours and start <= m.start < end for m in reader.talk.measures) or "?" in reader.lower[start:end]:
        return False
    before, behind = reader.sentence_span(number - 1), reader.sentence_span(number + 1)
    return all(any(a <= n.start < b for n in neighbours) for a, b in (before, behind))


_OVER = re.compile(r"\bover (?:it|that|the (?:glass|drink|top|ice)|each|them)(?: [\w']+){0,4} $")


def _pressed_over(reader: TalkReader, mention: Mention) -> bool:
    """ "Over it I press a lemon peel": its oil is pressed on the drink, nothing is muddled."""
    return _OVER.search(reader.lower, max(0, mention.start - 50), mention.start) is not None


_OF = re.compile(r"([\w']+) of (?:the |my |our |that |your )?$")
_OF_NO_AMOUNT = frozenset((
    "afraid", "all", "and", "any", "barrel", "because", "best", "bottles", "bottom", "brand", "capital",
    "careful", "case", "cases", "church", "color", "colour", "course", "crate", "day", "dream", "dreaming",
    "edge", "end", "enough", "first", "flat", "fond", "full", "glass", "glasses", "grade", "hint", "home",
    "inside", "instead", "is", "it", "kind", "kinda", "kinds", "lack", "land", "layer", "layers", "lots", "love",
    "made", "memory", "middle", "month", "most", "name", "none", "not", "note", "notes", "one", "or", "out",
    "outside", "part", "place", "price", "proud", "reminds", "rest", "rid", "scent", "shade", "short", "sick",
    "side", "smell", "smells", "some", "sort", "sorts", "speaking", "spite", "stead", "style", "take", "talk",
    "talking", "taste", "tastes", "that", "think", "thought", "tired", "top", "type", "version", "way", "week",
    "which", "whiff", "world", "year",
))  # fmt: skip


def _of_so_much(reader: TalkReader, mention: Mention, neighbours: Sequence[Mention]) -> bool:
    """ "A tumbler scoop of sorbet", "once naps of vodka": so much of it, by words that were misheard."""
    entry = mention.entry
    if entry is None or entry.everyday or not neighbours or mention.how not in ("exact", "other name", "sound"):
        return False
    lead = _OF.search(reader.lower, max(0, mention.start - 30), mention.start)
    if lead is None or lead[1] in _OF_NO_AMOUNT or lead[1] in _TELLING:
        return False
    if any(x.end > lead.start() and x.group == "ingredient" for x in reader.mentions_in(lead.start() - 30, lead.end())):
        return False  # "we drank lemonade of tarragon"
    return not any(m.end > mention.start - 4 and m.start < mention.start for m in reader.talk.measures)


_TELLING = frozenset(("has", "have", "had", "sells", "makes", "gave", "told", "tell", "heard", "hear", "know", "fan"))


def _runs_into(reader: TalkReader, mention: Mention, neighbours: Sequence[Mention]) -> bool:
    """ "In the tin egg white lemon juice three quarters simple half an ounce": without full stops or commas a thing
    that runs into the next one, which has its amount behind it."""
    if reader.talk.punctuated or mention.how not in ("exact", "other name") or mention.entry is None:
        return False
    following = next((n for n in neighbours if 0 < n.start - mention.end <= 1), None)
    if following is None or mention.entry.everyday or reader.before(mention.start, 1) in _TELLS_OF:
        return False
    amounts = [m for m in reader.talk.measures if m.pours and mention.end <= m.start]
    return bool(amounts) and 0 <= amounts[0].start - following.end <= 1


_TELLS_OF = (("is",), ("it's",), ("that's",), ("like",), ("no",), ("not",), ("than",), ("the",))


def _next_in_turn(reader: TalkReader, mention: Mention, neighbours: Sequence[Mention]) -> bool:
    """ "Twelve basil leaves, torn up a bit, then rose water, and this is where": the next thing that goes in."""
    if mention.entry is None or mention.entry.everyday or mention.how not in ("exact", "other name"):
        return False
    if reader.before(mention.start, 1) != ("then",) or reader.after(mention.end, 1) in _TELLS:
        return False
    before = [n for n in neighbours if 0 < mention.start - n.end < IN_TURN_WITHIN]
    return bool(before) and any(n.start > mention.end for n in neighbours)


IN_TURN_WITHIN = 90
"""How far behind a thing with an amount the next may be named without one, in characters."""
_TELLS = tuple((w,) for w in ("is", "was", "has", "comes", "came", "does", "tastes", "makes", "takes", "will", "would"))
_GOES_ON = frozenset(("and", "then", "plus", "also"))
_LEADS = _GOES_ON | {"a", "an", "the", "some", "my", "our", "your", "one", "finally", "of", "little", "bit"}


_INSTEAD_OF_ANOTHER = re.compile(
    r"\b(?:instead of|in place of|in lieu of|rather than) (?:the |a |an |your |any )?[\w'-]+(?: [\w'-]+){0,2}, "
    r"(?:it's |there's |i use |we use |i put |we put |i take |use |here comes |comes |goes |in goes )?"
    r"(?:a |an |the |my |our |some )?$"
)


def _told(reader: TalkReader, mention: Mention) -> bool:
    """ "You know when you take plum from the ground": a story, not a pour."""
    before = reader.before(mention.start, 7)
    start, _ = reader.sentence(mention.start)
    said = reader.gap(start, mention.start).words[-7:]
    near = before[-min(len(said), 7) :] if said else ()
    return any(w in ("when", "if", "know", "remember", "like", "for", "about") for w in near)


_DESCRIBING = tuple((w,) for w in [
    "is", "stays", "gets", "goes", "tastes", "it's", "so", "very", "too", "more", "a", "bit", "be", "becomes",
    "was",
])  # fmt: skip
_ARTICLES = frozenset(["a", "an", "the", "some", "my", "our", "your", "of"])
_LIST_WORDS = _ARTICLES | frozenset(
    [
        "and", "then", "also", "plus", "with", "mil", "ml", "ounce", "ounces", "dash", "dashes", "one", "two",
        "three", "four", "five", "six", "seven", "eight", "nine", "ten", "twenty", "thirty", "forty", "fifty",
        "half", "quarter", "quarters", "teaspoon", "tablespoon", "fresh", "good", "nice", "little", "big", "same",
        "drops", "drop", "sixty", "fifteen", "twelve",
    ]
)  # fmt: skip


def settle_unit(measure: Measure, mention: Mention, lexicon: Lexicon) -> Measure:
    """A bare number of a thing that is counted is so many pieces (leaves, sprigs, slices ...); of a liquid it has no
    unit."""
    if measure.kind != "number" or measure.unit is not None:
        return measure
    words = plain(mention.name).split()
    heard = plain(mention.heard).split()
    for word, unit in (
        ("leaf", "leaf"), ("leaves", "leaf"), ("sprig", "sprig"), ("sprigs", "sprig"), ("slice", "slice"),
        ("slices", "slice"), ("wedge", "wedge"), ("wedges", "wedge"), ("wheel", "wheel"), ("wheels", "wheel"),
        ("cube", "cube"), ("cubes", "cube"),
        ("peel", "peel"), ("peels", "peel"), ("scoop", "scoop"), ("scoops", "scoop"),
    ):  # fmt: skip
        if lexicon.is_liquid(mention.entry) and words[-1:] != [word]:
            continue  # twenty of "curry leaf syrup" are no leaves
        if word in heard or word in words:
            return replace(measure, unit=unit, kind="amount")
    counted = False
    if mention.entry is not None:
        state = lexicon.state(mention.entry)
        counted = state in ("solid", "thing") or lexicon.is_a(mention.entry, "egg")
    # "Eight ounces of gin, four of lime": no four limes.
    singular = measure.low is not None and measure.low > 1 and not plain(mention.heard).endswith("s")
    if singular and mention.start - measure.end == len(" of ") and _is_fruit(mention, lexicon):
        return measure
    if mention.entry is not None and lexicon.is_a(mention.entry, "egg") and (measure.low or 0) > MOST_EGGS:
        return measure  # "egg white thirty" is thirty of what the drink is measured in
    # "Lime, three quarters" is no piece of a lime; "half a lime" is.
    share = measure.low is not None and measure.low < 1 and not re.search(r"\b(?:a|an)$", measure.said.strip().lower())
    if counted and lexicon_piece(mention, lexicon) and not share:
        return replace(measure, unit="piece", kind="amount")
    return measure


def _is_fruit(mention: Mention, lexicon: Lexicon) -> bool:
    return mention.entry is not None and lexicon.is_a(mention.entry, "fruit")


def lexicon_piece(mention: Mention, lexicon: Lexicon) -> bool:
    return mention.entry is not None and any(
        lexicon.is_a(mention.entry, k)
        for k in ("fruit", "vegetable", "egg", "garnish", "spice", "herb")
        if k in lexicon.kinds
    )
