"""What a drink may be called: the run of words behind a place in the talk that can be a name, and what speaks for it.

With capitals a name is a run of capitalised words ("the Wasp in the Plum"); without, the words up to one that no
name goes
on with, or the part of them that is said again. The word lists are lexicon/talk/drinks.txt.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from extractor.lexicon import plain
from extractor.numbers import is_number
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader

LONGEST = 8
"""A name in capitals has at most so many words; one without, at most LONGEST_PLAIN."""
LONGEST_PLAIN = 5
POURED_WITHIN = 200
"""Behind the name of a drink an amount follows within so many characters."""
LIKE = 82
"""Two spellings of one name, as rapidfuzz counts likeness (0 to 100)."""
_ARTICLES = frozenset(("the", "a", "an", "our", "my", "him", "her", "it", "mine", "this", "one"))
_TOKEN = re.compile(r"[\w'’&]+")
# Sounds of tasting and wonder: "Woo!", "Aah.", "Mmm.", "Oof", "Whoa", "Yum".
_EXCLAIMED = re.compile(r"(?:[hwy]{0,2}[aeou]+h*[wfpm]*|w[ao]+h|[hm]+|br+|ps+t|sh+)s?")
# "It's Walt, it's Thursday": who speaks, and when.
_IS_WHEN = re.compile(r",? (?:and |here, )?it's (?:\w+day|half|quarter|\w+ o'clock|\w+ past|me)\b")
# These may end a name, where a new clause follows at once.
_CLOSES = frozenset(("on", "in", "over", "under", "before", "after", "off", "out", "up", "down", "by", "back"))
_CLAUSE_BEGINS = frozenset(
    ("and", "because", "cause", "cos", "which", "it's", "so", "now", "right", "okay", "i", "we", "you")
)
_NOT_CAPITALS = frozenset(("I", "I'm", "I'll", "I've", "I'd", "I’m", "I’ll", "I’ve", "I’d"))


@dataclass(frozen=True)
class NameWords:
    """The word lists of lexicon/talk/drinks.txt."""

    sections: Mapping[str, tuple[str, ...]]

    def _set(self, section: str) -> frozenset[str]:
        return frozenset(" ".join(self.sections.get(section, ())).split())

    @cached_property
    def joiners(self) -> frozenset[str]:
        return self._set("joiners")

    @cached_property
    def stops(self) -> frozenset[str]:
        return self._set("name stops")

    @cached_property
    def describing(self) -> frozenset[str]:
        return self._set("describing")

    @cached_property
    def common(self) -> frozenset[str]:
        return self._set("common things")

    @cached_property
    def vague(self) -> frozenset[str]:
        return self._set("vague")

    @cached_property
    def generic(self) -> frozenset[str]:
        return self._set("generic")

    @cached_property
    def opens(self) -> frozenset[str]:
        return self._set("opens with an order")

    @cached_property
    def goes_on(self) -> frozenset[str]:
        return self._set("goes on")

    @cached_property
    def refers(self) -> frozenset[str]:
        return self._set("refers")

    @cached_property
    def drinks(self) -> frozenset[str]:
        return self._set("drink words")

    @cached_property
    def towards(self) -> frozenset[str]:
        return self._set("towards")

    @cached_property
    def speaks(self) -> frozenset[str]:
        return self._set("speaks")

    @cached_property
    def places(self) -> frozenset[str]:
        return self._set("before places")

    @cached_property
    def titles(self) -> frozenset[str]:
        return self._set("titles of people")

    @cached_property
    def people(self) -> frozenset[str]:
        return self._set("people")

    @cached_property
    def counted(self) -> frozenset[str]:
        return self._set("counted")

    @cached_property
    def mixed_in(self) -> frozenset[str]:
        return self._set("mixed in")

    @cached_property
    def made_of(self) -> frozenset[str]:
        return self._set("made of")

    @cached_property
    def dates(self) -> frozenset[str]:
        return self._set("dates")

    @cached_property
    def head_words(self) -> frozenset[str]:
        return self._set("head words")

    @cached_property
    def order_words(self) -> frozenset[str]:
        return self._set("order words")

    @cached_property
    def chatter(self) -> frozenset[str]:
        return self._set("chatter")

    @cached_property
    def no_counting(self) -> frozenset[str]:
        return self._set("no counting nouns")

    @cached_property
    def numbers_heard(self) -> Mapping[str, str]:
        """How a number behind a counting noun is written, to the number: "free" to "three"."""
        out: dict[str, str] = {}
        number = ""
        for w in " ".join(self.sections.get("numbers heard", ())).split():
            number = w if w in ("one", "two", "three", "four", "five") else number
            out[w] = number
        return out


@dataclass(frozen=True, slots=True)
class Name:
    text: str
    start: int
    end: int
    capitals: bool
    """True where its words have capitals in captions that have some."""
    article: str | None
    """The article or the word like one right before it: "the", "a", "my"."""


def key_of(name: str) -> str:
    """A name to compare by: plain, without its articles."""
    return " ".join(w for w in plain(name).replace("'s", "s").split() if w not in ("the", "a", "an"))


def alike(a: str, b: str) -> bool:
    """One name in two spellings: "ferry red" and "ferry read"."""
    from rapidfuzz import fuzz

    if a == b:
        return True
    return len(a) > 4 and len(b) > 4 and fuzz.ratio(a, b) >= LIKE


def count_said(reader: TalkReader, name: str) -> int:
    return len(reader.said_at(name))


@lru_cache(maxsize=8)
def has_capitals(text: str) -> bool:
    """The captions write capitals: one word in twenty or more has one, besides "I"."""
    said = _TOKEN.findall(text)
    return 20 * sum(map(_capital, said)) >= len(said) > 0


def _capital(word: str) -> bool:
    return word[0].isupper() and word not in _NOT_CAPITALS


def title_name(text: str, start: int, limit: int, words: NameWords) -> Name | None:
    """The run of capitalised words that begins at an offset, past an article: "the Wasp in the Plum" gives "Wasp in
    the Plum"."""
    run: list[tuple[str, int, int]] = []
    article: str | None = None
    at = start
    while at < limit and len(run) < LONGEST:
        m = _TOKEN.search(text, at)
        if m is None or m.start() >= limit:
            break
        between = text[at : m.start()]
        if (run and re.search(r"[^\s\-]", between)) or (not run and re.search(r"[.?!]", between)):
            break
        word = m.group()
        if _capital(word) or (word[0].isdigit() and run):
            # "The Night Watchman": a capital article begins a name only where more than it does.
            if not run and word.lower() in ("the", "a", "an") and (word != "The" or starts_sentence(text, m.start())):
                article = word.lower()
            else:
                run.append((word, m.start(), m.end()))
        elif run and word.lower() in words.joiners:
            run.append((word, m.start(), m.end()))
        elif not run and word.lower() in _ARTICLES:
            article = word.lower()
        else:
            break
        at = m.end()
    while run and not run[-1][0][0].isupper() and not run[-1][0][0].isdigit():
        run.pop()
    if not run:
        return None
    return Name(text[run[0][1] : run[-1][2]], run[0][1], run[-1][2], True, article)


