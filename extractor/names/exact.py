"""Names that stand in the talk letter for letter; word breaks, hyphens, accents and plurals are free."""

from __future__ import annotations

from collections.abc import Sequence

from extractor.lexicon import plain
from extractor.names.decide import candidate
from extractor.names.hearing import STARTS, Form, Hearing, folded
from extractor.names.spans import NameSpan, Slot

TOKENS = 10
"""A name has at most so many tokens."""
PART = 3
"""Where word breaks differ from the lexicon's, each part has at least so many letters: "a corn" is no acorn."""
MISHEARD = 0.97
"""How sure a hearing is that the lexicon lists as a mishearing."""


def exact_spans(words: Sequence[str], hearing: Hearing, slots: Sequence[Slot]) -> list[NameSpan]:
    """The longest exact names from left to right, everyday words too. Where groups share a name, the slot decides."""
    keys = [hearing.key(w) for w in words]
    group_at: dict[int, str] = {i: s.group for s in slots for i in range(s.start, min(s.end, len(words)))}
    out: list[NameSpan] = []
    at = 0
    while at < len(keys):
        found: tuple[int, tuple[Form, ...]] | None = None
        joined = ""
        for end in range(at, min(at + TOKENS, len(keys)) if keys[at] else at):
            joined += keys[end]
            if len(joined) > hearing.longest or joined[:STARTS] not in hearing.starts:
                break
            forms = hearing.exact.get(joined)
            if forms and keys[end] and may_stand(words[at : end + 1], forms):
                found = end + 1, forms
        if found is None:
            at += 1
            continue
        end, forms = found
        group = group_at.get(at)
        out.append(exact_span(words, at, end, meant(forms, words[at:end], group), at in group_at))
        at = end
    return out


def meant(forms: Sequence[Form], words: Sequence[str], group: str | None) -> Form:
    """Of several forms that are the words but for plurals: one of the group looked for, else the first; and of those
    in one group the one that is so to the letter ("bitters" are a thing of their own, not several of an aperitivo)."""
    form = next((f for f in forms if f.group == group), forms[0])
    letters = plain("".join(words)).replace(" ", "").replace("'", "")
    return next((f for f in forms if f.group == form.group and f.joined == letters), form)


def may_stand(words: Sequence[str], forms: Sequence[Form]) -> bool:
    """Word breaks are free, but not so that small words grow together to a name ("a corn", "or ange")."""
    count = sum(len(plain(w).split()) for w in words)
    if any(f.words == count for f in forms):
        return True
    return all(len(folded(w)) >= PART for w in words)


def exact_span(words: Sequence[str], start: int, end: int, form: Form, in_slot: bool) -> NameSpan:
    """The span of an exact name. Other word breaks count as a misspelling, put right only where a name is expected."""
    heard = " ".join(w for w in words[start:end] if w)
    how = form.how
    if how != "misheard" and len(plain(heard).split()) != form.words:
        # "apple jack" is put right; a hyphen, or one word for two ("rosewater"), is a way to write it.
        right = "-" in heard or end - start == 1
        how = "other name" if right else "spelling"
    elif how == "exact" and folded(heard) != folded(form.joined):
        how = "other name"  # one of several right spellings: the captions may keep theirs
    sure = MISHEARD if how == "misheard" else 1.0
    apply = in_slot or how in ("exact", "other name")
    own = candidate(form, sure, apply, how)
    written = numbered(form.shown, heard)
    return NameSpan(start, end, form.entry, form.group, form.entry.name, heard, sure, how, apply, (own,), written)


def numbered(shown: str, heard: str) -> str:
    """A name's spelling in the number that was heard: "blackcurrant" for "blackcurrants", and the other way round."""
    *rest, last = shown.split(" ")
    if not (last.isascii() and last.islower()):
        return shown
    if last.endswith("ss") and plain(heard).endswith("sses"):
        return shown + "es"  # "high ball glasses"
    one, many = folded(last), last.endswith("s")
    if many and one != last and not plain(heard).endswith(("s", "z", "x")):
        return " ".join([*rest, one])
    same = folded("".join(heard.split())) == folded(shown.replace(" ", ""))
    if same and not many and plain(heard).endswith("s") and not plain(heard).endswith("ss"):
        return " ".join([*rest, last[:-1] + "ies" if last.endswith("y") else last + "s"])
    return shown
