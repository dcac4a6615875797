"""Where each drink begins, what it is called, and to which drink a place in the talk belongs.

A drink begins at words that open one ("the second one", "number three", "moving on to"), at words that name one
("this is
called the ..."), or at a sentence that is nothing but a name. Each such sign has a weight; signs close to each other
make one
opening; what reaches `ENOUGH` opens a drink. A drink before it that is finished (in its glass, garnished, tasted)
speaks for
an opening, one that is still being poured against it. An opening behind which nothing is poured before the next one
is no
drink, and a name said again opens none.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from extractor.lexicon import plain
from extractor.record.talk import Mention
from extractor.specs.as_before import TOLD_WITHIN
from extractor.specs.drink_names import NameWords, alike, count_said, key_of
from extractor.specs.drink_signs import (
    CALLED,
    CAPITALS,
    ENOUGH,
    FINISHED,
    FRESH,
    LATE,
    LIKELY,
    NAMED,
    NEAR_WORDS,
    NOTHING_HEARD,
    PRESENTED,
    REPEATED,
    SERVES,
    STRONG_ORDER,
    DrinkSigns,
    Opening,
)
from extractor.specs.gaps import TalkReader
from extractor.specs.loose_names import loose_names
from extractor.specs.modes import Extent, mode_at
from extractor.specs.promised import likeliest, promised
from extractor.specs.same import same_thing
from extractor.specs.turns import find_turns

APART = 220
"""Between the last amount of a drink and the first of the next one are at least so many characters."""
LEAD_SENTENCES = 2
MERELY_SEEN = -1.2
"""Less for capitals that a recogniser set somewhere, where the drink was named in so many words ("the first is")."""
FAR_BEHIND = 300
IN_ONE_BREATH = 420
_POURED = ("fl_oz", "ml", "cl", "dash", "part")
_TOKEN = re.compile(r"[\w'’&]+")


@dataclass
class DrinkSpan:
    """One drink of the talk and the stretch in which it is the one in hand."""

    index: int
    start: int
    end: int
    name: str | None
    name_start: int | None = None
    name_end: int | None = None
    name_doubtful: bool = False
    """It was told in passing, and is asked about."""
    aliases: set[str] = field(default_factory=set)
    ordinal: str | None = None
    name_weight: float = 0.0
    also: str | None = None
    """What it was called before its name was told: "it's a Caribou ... we call it Fernand Is Asleep"."""
    order_said: str | None = None
    """The words that opened it, where they number it: "experiment one", "the first one"."""
    turns: list[tuple[int, int]] = field(default_factory=list)
    """Stretches in which it is in hand, where two drinks are told in turns."""


_HAS_GOT = tuple(
    (w,) for w in ("got", "a", "an", "the", "made", "built", "gonna", "going", "just", "really", "my", "our")
)
_NEXT_IN_ORDER = frozenset(("second", "third", "fourth", "fifth", "next"))


class DrinkFinder(DrinkSigns):
    """Finds the drinks of one talk by the signs that open them."""

    # ---- openings ------------------------------------------------------------------------------------------------

    def openings(self) -> list[Opening]:
        """The signs that lie near each other joined; in order."""
        out: list[Opening] = []
        pending: list[Opening] = []
        for s in self.signs():
            last = out[-1] if out else None
            primary = s.kind not in ("presenting", "seen") or (s.kind != "seen" and s.weight >= ENOUGH)
            if not primary and last is not None and self._listed_anew(last, s):
                primary = True
            if not primary and s.name is not None and (s.name.capitals or s.name.article == "the"):
                primary = s.weight + FINISHED >= ENOUGH and self.finished(
                    last.start if last is not None else 0, s.start
                )
            since = next((o.start for o in reversed(out[:-1]) if o.weight >= ENOUGH), 0)
            if last is not None and not self._named_again(out, s) and self._joins(last, s, since):
                self._join(last, s)
                continue
            if not primary:
                pending.append(s)
                continue
            opening = replace(s)
            if opening.name is None:
                before = [p for p in pending if len(self.reader.gap(p.start, s.start).words) <= 12 and _announces(p)]
                if before and self.poured(before[-1].start, s.start) == 0:
                    opening.name, opening.name_weight = before[-1].name, before[-1].name_weight
                    opening.start = before[-1].start
            out.append(opening)
        for k, o in enumerate(out):
            before_start = out[k - 1].start if k else 0
            if o.order and k and self.poured(before_start, o.start) <= 1:
                # Behind a name that was told when the drink was made.
                before_start = next((x.start for x in reversed(out[:k]) if self.poured(x.start, o.start) > 1), 0)
            if self.finished(before_start, o.start):
                o.bonus += FINISHED
        return out

    def _named_again(self, out: Sequence[Opening], s: Opening) -> bool:
        """ "The first one, Tin Hat. Orange bitters, one dash. Okay. Fourth, Wet Dog.": the last opening only goes back
        to a drink that was opened before, so that another name opens one of its own."""
        last = out[-1].name
        if last is None or s.name is None or alike(key_of(s.name.text), key_of(last.text)):
            return False
        return any(o.name is not None and _same_key(key_of(o.name.text), key_of(last.text)) for o in out[:-1])

    def _listed_anew(self, last: Opening, s: Opening) -> bool:
        """A name that was listed, behind the amounts of another drink."""
        if s.name is None or key_of(s.name.text) not in self.listed or s.weight < ENOUGH:
            return False
        other = last.name is None or not alike(key_of(s.name.text), key_of(last.name.text))
        return other and self.poured(last.start, s.start) > 1

    def _joins(self, last: Opening, s: Opening, since: int) -> bool:
        near = len(self.reader.gap(last.start, s.start).words) <= NEAR_WORDS
        if not near or self._ended_by_name(last, s, since):
            return False
        if s.rank is not None and last.rank is not None and s.rank != last.rank:
            return False
        between = self.poured(last.start, s.start)
        if (
            s.order
            and between
            and (s.order >= STRONG_ORDER or self.finished(last.start, s.start))
            and not (s.rank and s.rank == last.rank)
        ):
            return False
        same = s.name is not None and last.name is not None and alike(key_of(s.name.text), key_of(last.name.text))
        if s.order and between and s.name is not None and last.name is not None and not same:
            return False  # "Next, the Fishwife. ... Third, the Gaffer."
        opens = s.name is not None and s.name.capitals and s.weight + FINISHED >= ENOUGH
        if opens and last.name is not None and not same and self.finished(last.start, s.start):
            return False
        if self._listed_anew(last, s) and last.name is not None:
            return False
        if (
            s.name is not None
            and last.name is not None
            and not same
            and s.kind in ("title", "called", "naming", "label")
        ):
            both_sure = s.name_weight >= ENOUGH and last.name_weight >= ENOUGH
            if both_sure and self.poured(last.start, s.start) > 0:
                return False
            if both_sure and s.kind == "title" and last.kind == "title":
                return False
        return True

    def _ended_by_name(self, last: Opening, s: Opening, since: int) -> bool:
        """ "... and that's the Slack Water. The next one": the name ends the drink before, the order opens another.

        since: where the last drink before it was opened.
        """
        if not s.order or last.order or last.name is None or self.poured(since, last.start) < 2:
            return False
        if s.kind == "kind":
            return self.finished(since, last.start)
        gap = self.reader.gap(last.name.end, s.start)
        own = s.name is not None and not alike(key_of(s.name.text), key_of(last.name.text))
        back = self.reader.gap(last.start, last.start + 24).words[:1] in (("that",), ("that's",), ("there",))
        if back and (s.order >= STRONG_ORDER or gap.stop):
            return True  # "that there is the Rusty Gate and then for the next one"
        if s.ordinal is not None and gap.stop and not own and self.reader.talk.punctuated and last.kind == "naming":
            return self.finished(since, last.start)  # "Paper Screen is a bad name for a drink. ... And the third is"
        return s.order >= STRONG_ORDER and (gap.stop if self.reader.talk.punctuated else own)

    def _join(self, last: Opening, s: Opening) -> None:
        if (
            s.kind == "title"
            and s.name_weight < ENOUGH
            and last.order
            and len(self.reader.gap(last.start, s.start).words) <= 8
        ):
            s = replace(s, name_weight=NAMED + CAPITALS)  # "And so to the drone. Kifinas."
        last.order = max(last.order, s.order) + (0.3 if s.order and last.order else 0.0)
        last.ordinal, last.said = last.ordinal or s.ordinal, last.said or s.said
        if s.name is None:
            return
        same = last.name is not None and alike(key_of(s.name.text), key_of(last.name.text))
        weight = s.name_weight + (LATE * self.poured(last.start, s.name.start) if not same else 0.0)
        if s.kind == "seen" and last.name is not None and last.kind in ("naming", "called"):
            weight += MERELY_SEEN
        if same:
            last.name_weight = max(last.name_weight, weight) + 0.3
            if last.name is not None and len(s.name.text) > len(last.name.text):
                last.name = s.name
        elif last.name is None or weight > last.name_weight + 0.2:
            last.name, last.name_weight = s.name, weight

    # ---- drinks --------------------------------------------------------------------------------------------------

    def spans(self) -> tuple[list[DrinkSpan], list[DrinkSpan]]:
        """(the drinks of the talk in order, the drinks that were announced and never made)."""
        every = self.openings()
        lists = [(ns[0].start - 60, ns[-1].end) for ns in self.lists]
        found = [
            o for o in every
            if o.start < self.tail and (o.weight >= ENOUGH or self._in_order(o, every))
            and not self._refers_back(o, every)
            and not (o.name is not None and o.order == 0 and any(a <= o.name.start < b for a, b in lists))
        ]  # fmt: skip
        turns = self._in_turns(found)
        if turns:
            found = [o for o in found if o.start > turns[-1].end and o.order >= STRONG_ORDER]
        spans, loose = self._poured_spans(found)
        spans = [*turns, *spans]
        announced = self._hand_on_names(spans, loose)
        told = {key_of(s.name) for s in spans if s.name}
        announced = [a for a in announced if a.name is None or not any(alike(key_of(a.name), t) for t in told)]
        self._first_unopened(spans, every)
        self._second_inside(spans)
        self._promised_inside(spans, len(announced) + self._never_made(every))
        self._likeliest_names(spans)
        self._better_spelling(spans)
        for k, s in enumerate(spans):
            self._without_is(s)
            s.index = k
            s.end = (
                spans[k + 1].start
                if k + 1 < len(spans) and not s.turns
                else s.end
                if s.turns
                else len(self.reader.lower)
            )
            s.aliases = self._aliases(s.name, [x.name for x in spans if x is not s])
            if s.also and count_said(self.reader, s.also) > 1:
                s.aliases |= {plain(s.also), key_of(s.also)}
        return spans, announced

    def _without_is(self, span: DrinkSpan) -> None:
        """ "The Blue Hour's got an ounce of gin": the verb is no part of the name."""
        if span.name is None or span.name_end is None or span.name[-2:].lower() not in ("'s", "’s"):
            return
        if self.reader.after(span.name_end, 1) in _HAS_GOT:
            span.name, span.name_end = span.name[:-2], span.name_end - 2

    def _in_order(self, o: Opening, every: Sequence[Opening]) -> bool:
        """A weak sign counts where the drink before is finished, two amounts follow, and it says the next number or
        "next"."""
        if not o.order or not o.bonus or o.weight < ENOUGH - FINISHED:
            return False
        surer = [x for x in every if x.weight >= ENOUGH]
        following = min((x.start for x in surer if x.start > o.start), default=self.tail)
        before = {x.rank for x in surer if x.start < o.start and x.rank is not None}
        right = o.rank is None or o.rank > max(before, default=0)
        return right and self.poured(o.start, following) >= 2

    def _refers_back(self, o: Opening, every: Sequence[Opening]) -> bool:
        """ "Load-In. I've just had another look, and I said half a part": something of a drink told before is put
        right."""
        if o.order or o.kind != "title" or o.name is None:
            return False
        number = self.reader.sentence_number(o.name.start)
        # Not "... and I forget. Okay. Fourth and that's it. Counting the Drawer."
        since = max(o.start - 60, self.reader.sentence_span(max(0, number - 1))[0])
        end = self.reader.sentence_span(min(number + 2, len(self.reader.sentences) - 1))[1]
        back = self.reader.has("turns.forgotten", since, end) or self.reader.has("turns.said before", since, end)
        return back and self.poured(0, o.start) >= 2

    def _in_turns(self, found: Sequence[Opening]) -> list[DrinkSpan]:
        """The two drinks that are told in turns, if any are."""
        turns = find_turns(self.reader, self.mentions, self.words, self.lists, len(self.reader.lower))
        if turns is None:
            return []
        later = [
            o.start for o in found if o.order >= STRONG_ORDER and o.start > turns.switches[0][0] and (o.rank or 0) != 2
        ]
        end = min([*later, len(self.reader.lower)])
        out = []
        for k, name in enumerate(turns.names):
            stretches = []
            for j, (at, drink) in enumerate(turns.switches):
                until = turns.switches[j + 1][0] if j + 1 < len(turns.switches) else end
                if drink == k and at < end:
                    stretches.append((at, min(until, end)))
            span = DrinkSpan(-1, turns.start, end, name.text, name.start, name.end, turns=stretches)
            out.append(span)
        return out if all(s.turns for s in out) else []

    def retold(self, o: Opening, spans: Sequence[DrinkSpan], end: int, *, again: bool) -> DrinkSpan | None:
        """The drink of which an opening tells again what was poured: all but one of three things or more were said
        of it.

        again: another drink was just told again, so that fewer are enough.
        """
        here = [m for m in self._things(o.start, end) if m.how != "unknown"]
        for s in spans:
            before = self._things(s.start, min(s.end, o.start))
            same = [m for m in here if any(same_thing(m, b) for b in before)]
            if len(same) >= (2 if again else 3) and len(same) >= len(here) - 1 and self.finished(s.start, o.start):
                return s
        return None

    def _things(self, start: int, end: int) -> list[Mention]:
        return [m for m in self.mentions if m.group == "ingredient" and start <= m.start < end]

    def _poured_spans(self, found: Sequence[Opening]) -> tuple[list[DrinkSpan], list[tuple[DrinkSpan, bool]]]:
        """(the openings behind which something is poured, those behind which nothing is, each with whether it is
        ordered)."""
        spans: list[DrinkSpan] = []
        loose: list[tuple[DrinkSpan, bool]] = []
        ranks: set[int] = set()
        telling_again = False
        for k, o in enumerate(found):
            end = found[k + 1].start if k + 1 < len(found) else self.tail
            key = key_of(o.name.text) if o.name is not None else None
            span = self._span(o, end)
            poured = self.poured(o.start, end)
            last = spans[-1] if spans else None
            if key is not None and any(s.name and _same_key(key, key_of(s.name)) for s in spans):
                telling_again = True
                continue  # named again: it goes on, or is told again
            if o.rank is not None and o.rank in ranks and (o.name_weight < ENOUGH or poured == 0):
                continue  # "the first one gets salt, too"
            if last is None and self._ends_the_first(o):
                spans.append(replace(span, start=0))
                self._next_unopened(spans, o, end)
                continue
            if last is not None and o.name is not None and self._names_late(o, last, end):
                unnamed = last.name is None
                last.also, last.name_weight = last.name, o.name_weight
                last.name, last.name_start, last.name_end = o.name.text, o.name.start, o.name.end
                if unnamed:
                    self._next_unopened(spans, o, end)
                continue
            as_before = bool(spans) and o.order > 0 and o.name is not None and (
                self.reader.has("turns.as before", o.start, min(end, o.start + TOLD_WITHIN))
            )  # fmt: skip
            if poured == 0 and not as_before and not (
                o.order >= STRONG_ORDER and o.name_weight >= CALLED and self.said_amounts(o.start, end) >= 2
            ):  # fmt: skip
                loose.append((span, o.order > 0))
                continue
            again = self.retold(o, spans, end, again=telling_again) if o.order == 0 and spans else None
            telling_again = again is not None
            if again is not None:
                if again.name is None and o.name is not None:
                    again.name = o.name.text
                continue
            if (
                last is not None
                and o.order < STRONG_ORDER
                and not self.finished(last.start, o.start)
                and self.poured(last.start, o.start)
                and not (
                    o.order
                    and o.name is not None
                    and (o.name.capitals or (o.rank == len(spans) + 1 and o.name_weight >= NAMED))
                    and self.poured(last.start, o.start) > 1
                )
            ):
                # Named while it is being poured: the name of the drink in hand, or of one of its parts.
                if last.name is None and o.name is not None and o.kind != "title":
                    last.name, last.name_start, last.name_end = o.name.text, o.name.start, o.name.end
                    continue
                if o.kind != "title" and o.weight < ENOUGH + REPEATED:
                    continue
            if last is not None and o.name is None and last.name is None and self.poured(last.start, o.start) < 2:
                last.end = end
                continue
            spans.append(span)
            if o.rank is not None:
                ranks.add(o.rank)
        return spans, loose

    def _names_late(self, o: Opening, last: DrinkSpan, end: int) -> bool:
        """A name told when the drink is made: "and that is what I call the Half Day", "that right there is the Cousin".

        It may take the place of the model that was named first ("it's a Caribou"), or of a weaker name.
        """
        poured = self.poured(last.start, o.start)
        if o.order or not poured or o.name is None:
            return False
        lead = self.reader.gap(self.reader.sentence(o.name.start)[0], o.name.start).words
        if self.reader.talk.punctuated and _NEXT_IN_ORDER & set(lead):
            return False  # "now the fourth corner post, that's my Dry Creek"
        behind = self.poured(o.start, end)
        # "I've named it Tally Stick, sixty mil of bourbon": what is poured at once is in the drink that is named.
        looks_back = self._looks_back(o) and not (behind > 1 and self.pours_at_once(o.name.end))
        if last.name is None:
            return behind == 0 or (poured > 1 and looks_back) or (behind < 2 and poured > 1)
        if not looks_back or poured < 2 or behind > 1 or last.name_start is None:
            return False
        model = self.reader.before(last.name_start, 1) in (("a",), ("an",))
        return (model and o.kind == "called") or last.name_weight + 0.5 < o.name_weight

    def _named_before_pours(self, other: str) -> bool:
        """A likely name in capitals was told before the first amount of the talk, another one than this."""
        first = self.pours[0] if self.pours else 0
        return any(
            s.name is not None and s.name.capitals and s.start < first and s.name_weight >= LIKELY
            and not alike(key_of(s.name.text), key_of(other))
            for s in self.signs()
        )  # fmt: skip

    def _ends_the_first(self, o: Opening) -> bool:
        """ "... and that's Brushes Only.": the name of a first drink that nothing opened, told when it is served."""
        if o.order or o.name is None or not o.name.capitals or not self.finished(0, o.start):
            return False
        if self.poured(o.start, o.start + IN_ONE_BREATH) > 1 and self._named_before_pours(o.name.text):
            return False  # "She takes the Cut Stem. ... That one is the Monday Peony."
        return self.reader.gap(o.start, o.start + 24).words[:1] != ("this",) and self._looks_back(o)

    def _next_unopened(self, spans: list[DrinkSpan], o: Opening, end: int) -> None:
        """Behind a name told when its drink was made, three new things poured and served are the next drink."""
        assert o.name is not None
        reader, last = self.reader, spans[-1]
        again = min((c.start for c in reader.cues_in("turns.recap", o.name.end, end)), default=end)
        pours = [p for p in self._fine_pours((*_POURED, None)) if o.name.end < p < again]
        for k, at in enumerate(pours[:-2]):
            if pours[k + 2] - at > IN_ONE_BREATH or not any(pours[k + 1] < x < end for x in self.served):
                continue
            old = self._things(last.start, o.start)
            new = [m for m in self._things(at - 60, end) if m.how != "unknown" and m.start > o.name.end]
            fresh = [m for m in new if not any(same_thing(m, x) for x in old)]
            if len(fresh) < 3 or reader.has("turns.forgotten", o.name.end, at):
                continue
            start = at
            if reader.talk.punctuated:
                start = reader.sentence_span(max(0, reader.sentence_number(at) - LEAD_SENTENCES))[0]
                start = max(start, reader.sentence(o.name.end)[1])
            last.end = start
            spans.append(DrinkSpan(-1, start, end, None))
            return

    def _looks_back(self, o: Opening) -> bool:
        """ "That's the", "so that is the name", "we call it": said of what was just made."""
        words = self.reader.gap(o.start, o.start + 24).words
        words = words[1:] if words[:1] in (("and",), ("so",)) else words
        return o.kind in ("called", "naming") or words[:1] in (
            ("that",), ("that's",), ("them",), ("those",), ("there",)
        )  # fmt: skip

    def _span(self, o: Opening, end: int) -> DrinkSpan:
        n = o.name
        return DrinkSpan(
            -1, o.start, end, n.text if n else None, n.start if n else None, n.end if n else None, ordinal=o.ordinal,
            order_said=o.said, name_weight=o.name_weight,
        )  # fmt: skip

    def _hand_on_names(self, spans: Sequence[DrinkSpan], loose: Sequence[tuple[DrinkSpan, bool]]) -> list[DrinkSpan]:
        """An opening without a pour gives its name to the next one that has none (the intro of "the first one", told
        long)."""
        announced = [a for a, ordered in loose if ordered]
        for a in sorted((a for a, _ in loose), key=lambda x: x.start):
            follower = next((s for s in spans if s.start >= a.start), None)
            if follower is None or a.name is None:
                continue
            if follower is spans[0] and a not in announced and self.finished(0, a.start):
                continue  # the name of the first drink, which nothing opened
            between = [x for x in announced if a.start < x.start < follower.start]
            if between or (follower.name is not None and not (a in announced and follower.ordinal is None)):
                continue
            if follower.name is None:
                follower.name, follower.name_start, follower.name_end = a.name, a.name_start, a.name_end
                follower.start = a.start
                if a in announced:
                    announced.remove(a)
        return announced

    def _first_unopened(self, spans: list[DrinkSpan], every: Sequence[Opening]) -> None:
        """A talk of one drink needs no opening; nor does the first of several."""
        first = spans[0].start if spans else self.tail
        made = any(t.start < first and t.name in (*SERVES, "shake", "stir") for t in self.reader.talk.techniques)
        by_volume = bisect_left(self._fine_pours(_POURED), first)
        # "Two hundred grams of honey, a hundred mil of hot water": a syrup told before the drinks is none.
        sure = not spans or (self.poured(0, first) >= 3 and made and (by_volume >= 2 or self.finished(0, first)))
        if not sure and not self.finished(0, first):
            return
        signs = [
            s
            for s in (*every, *self.signs())
            if s.name is not None
            and s.start < first
            and s.name_weight >= PRESENTED + FRESH
            and (s.kind != "presenting" or self._looks_forward(s))
        ]
        best = max(signs, key=lambda o: (o.name_weight, -o.start), default=None)
        name = best.name if best is not None else None
        if not sure and (name is None or not name.capitals):
            return
        if name is not None:
            # What opened later under that name is a return to it.
            spans[:] = [s for s in spans if s.name is None or not alike(key_of(s.name), key_of(name.text))]
            first = spans[0].start if spans else self.tail
        if name is None and spans and self._names_the_first(spans[0]):
            self._end_the_first(spans)
        elif name is None:
            spans.insert(0, DrinkSpan(-1, 0, first, None))
        else:
            spans.insert(0, DrinkSpan(-1, 0, first, name.text, name.start, name.end))

    def _names_the_first(self, span: DrinkSpan) -> bool:
        """ "... grate nutmeg on it. Wet Wool. On account of the smell.": a name told when the first drink is made.

        No order word opens it, the last amount stands close before it and the next one far behind it.
        """
        if span.name is None or span.ordinal is not None or span.name_start is None:
            return False
        before = [p for p in self.pours if p < span.start]
        behind = next((p for p in self.pours if p > span.name_start), self.tail)
        return len(before) >= 2 and span.start - before[-1] < APART and behind - span.name_start > FAR_BEHIND

    def _end_the_first(self, spans: list[DrinkSpan]) -> None:
        """The first drink ends with its name; what is poured behind it is another, if it is enough for one."""
        first = spans[0]
        assert first.name_end is not None
        first.start = 0
        end = spans[1].start if len(spans) > 1 else self.tail
        if self.poured(first.name_end, end) >= 3:
            number = self.reader.sentence_number(first.name_end)
            at = min(self.reader.sentence_span(number)[1], end)
            spans.insert(1, DrinkSpan(-1, at, end, None))
            first.end = at

    def _second_inside(self, spans: list[DrinkSpan]) -> None:
        """A drink that no sign opens: behind a drink that was served and named, three new things are poured and
        served."""
        fine = self._fine_pours((*_POURED, None))
        for k in range(len(spans) - 1, -1, -1):
            s = spans[k]
            end = spans[k + 1].start if k + 1 < len(spans) else self.tail
            at = None if s.turns else self._served_again(s, end, [p for p in fine if s.start <= p < end])
            if at is not None:
                self._divide(spans, k, at, end)

    def _divide(self, spans: list[DrinkSpan], k: int, at: int, end: int) -> None:
        """A drink that holds two is divided; a name told behind the place is the second one's."""
        s = spans[k]
        spans.insert(k + 1, DrinkSpan(-1, at, end, None))
        s.end = at
        if s.name_start is not None and s.name_start >= at:
            spans[k + 1].name, spans[k + 1].name_start, spans[k + 1].name_end = s.name, s.name_start, s.name_end
            s.name = s.name_start = s.name_end = None

    def _never_made(self, every: Sequence[Opening]) -> int:
        """The drinks that are opened in the goodbye: "and the third one, oh, he ate the label, that's it"."""
        return sum(o.start >= self.tail and o.order >= STRONG_ORDER for o in every)

    def _promised_inside(self, spans: list[DrinkSpan], never_made: int) -> None:
        """Where fewer drinks were found than promised, the likeliest place of another is its opening."""
        number = promised(self) - never_made
        while spans and (place := likeliest(self, spans, number - len(spans))) is not None:
            following = spans[place.drink + 1].start if place.drink + 1 < len(spans) else self.tail
            self._divide(spans, place.drink, place.start, following)

    def _fine_pours(self, units: Sequence[str | None]) -> list[int]:
        """The pours in units of a single drink, in order."""
        poured = set(self.pours)
        return [m.start for m in self.reader.talk.measures if m.unit in units and m.start in poured]

    def _served_again(self, span: DrinkSpan, end: int, pours: Sequence[int]) -> int | None:
        """Where the second drink of a stretch begins, if it holds two."""
        reader = self.reader
        for j in range(2, len(pours) - 2):
            before, at = pours[j - 1], pours[j]
            if at - before < APART or not any(pours[j + 1] < x < end for x in self.served):
                continue
            served = any(t.name in SERVES and before < t.start < at for t in reader.talk.techniques)
            tasted = any(e.mode in ("tasting", "sip") and before < e.start < at for e in self.extents)
            named = any(
                s.name is not None and before < s.start < at and s.name_weight >= PRESENTED for s in self.signs()
            )
            again = min((c.start for c in reader.cues_in("turns.recap", before, end)), default=end)
            quick = [p for p in pours[j:] if p - at < IN_ONE_BREATH and p < again]
            if not served or not (tasted or named) or len(quick) < 3:
                continue
            if reader.has("turns.forgotten", before, at):
                continue
            number = reader.sentence_number(at)
            start = reader.sentence_span(max(0, number - LEAD_SENTENCES))[0] if reader.talk.punctuated else at
            start = max(start, reader.sentence_span(min(reader.sentence_number(before) + 1, number))[0])
            old = self._things(span.start, before + 60)
            new = [m for m in self._things(at - 60, end) if m.how != "unknown" and m.start > before + 60]
            fresh = [m for m in new if not any(same_thing(m, o) for o in old)]
            if len(fresh) >= 3 and 2 * len(fresh) > len(new):
                return start
        return None

    def _looks_forward(self, s: Opening) -> bool:
        """ "That's the lawn mower" points at something where nothing is poured yet."""
        return self.poured(0, s.start) > 0 or not self._looks_back(s)

    def _likeliest_names(self, spans: Sequence[DrinkSpan]) -> None:
        """A drink that no sign named for sure takes the likeliest name said in its stretch, if any is likely."""
        taken = [key_of(s.name) for s in spans if s.name]
        for k, s in enumerate(spans):
            if s.name is not None:
                continue
            end = spans[k + 1].start if k + 1 < len(spans) else self.tail
            names = [
                (o.name_weight, -o.start, o.name)
                for o in self.signs()
                if o.name is not None and s.start <= o.start < end and o.name_weight >= LIKELY
                and not any(alike(key_of(o.name.text), t) for t in taken)
            ]  # fmt: skip
            names = names or [
                (o.name_weight, -o.start, o.name)
                for o in self.signs()
                if o.name is not None and s.start <= o.start < end and self._shown(o, s, end)
                and not any(alike(key_of(o.name.text), t) for t in taken)
            ]  # fmt: skip
            if names:
                _, _, name = max(names, key=lambda n: n[:2])
                s.name, s.name_start, s.name_end = name.text, name.start, name.end
                taken.append(key_of(name.text))
        for k, s in enumerate(spans):
            if s.name is None:
                end = spans[k + 1].start if k + 1 < len(spans) else self.tail
                told = (n for _, n in loose_names(self, self._led_up_to(s, k and spans[k - 1].name_end), end))
                passing = next((n for n in told if not any(alike(key_of(n.text), t) for t in taken)), None)
                if passing is not None:
                    s.name, s.name_start, s.name_end = passing.text, passing.start, passing.end
                    s.name_doubtful = True
                    taken.append(key_of(passing.text))

    def _led_up_to(self, span: DrinkSpan, named: int | None) -> int:
        """Where what is said of a drink begins: behind what served the one before and named it."""
        before = max((p for p in self.pours if p < span.start), default=0)
        served = max((x for x in self.served if before < x < span.start), default=span.start if before else 0)
        return max(served, named or 0) if (named or 0) <= span.start else span.start

    def _shown(self, o: Opening, span: DrinkSpan, end: int) -> bool:
        """ "That's the double vent, because": two words or more in small letters behind "the", said of the drink when
        it is made, or before all of it is poured."""
        name = o.name
        if name is None or o.kind != "presenting" or name.article != "the" or o.name_weight < PRESENTED:
            return False
        parts = name.text.split()
        if len(parts) < 2 or "for" in parts or parts[0] in self.words.describing or parts[-1] in self.words.common:
            return False
        if name.start > span.start and mode_at(self.extents, name.start) in ("tasting", "riff", *NOTHING_HEARD):
            return False
        before, behind = self.poured(span.start, o.start), self.poured(name.end, end)
        made = self.poured(name.end, name.end + 200) == 0 and before > 1 and self.finished(span.start, o.start)
        if made:
            return self._looks_back(o)
        comment = self.reader.lower.startswith(("that", "there's", "those", "them"), o.start)
        return before == 0 and behind > 1 and not comment and self.poured(name.end, name.end + 200) > 0

    def _better_spelling(self, spans: Sequence[DrinkSpan]) -> None:
        """Of several spellings of one name the one written most often, and with capitals before without: "spark
        cap", "spark gap"."""
        from rapidfuzz import fuzz

        tokens = [(m.group(), m.start(), m.end()) for m in _TOKEN.finditer(self.reader.talk.text)]
        for s in spans:
            if not s.name or s.name_start is None or len(s.name) < 6:
                continue
            n = len(s.name.split())
            here = plain(s.name)
            best, count = s.name, self._spelt(s.name)
            for k in range(len(tokens) - n + 1):
                a, b = tokens[k][1], tokens[k + n - 1][2]
                other = self.reader.talk.text[a:b]
                if not 0.6 < len(other) / len(s.name) < 1.7 or re.search(r"[.,;:?!]", other):
                    continue
                if (
                    plain(other) == here
                    or fuzz.ratio(plain(other), here) < 75
                    or plain(other).split()[0] in self.words.stops
                ):
                    continue
                if plain(other).split()[-1] in self.words.stops or any(
                    m.group == "ingredient" and m.start <= a and b <= m.end for m in self.mentions
                ):
                    continue
                value = self._spelt(other)
                if value > count:
                    best, count = other, value
            s.name = best

    def _spelt(self, name: str) -> float:
        capital = all(w[:1].isupper() or w.lower() in self.words.joiners for w in name.split())
        return count_said(self.reader, name) + (0.5 if capital else 0.0)

    def _aliases(self, name: str | None, others: Sequence[str | None]) -> set[str]:
        """Ways in which a drink is named again: the whole, or a word of it that no other drink has."""
        if not name:
            return set()
        words = [w for w in plain(name).split() if len(w) > 3 and w not in self.words.joiners]
        taken = {w for o in others if o for w in plain(o).split()}
        out = {plain(name), key_of(name)}
        if (
            words
            and words[-1] not in taken
            and words[-1] not in self.words.common
            and words[-1] not in self.words.describing
        ):
            out.add(words[-1])
        return out


def _announces(sign: Opening) -> bool:
    """A name told right before the words that open its drink: "this is the Porch Light, number two"."""
    return sign.name is not None and sign.name_weight > PRESENTED and (sign.name.capitals or sign.name.article == "the")


def _same_key(a: str, b: str) -> bool:
    return alike(a, b) or (len(a) > 3 and b.endswith(" " + a)) or (len(b) > 3 and a.endswith(" " + b))


def drink_spans(
    reader: TalkReader, extents: Sequence[Extent], pour_starts: Sequence[int], mentions: Sequence[Mention],
    known: frozenset[str], tail: int, words: NameWords,
) -> tuple[list[DrinkSpan], list[DrinkSpan]]:  # fmt: skip
    """(the drinks of the talk in order, the drinks that were announced and never made).

    pour_starts: offsets of the amounts that may be pours. tail: where the recap or the goodbye begins.
    """
    return DrinkFinder(reader, extents, pour_starts, mentions, known, tail, words).spans()