def starts_sentence(text: str, at: int) -> bool:
    return re.search(r"(?:^|[.?!:\n])\s*$", text[max(0, at - 3) : at]) is not None


def _plain_run(
    reader: TalkReader, start: int, limit: int, words: NameWords
) -> tuple[list[tuple[str, int, int]], str | None, bool]:
    """(words, article, whether a comma or full stop ends it)."""
    text = reader.lower
    run: list[tuple[str, int, int]] = []
    article: str | None = None
    at = start
    while at < limit and len(run) < LONGEST_PLAIN + 2:
        m = _TOKEN.search(text, at)
        if m is None:
            break
        if (run and re.search(r"[,.;:?!]", text[at : m.start()])) or (
            not run and re.search(r"[.?!]", text[at : m.start()])
        ):
            return run, article, True
        if m.start() >= limit or (run and (m.start() in reader.measured or _heads_bare_list(reader, m.start()))):
            return _before_first_thing(reader, run, m.start()), article, False  # "the dog door two ounces of bourbon"
        word = m.group().replace("’", "'")
        at = m.end()
        if not run and word in _ARTICLES:
            article = word
            continue
        run.append((word, m.start(), m.end()))
    closed = at >= limit or re.match(r"\s*[,.;:?!]", text[at : at + 2]) is not None
    return run, article, closed


LIST_WITHIN = 24


def _heads_bare_list(reader: TalkReader, at: int) -> bool:
    """ "Brass fern gin sixty lemon thirty": a bare number between two things, the second with an amount of its own."""
    first = next((m for m in reader.talk.measures if m.start == at), None)
    if reader.talk.punctuated or first is None or first.kind != "number" or first.unit is not None:
        return False
    before = any(m.group == "ingredient" and m.end == at - 1 for m in reader.mentions_in(max(0, at - LIST_WITHIN), at))
    following = next((m for m in reader.talk.measures if m.start >= first.end and m.pours), None)
    if not before or following is None or following.start - first.end > LIST_WITHIN:
        return False
    named = [m for m in reader.mentions_in(first.end, following.start) if m.group == "ingredient"]
    return bool(named) and not reader.gap(first.end, named[0].start).words and (
        not reader.gap(named[-1].end, following.start).words
    )  # fmt: skip


def _before_first_thing(reader: TalkReader, run: list[tuple[str, int, int]], amount: int) -> list[tuple[str, int, int]]:
    """ "Lost umbrella gin two ounces lemon juice three quarters": the gin before its amount is no part of the name,
    unless the amount is of what follows it."""
    if not run:
        return run
    things = (m for m in reader.mentions_in(run[0][1] + 1, amount) if m.group == "ingredient")
    thing = next((m for m in things if m.end >= amount - 1), None)
    measure = next((m for m in reader.talk.measures if m.start == amount), None)
    if thing is None or measure is None or reader.after(measure.end, 1) == ("of",):
        return run
    behind = next(
        (m for m in reader.mentions_in(measure.end, measure.end + 16)
         if m.group == "ingredient" and not reader.gap(measure.end, m.start).words),
        None,
    )  # fmt: skip
    if behind is not None and not any(behind.end <= m.start <= behind.end + 2 for m in reader.talk.measures):
        return run  # "gin two ounces bourbon half an ounce of lemon"
    return [x for x in run if x[1] < thing.start]


def plain_name(reader: TalkReader, start: int, limit: int, words: NameWords, *, said_so: bool = False) -> Name | None:
    """Without capitals: the words up to one that no name goes on with, or to a comma where captions have commas.

    What is said to be a name may begin with any word: "it is called go slow".
    """
    run, article, closed = _plain_run(reader, start, limit, words)
    first = 1 if said_so and len(run) > 1 and run[0][0] not in words.joiners and run[1][0] not in words.stops else 0
    cut = next((k for k, (w, _, _) in enumerate(run) if w in words.stops and k >= first), len(run))
    if cut == 0 and len(run) > 1 and run[0][0] in words.joiners and run[1][0] not in words.stops | words.joiners:
        # "This is no hands": a joining word begins a name that is said again.
        again = count_said(reader, reader.lower[run[0][1] : run[1][2]]) > 1
        cut = next((k for k, (w, _, _) in enumerate(run) if w in words.stops and k), len(run)) if again else 0
    if reader.talk.punctuated and closed and len(run) <= LONGEST_PLAIN and cut:
        # "Ladder in the tree," ends at its comma: joining words do not end it.
        inner = next(
            (k for k, (w, _, _) in enumerate(run) if w in words.stops and w not in words.joiners and k >= first),
            len(run),
        )
        if inner == len(run) and run[-1][0] not in words.joiners:
            cut = inner
    # "The follow on and it is a punch": a preposition with nothing behind it belongs to the name.
    closes = 0 < cut < len(run) - 1 and run[cut][0] in _CLOSES and run[cut + 1][0] in _CLAUSE_BEGINS
    cut += closes
    told = cut < len(run) and run[cut][0] in ("is", "goes", "comes", "are")
    run = run[: min(cut, LONGEST_PLAIN)]
    if told and len(run) > 2 and not reader.talk.punctuated:
        # "Wall goat bourbon is the base here": what is told of is no part of the name.
        thing = next((m for m in reader.mentions_in(run[1][1], run[-1][2]) if m.end == run[-1][2]), None)
        run = [x for x in run if thing is None or thing.group != "ingredient" or x[1] < thing.start]
    while run and run[-1][0] in words.joiners and not closes:
        run.pop()
    if not run:
        return None
    before = reader.before(run[0][1], 1)
    if article is None and before and before[0] in _ARTICLES:
        article = before[0]  # the words that named it took the article along: "this is the"
    return Name(reader.lower[run[0][1] : run[-1][2]], run[0][1], run[-1][2], False, article)


def _said_again(reader: TalkReader, name: Name, words: NameWords) -> Name:
    """The longest beginning of a name that is said again is the name: "pool noodle" of "pool noodle does a pitcher"."""
    parts = name.text.split()
    for k in range(len(parts), 0, -1):
        part = " ".join(parts[:k])
        single = k == 1 and (len(part) < 5 or part in words.dates or part in words.describing or part in words.common)
        whole = k == len(parts) > 1
        if not single and (whole or parts[k - 1] not in words.joiners) and count_said(reader, part) > 1:
            if k == 1 and len(parts) > 1 and not _alone_again(reader, part, parts[1], words):
                continue
            return Name(part, name.start, name.start + len(part), name.capitals, name.article)
    return name


def _alone_again(reader: TalkReader, word: str, following: str, words: NameWords) -> bool:
    """The first word of a longer run is a name by itself only where it is named so, with its article, elsewhere."""
    for at in reader.said_at(word):
        end = at + len(word)
        ends = reader.lower[end : end + 1] in (".", ",", "?", "!") or reader.after(end, 1)[:1] in [
            (w,) for w in words.stops
        ]
        if reader.before(at, 1) == ("the",) and reader.after(end, 1) != (following,) and ends:
            return True
    return False


def _covering(mentions: Sequence[Mention], start: int, end: int, group: str) -> Mention | None:
    return next(
        (m for m in mentions if m.group == group and m.entry is not None and m.start <= start and end <= m.end), None
    )


def poured_as(reader: TalkReader, name: Name) -> bool:
    """The name is that of a thing that is poured: "fifteen leaves of cataia", "two ounces of the cataia"."""
    for at in reader.said_at(name.text):
        before = reader.before(at, 2)
        of = before[-1:] == ("of",) or (before[:1] == ("of",) and before[1] in ("the", "my", "our", "that", "this"))
        if of and any(
            m.end <= at and at - m.end <= 12 and m.kind in ("amount", "number", "vague") for m in reader.talk.measures
        ):
            return True
    return False


def _is_kin(reader: TalkReader, name: Name, words: NameWords) -> bool:
    """ "It's Ginette, it's my wife", "Mathieu, the boyfriend of my daughter"."""
    if len(name.text.split()) > 1:
        return False
    return any(_kin_behind(reader, at + len(name.text), words) for at in reader.said_at(name.text))


def _kin_behind(reader: TalkReader, end: int, words: NameWords) -> bool:
    m = re.match(
        r",? (?:(?:it's|it is|he's|she's|he is|she is|that's|who's|who is|is) )?"
        r"(?:my|our|the|his|her|a|an) (?:\w+ )?(\w+)(?!\w|')",
        reader.lower[end : end + 60],
    )
    return m is not None and any(w in words.people for w in plain(m.group()).split())


def is_speaker(reader: TalkReader, name: Name, words: NameWords, *, said_so: bool) -> bool:
    """The speaker introduces himself or another: "I'm Marnie", "this is Hoshino speaking", "it's Odell on the back
    porch"."""
    before, after = reader.before(name.start, 2), reader.after(name.end, 1)
    if before[-1:] in (("i'm",), ("am",)) or before == ("i", "am") or after in (("speaking",),):
        return True
    if after in (("here",),) and reader.lower[name.end : name.end + 1] == " ":
        return True
    if said_so:
        return False
    if _is_kin(reader, name, words):
        return True
    one_word = len(name.text.split()) == 1
    if one_word and name.capitals and _called_out(reader, name.text, words):
        return True
    number = reader.sentence_number(name.start)
    if one_word and number < 4 and _IS_WHEN.match(reader.lower, name.end):
        return True  # "It's Walt, it's Thursday"
    first = reader.sentence_span(max(0, number - 2))[0]
    greets = reader.has("turns.greeting", first, reader.sentence_span(number)[1])
    if not one_word and name.capitals and name.article is None and count_said(reader, name.text) < 2:
        # "Good evening, this is Orla Pender in the vestry": nothing is poured behind it.
        greets = reader.has("turns.greeting", reader.sentence_span(number)[0], name.start)
        said_of_self = reader.before(name.start, 2) in (("this", "is"), ("it", "s"), ("am", "i")) or before[-1:] == (
            "it's",
        )
        poured = any(name.end < at < name.end + POURED_WITHIN for at in reader.measured)
        return greets and said_of_self and not poured and len(name.text.split()) == 2
    return one_word and greets and name.start < 0.2 * len(reader.lower)


def _written_small(mention: Mention | None, name: Name) -> bool:
    """Of a thing whose names are all written small: "double yolk", not "Swedish punsch"."""
    if mention is None or mention.entry is None:
        return False
    names = (mention.entry.name, *mention.entry.others)
    return all(w[0].isupper() for w in name.text.split()) and all(n == n.lower() for n in names)


def _called_out(reader: TalkReader, name: str, words: NameWords) -> bool:
    """ "Turn down that radio, Everton." — one who is spoken to."""
    for at in reader.said_at(name):
        end = at + len(name)
        if reader.lower[max(0, at - 2) : at] == ", " and reader.before(at, 1) in (
            ("say",),
            ("says",),
            ("said",),
            ("goes",),
        ):
            return True
        if reader.lower[max(0, at - 2) : at] == ", " and reader.lower[end : end + 1] in (".", "?", "!"):
            start, _ = reader.sentence(at)
            lead = reader.gap(start, at).words
            orders = words.order_words & set(lead)  # "Next one, Windowpane."
            if reader.lower.count(",", start, end) == 1 and len(lead) > 1 and not (orders and len(lead) <= 3):
                return True
    return False


def could_be(
    reader: TalkReader, name: Name, mentions: Sequence[Mention], words: NameWords, *, said_so: bool, firm: bool = False
) -> bool:
    """Whether a run of words can be a drink's name at all.

    said_so: the speaker says that it is ("called", "the name is"). firm: it stands where a drink is named ("number
    two is").
    """
    parts = plain(name.text).split()
    if not parts or all(p in words.joiners for p in parts):
        return False
    if parts[0] in words.titles and (len(parts) == 1 or parts[1] not in words.joiners) and not said_so:
        return False  # "This is Mrs Treloar's", and not "the Mother of the Bride"
    indefinite = name.article in ("a", "an") or reader.before(name.start, 1) in (("a",), ("an",))
    model = parts[-1] in words.people and "'s " in name.text.replace("’", "'") and indefinite
    if parts[0] == "name" or model:
        return False
    if not name.capitals and any(t.start <= name.start and name.end <= t.end for t in reader.talk.techniques):
        return False  # "that's called a reverse dry shake"  # "the name of my aunt", "it's a Manhattan's cousin"
    if is_number(parts[0]) and parts[-1] in words.counted:
        return False  # "call it ten people"
    exact = _covering(mentions, name.start, name.end, "ingredient")
    doubtful = exact is not None and exact.how == "sound" and not exact.apply
    # "The cold biscuit": more than the thing, and named where a drink is.
    more = exact is not None and exact.core is not None and exact.core != (exact.start, exact.end)
    # "First one is the Double Yolk": capitals where a thing has none.
    titled = name.capitals and (firm or said_so) and len(parts) > 1 and _written_small(exact, name)
    told = doubtful or titled or (firm and name.article == "the" and more and count_said(reader, name.text) > 1)
    if exact is not None and not told and not (said_so and name.capitals and exact.how in ("sound", "spelling")):
        return False
    if _covering(mentions, name.start, name.end, "glass") is not None and not (said_so and name.capitals):
        return False  # "I am calling it Kulhad" is said to be a name, though it is a cup
    sure = name.capitals or (
        firm and name.article == "the" and len(parts) > 1
    )  # "the kind uncle", against "kind of a sour"
    if any(p.isdigit() for p in parts[:1]) or (parts[0] in words.vague and not sure) or parts[0] in ("n't", "t"):
        return False
    if len(parts) == 1:
        one = parts[0]
        if (
            one in words.dates
            or one in words.common
            or one in words.describing
            or (one in words.chatter and not said_so)
        ):
            return False
        if _EXCLAIMED.fullmatch(one) and not said_so:
            return False
        if one in words.stops or (one.endswith("ing") and not name.capitals) or is_number(one):
            return False
    if name.capitals:
        # "Number three is Two Cups Short": a name may begin with an amount and go on, where a name is due.
        amount = any(
            m.start < name.end and name.start < m.end and m.unit is not None and not (firm and m.end < name.end)
            for m in reader.talk.measures
        )
        return not (len(parts) == 1 and is_number(parts[0])) and not (amount and not said_so)
    if is_number(parts[0]) and not said_so:
        return False
    if parts[-1] in words.generic and not (said_so and name.article == "the"):
        return False
    # "Okay kids, this is the flower girl": more than an everyday thing, and pointed at.
    pointed = len(parts) == 2 and name.article == "the" and reader.before(name.start, 3) == ("this", "is", "the")
    pointed = pointed and not {parts[0]} & (words.describing | words.common | words.vague | words.stops)
    loose = not said_so and not (firm and len(parts) > 1) and not pointed
    if loose and (parts[-1] in words.common or parts[-1] in words.describing):
        return False
    if not said_so and (parts[0] in words.order_words and len(parts) < 2):
        return False
    if any(
        m.start < name.end and name.start < m.end and (m.unit is not None or not said_so) for m in reader.talk.measures
    ):
        return False
    if any(m.group == "glass" and m.start < name.end and name.start < m.end for m in mentions):
        return False
    if any(t.start == name.start for t in reader.talk.techniques) and not said_so:
        return False
    held = [m for m in mentions if m.group == "ingredient" and m.entry is not None and name.start <= m.start < name.end]
    held = [m for m in held if m.how != "sound" or m.apply]
    # "Three parts gin": without capitals a name that ends in a thing poured is that thing.
    foreign = parts[0] in ("la", "le", "el", "il", "lo", "das", "der", "die") and len(parts) > 1
    again = firm and name.article == "the" and len(parts) > 1 and count_said(reader, name.text) > 1
    if again and not poured_as(reader, name):
        return True  # "the cold biscuit"
    return said_so or foreign or not any(m.end >= name.end for m in held)


def names_at(
    reader: TalkReader,
    start: int,
    limit: int,
    mentions: Sequence[Mention],
    words: NameWords,
    *,
    said_so: bool,
    firm: bool = False,
) -> Iterator[Name]:
    """The names that can begin at an offset, likeliest first: in capitals, else plain."""
    limit = min(limit, start + 90)
    if has_capitals(reader.talk.text):
        titled = title_name(reader.talk.text, start, limit, words)
        if titled is not None:
            titled = first_of_two(reader, titled)
            longer = _lower_rest(reader, titled, words)
            if (
                longer is not None
                and could_be(reader, longer, mentions, words, said_so=said_so, firm=firm)
                and not is_speaker(reader, titled, words, said_so=said_so)
            ):
                yield longer
            if could_be(reader, titled, mentions, words, said_so=said_so, firm=firm) and not is_speaker(
                reader, titled, words, said_so=said_so
            ):
                yield titled
            return
    found = plain_name(reader, start, limit, words, said_so=said_so)
    if found is None:
        return
    found = _said_again(reader, found, words)
    if could_be(reader, found, mentions, words, said_so=said_so, firm=firm) and not is_speaker(
        reader, found, words, said_so=said_so
    ):
        yield found


def first_of_two(reader: TalkReader, name: Name) -> Name:
    """ "The Big Sister and the Little Brother" are two where the first is said by itself, too."""
    first, _, _ = name.text.partition(" and ")
    if first != name.text and len(first.split()) > 1 and count_said(reader, first) > count_said(reader, name.text):
        return Name(first, name.start, name.start + len(first), name.capitals, name.article)
    return name


def _lower_rest(reader: TalkReader, name: Name, words: NameWords) -> Name | None:
    """ "Magpie season.", "Jasmine over the fence,": a recogniser's one capital, and small letters up to the comma."""
    if len(name.text.split()) > 1:
        return None
    m = re.match(r"((?: [\w'’]+){1,3})(?=[.,])", reader.talk.text[name.end : name.end + 40])
    if m is None:
        return None
    rest = m[1].lower().split()
    if {"and", "or"} & set(rest) and count_said(reader, name.text + m[1]) < 2:
        return None  # "It's Marcy pan and liniment.": what it tastes of
    if (
        rest[-1] in words.stops
        or rest[-1] in words.joiners
        or any(w in words.stops and w not in words.joiners for w in rest)
    ):
        return None
    end = name.end + len(m[1])
    taken = [*((m.start, m.end) for m in reader.talk.measures), *((t.start, t.end) for t in reader.talk.techniques)]
    if any(a < end and name.end < b for a, b in taken):
        return None
    return Name(reader.talk.text[name.start : end], name.start, end, True, name.article)


def listed_names(reader: TalkReader, mentions: Sequence[Mention], words: NameWords) -> list[list[Name]]:
    """Names told in one list, each said elsewhere too: "tonight the Ferry Red, the Wet Monday and the Foreman's
    Breakfast".

    Such a list (in the intro, in the goodbye) opens no drink but tells what the drinks are called.
    """
    out: list[list[Name]] = []
    if has_capitals(reader.talk.text):
        runs = list(_title_runs(reader, mentions, words))
    else:
        runs = list(_repeated_runs(reader, mentions, words))
    group: list[Name] = []
    for name in runs:
        if group:
            gap = reader.gap(group[-1].end, name.start)
            linked = (
                key_of(name.text) not in {key_of(n.text) for n in group}
                and set(gap.words) <= {"and", "then", "the", "a", "an", "or"}
                and (gap.words or gap.comma)
                and len(gap.words) <= 3
            )
            if not linked or (gap.stop and not reader.talk.punctuated):
                if len(group) > 1:
                    out.append(group)
                group = []
        group.append(name)
    if len(group) > 1:
        out.append(group)
    return out


def announced_labels(reader: TalkReader, words: NameWords) -> list[list[Name]]:
    """ "Tonight we make three drinks, the worker, the queen, and the drone": what the speaker will tell the drinks
    apart by."""
    out: list[list[Name]] = []
    for count in reader.talk.counts:
        if count.label != "drinks" or count.start > 0.4 * len(reader.lower):
            continue
        m = re.match(
            r"\W*(?:so |it's |we have |we've got )?((?:(?:and |then )*the \w+(?: \w+)?(?:, | and |(?=[.?!])))+)",
            reader.lower[count.end :],
        )
        if m is None:
            continue
        group = []
        for part in re.finditer(r"the (\w+(?: \w+)?)(?=,| and|$|[.?!])", m[1]):
            start = count.end + m.start(1) + part.start(1)
            if count_said(reader, part[1]) > 1 and part[1] not in words.describing:
                group.append(Name(part[1], start, start + len(part[1]), False, "the"))
        if len(group) > 1:
            out.append(group)
    return out


_KIND = re.compile(
    r"(?:one|something|a|an|the)(?: that's| for| is| of)*(?: the| my| our)? ([\w'-]+)(?: one| (?:thing|drink|to \w+))?"
)


def announced_kinds(reader: TalkReader, words: NameWords) -> frozenset[str]:
    """ "I've got three, one hot, one long", "hers and his and one for the crowd": kinds told apart in the intro."""
    out: set[str] = set()
    for count in reader.talk.counts:
        if count.label != "drinks" or count.start > 0.4 * len(reader.lower):
            continue
        end = reader.sentence_span(min(reader.sentence_number(count.end) + 1, len(reader.sentences) - 1))[1]
        text = reader.lower[count.end : min(end, count.end + 160)]
        found = {m[1] for m in _KIND.finditer(text)}
        found = {w for w in found if len(w) > 2 and w not in words.stops and not is_number(w) and w not in _NO_KIND}
        if len(found) > 1:
            out |= found
    return frozenset(out)


_NO_KIND = frozenset(
    ("one", "first", "second", "third", "last", "them", "each", "all", "drink", "drinks", "bar", "set")
)


def _title_runs(reader: TalkReader, mentions: Sequence[Mention], words: NameWords) -> Iterator[Name]:
    text = reader.talk.text
    at = 0
    while True:
        m = _TOKEN.search(text, at)
        if m is None:
            return
        at = m.end()
        if not _capital(m.group()) or m.group().lower() in ("the", "a", "an"):
            continue
        name = title_name(text, m.start(), min(len(text), m.start() + 90), words)
        if name is None:
            continue
        name = first_of_two(reader, name)
        at = name.end
        if could_be(reader, name, mentions, words, said_so=False) and count_said(reader, name.text) > 1:
            yield name


def _repeated_runs(reader: TalkReader, mentions: Sequence[Mention], words: NameWords) -> Iterator[Name]:
    """Without capitals: runs of two or three words behind "the" that are said again."""
    for m in re.finditer(r"(?<![\w'])the ", reader.lower):
        name = plain_name(reader, m.end(), min(len(reader.lower), m.end() + 60), words, said_so=True)
        if name is None or m.end() != name.start:
            continue
        parts = name.text.split()
        for k in range(min(3, len(parts)), 1, -1):
            part = " ".join(parts[:k])
            if count_said(reader, part) > 1:
                found = Name(part, name.start, name.start + len(part), False, "the")
                if could_be(reader, found, mentions, words, said_so=False, firm=True):
                    yield found
                break
