"""The answers file: plain text that a person can read, fill in, mend by hand and send by mail. Reads and writes it.

    pourword-answers: 1
    episode: brunch.vtt
    revision: 3

    question: amount-missing-7c1f
      drink: Sunday Collar
      at: 1:15
      asked: How much simple syrup goes in? No amount was said.
      words: and then simple syrup and then one egg white
      1) three quarters of an ounce
         because: the usual amount
      answer: three quarters of an ounce
      kind: amount-missing
      ...
      mark: 5e0c2f71

A line is `key: value`; a line that begins with `|` goes on with the value above it; a line that begins with `#` is a
comment. What stands before `pourword-answers:` or behind `# end of answers` is ignored (the letter round a form), but
for questions and answers, which are never overlooked: they are faults there. `>` before a line, as mail programs
quote, is ignored too. `mark` is a check value over what is printed, letters and digits only: it shows when more than
the answer was changed, and is not troubled by a mail program's line breaks. A block without `mark` was written by
hand; it needs no more than `question:` and `answer:`.
"""

from __future__ import annotations

import difflib
import hashlib
import re
import textwrap
import unicodedata
from dataclasses import dataclass, field

from extractor.answers.answer import EDIT, NOTHING, Answer, Answers, Ground, Offer, clean
from extractor.answers.replies import FIELDS, Fault, Words, read_reply
from extractor.errors import AnswerError, Where
from extractor.visible import clock

FORMAT = 1
HEAD = """\
# Answers to Pourword's questions. Write yours behind `answer:`, save, and hand the file back.
#
#   a number         takes one of the numbered offers:             answer: 2
#   an amount        in any form, with its unit:                   answer: three quarters of an ounce
#   a name           as it is to be published:                     answer: oloroso sherry
#   leave as it is   what the record holds stands
#   later            ask again the next time (so does an empty answer)
#   drop it          the thing does not belong in the drink
#   "later"          words in double quotes are taken as they stand
#
# Where more than one thing is to be said, name each:    answer: parts: 2 parts sugar, 1 part water; time: 1 hour
# Names for that: name, amount, use (this or that), glass, method, time, heat, ratio, parts, add, drop, line, note,
# recipe.
# A long answer may go on in the next line, begun with `|`. Change nothing but the answers; blocks may be left out.
"""
END = "# end of answers"
LEAVE = "# what follows is for the program: leave it as it is"
_WIDTH = 88
_GROUND = (
    "role", "place", "component", "about", "heard", "known", "between", "turn", "held", "values", "missing", "within",
    "besides", "unnamed", "told",
)  # fmt: skip
_KEYS = (
    "question", "edit", "drink", "at", "needed", "asked", "words", "because", "answer", "kind", *_GROUND,
    "by", "on", "revision", "earlier", "mark",
)  # fmt: skip
_MANY = ("earlier",)
_HEADER = ("pourword-answers", "episode", "revision")
_KEY = re.compile(r"([A-Za-z-]+)\s*:(?:\s+|$)(.*)$")
_OFFER = re.compile(r"(\d{1,3})\)\s*(.*)$")
_BARE = re.compile(r"[^\w./]|_")
"""All but letters, digits and what makes another number of them: mail programs change none of those."""
_QUOTED = re.compile(r"^\s*(?:>\s*)+")
_NONE = "-"
_AS_PRINTED = "Put back what was printed, or take a fresh form."


class AnswersFileError(AnswerError):
    """An answers file with faults. `faults` lists every one as `file:line: what`, not only the first."""

    def __init__(self, file: str, faults: list[tuple[int, str, str]]) -> None:
        line, what, hint = faults[0]
        more = f" (and {len(faults) - 1} more, see lines {', '.join(str(n) for n, _, _ in faults[1:6])})"
        super().__init__(
            f"{file}:{line}: {what}{more if len(faults) > 1 else ''}", where=Where(file=file, line=line), hint=hint
        )
        self.faults = [f"{file}:{n}: {w}" for n, w, _ in faults]

    def __str__(self) -> str:
        return f"{self.what}\n{self.hint}"


# ------------------------------------------------------------------------------------------------ writing


def print_answers(answers: Answers) -> str:
    """The whole file as text. `read_answers(print_answers(a)) == a`."""
    lines = [HEAD.rstrip("\n"), "", f"pourword-answers: {FORMAT}"]
    if answers.episode is not None:
        lines += _field("episode", answers.episode, "")
    lines += [f"revision: {answers.revision}"]
    lines += [f"# {c}".rstrip() for c in answers.comments]
    for number, answer in enumerate(answers.entries, 1):
        lines += ["", f"# {number} of {len(answers.entries)}", *_block(answer)]
    return "\n".join([*lines, "", END, ""])


def _field(key: str, value: str, indent: str = "  ") -> list[str]:
    head = f"{indent}{key}:"
    if not value:
        return [head]
    if len(head) + 1 + len(value) <= _WIDTH:
        return [f"{head} {value}"]
    wrapped = textwrap.wrap(value, max(_WIDTH - len(head), 40), break_long_words=False, break_on_hyphens=False)
    # Only plain blanks break a line: what comes back is joined by one blank each, so the value returns as it was.
    if " ".join(wrapped) != value:
        wrapped = [value]
    return [f"{head} {wrapped[0]}", *(f"{indent}| {w}" for w in wrapped[1:])]


def _list(values: tuple[str | None, ...]) -> str:
    """Items with ` | ` between them; `-` is an item that is not there."""
    return " | ".join(_NONE if v is None else _escape(v) for v in values)


def _escape(text: str) -> str:
    text = text.replace("\\", "\\\\").replace("|", "\\|")
    return "\\" + text if text in ("", _NONE) else text


def _read_list(text: str) -> tuple[str | None, ...]:
    items, item, i = [], "", 0
    while i < len(text):
        if text[i] == "\\" and i + 1 < len(text):
            item += text[i : i + 2]
            i += 2
        elif text[i] == "|":
            items.append(item)
            item = ""
            i += 1
        else:
            item += text[i]
            i += 1
    items.append(item)
    out: list[str | None] = []
    for raw in items:
        bare = raw.strip()
        out.append(None if bare == _NONE else re.sub(r"\\(.?)", r"\1", bare))
    return tuple(out)


def _block(answer: Answer) -> list[str]:
    g = answer.ground
    lines = _field("edit" if answer.is_edit else "question", answer.id, "")
    lines += [f"  # {c}".rstrip() for c in answer.comments]

    def put(key: str, value: str | None, indent: str = "  ") -> None:
        if value:
            lines.extend(_field(key, value, indent))

    if g is not None:
        put("drink", g.drink)
        put("at", clock(g.at_s) if g.at_s is not None else None)
    put("needed", "yes, before this is published" if answer.blocking else None)
    put("asked", answer.asked)
    if g is not None:
        put("words", g.words)
    for number, offer in enumerate(answer.offers, 1):
        first, *more = _field("x", offer.answer)
        lines.extend([f"  {number}) {first[5:]}".rstrip(), *more])
        put("because", offer.reason, "     ")
    lines.extend(_field("answer", answer.given))
    if g is not None:
        lines.append(f"  {LEAVE}")
    if not answer.is_edit:
        put("kind", answer.kind)
    if g is not None:
        put("role", g.role)
        put("place", str(g.place) if g.place is not None else None)
        put("component", g.component)
        put("about", g.about)
        put("heard", g.heard)
        put("known", g.known)
        put("between", _list((g.before, g.after)) if g.before is not None or g.after is not None else None)
        put("turn", f"{g.turn} of {g.turns}" if g.turn is not None and g.turns is not None else None)
        put("held", g.held)
        put("values", _list(g.values) if g.values else None)
        put("missing", g.missing)
        put("within", _list(g.within) if g.within else None)
        put("besides", _list(g.besides) if g.besides else None)
        put("unnamed", "yes" if g.unnamed else None)
        put("told", clock(g.told_s) if g.told_s is not None else None)
    put("by", answer.by)
    put("on", answer.on)
    put("revision", str(answer.revision) if answer.revision else None)
    for old in answer.earlier:
        lines.extend(_field("earlier", old))
    if g is not None:
        put("mark", mark_of(answer))
    return lines


def mark_of(answer: Answer) -> str:
    """Eight hex digits over all that was printed to be read only: everything but the answer and its history."""
    g = answer.ground
    seen = [
        answer.id,
        answer.kind,
        answer.asked,
        str(answer.blocking),
        *(t for o in answer.offers for t in (o.answer, o.reason)),
    ]
    if g is not None:
        for name in Ground.model_fields:
            value = getattr(g, name)
            seen.append(f"{name}={value if not isinstance(value, tuple) else _list(value)}")
    bare = "\n".join(_BARE.sub("", unicodedata.normalize("NFKC", s).casefold()) for s in seen)
    return hashlib.sha256(bare.encode("utf-8")).hexdigest()[:8]


# ------------------------------------------------------------------------------------------------ reading


@dataclass
class _Field:
    line: int
    value: str


@dataclass
class _Block:
    line: int
    key: str
    fields: dict[str, list[_Field]] = field(default_factory=dict)
    """Each key with its values in the order in which they stand; `id` is what follows `question:`, `offer` an offer."""
    comments: list[str] = field(default_factory=list)
    misspelt: bool = False
    """It has a key that is none: what it lacks may be just that."""


def read_answers(text: str, *, file: str = "answers") -> Answers:
    """The answers of `text`. Raises AnswersFileError with every fault of the file; it never guesses past one."""
    return _Reader(text, file).read()


class _Reader:
    """One pass over the lines. All faults are gathered; the file gives answers only where there is none."""

    def __init__(self, text: str, file: str) -> None:
        self.file = file
        self.lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
        self.faults: list[tuple[int, str, str]] = []
        self.blocks: list[_Block] = []
        self.header: dict[str, _Field] = {}
        self.comments: list[str] = []
        self.open: _Field | None = None
        """The value that a line begun with `|` goes on with."""

    def fault(self, line: int, what: str, hint: str) -> None:
        self.faults.append((line, what, hint))

    def read(self) -> Answers:
        ours = {line for line in HEAD.split("\n") if line}
        begun = ended = False
        for number, raw in enumerate(self.lines, 1):
            line = _QUOTED.sub("", raw).replace("\u00a0", " ").strip()
            if not begun:
                begun = re.match(r"pourword-answers\s*:", line) is not None
                if not begun:
                    self.overlooked(number, line, "before the line `pourword-answers: 1`")
                    continue
            if ended:
                self.overlooked(number, line, f"behind the line `{END}`")
            elif line == END:
                ended = True
            elif line.startswith("#"):
                self.comment(line, ours)
            elif line:
                self.line(number, line)
        if not begun:
            self.fault(
                1,
                "this is no answers file: it has no line `pourword-answers: 1`",
                "Put that line before the first question.",
            )
        answers = self.answers()
        if self.faults:
            raise AnswersFileError(self.file, sorted(self.faults))
        return answers

    def overlooked(self, number: int, line: str, where: str) -> None:
        if re.match(r"(question|edit|answer)\s*:", line):
            self.fault(
                number, f"a question or an answer stands {where}, where it would be overlooked", "Move it in between."
            )

    def comment(self, line: str, ours: set[str]) -> None:
        if line in ours or line == LEAVE or re.fullmatch(r"# \d+ of \d+", line):
            return
        text = line[1:].strip()
        (self.blocks[-1].comments if self.blocks else self.comments).append(text)

    def line(self, number: int, line: str) -> None:
        block = self.blocks[-1] if self.blocks else None
        if line.startswith("|"):
            if self.open is None:
                self.fault(number, "a line that goes on with nothing", "Begin a value with its key: `answer: ...`.")
            else:
                self.open.value = f"{self.open.value} {line[1:].strip()}".strip()
            return
        offer = _OFFER.match(line)
        if offer and block is not None:
            offers = block.fields.setdefault("offer", [])
            if int(offer[1]) != len(offers) + 1:
                self.fault(number, f"offer {offer[1]} stands where offer {len(offers) + 1} is due", _AS_PRINTED)
            self.open = _Field(number, offer[2].strip())
            offers.append(self.open)
            return
        found = _KEY.match(line)
        key = found[1].lower() if found else None
        value = found[2].strip() if found else ""
        answering = block is not None and "answer" in block.fields and self.open is block.fields["answer"][-1]
        if key in ("question", "edit") and found:
            self.open = _Field(number, value)
            self.blocks.append(_Block(number, key))
            self.blocks[-1].fields["id"] = [self.open]
        elif block is None and key in _HEADER:
            if key in self.header:
                self.fault(
                    number, f"`{key}` stands twice (first in line {self.header[key].line})", "Leave one of them."
                )
            self.open = self.header[key] = _Field(number, value)
        elif block is not None and key in _KEYS:
            self.put(block, key, number, value)
        elif answering and key in FIELDS and self.open is not None:
            self.open.value = f"{self.open.value}; {line}".lstrip("; ")
        elif key is not None:
            self.unknown(number, key, block)
        elif self.open is not None:
            # A mail program broke the line.
            self.open.value = f"{self.open.value} {line}".strip()
        else:
            self.fault(
                number,
                f"{clean(line)[:60]!r} belongs to no question",
                "Answers stand behind `answer:` below their `question:`.",
            )

    def put(self, block: _Block, key: str, number: int, value: str) -> None:
        self.open = _Field(number, value)
        if key == "because":
            at = len(block.fields.get("offer", ()))
            why = block.fields.setdefault("because", [])
            if len(why) >= at:
                self.fault(number, "`because:` without an offer above it", _AS_PRINTED)
            why += [_Field(number, "")] * (at - 1 - len(why))
        elif key in block.fields and key not in _MANY:
            first = block.fields[key][0].line
            self.fault(number, f"`{key}` stands twice in one block (first in line {first})", "Leave one of them.")
            return
        block.fields.setdefault(key, []).append(self.open)

    def unknown(self, number: int, key: str, block: _Block | None) -> None:
        known = _KEYS if block is not None else (*_HEADER, "question", "edit")
        near = difflib.get_close_matches(key, known, 1, 0.6)
        hint = (
            f"Did you mean `{near[0]}:`?"
            if near
            else "An answer goes behind `answer:`; a line that goes on begins with `|`."
        )
        where = "" if block is not None else " before the first question"
        self.fault(number, f"unknown key `{key}`{where}", hint)
        if block is not None:
            block.misspelt = True

    def answers(self) -> Answers:
        entries: list[Answer] = []
        seen: dict[str, int] = {}
        for block in self.blocks:
            answer = self.answer(block)
            if answer is None:
                continue
            if answer.id in seen:
                self.fault(
                    block.line,
                    f"{answer.id!r} stands twice (first in line {seen[answer.id]})",
                    "Leave one of the two blocks.",
                )
                continue
            seen[answer.id] = block.line
            entries.append(answer)
        head = self.header.get("pourword-answers")
        if head is not None and head.value != str(FORMAT):
            self.fault(
                head.line,
                f"answers of format {head.value!r}; this version reads format {FORMAT}",
                "Use the version that wrote the file.",
            )
        return Answers(
            entries=tuple(entries),
            revision=self.number(self.header.get("revision"), "revision") or 0,
            episode=self.header["episode"].value or None if "episode" in self.header else None,
            comments=tuple(self.comments),
        )

    def number(self, found: _Field | None, key: str, least: int = 0) -> int | None:
        if found is None:
            return None
        if re.fullmatch(r"[0-9]{1,12}", found.value) and int(found.value) >= least:
            return int(found.value)
        self.fault(found.line, f"`{key}` is a whole number from {least}, not {found.value[:40]!r}", _AS_PRINTED)
        return None

    def second(self, found: _Field | None, key: str) -> int | None:
        if found is None:
            return None
        m = re.fullmatch(r"(?:(\d{1,6}):)?(\d{1,6}):(\d{2})", found.value)
        if m is None or int(m[3]) > 59:
            self.fault(found.line, f"`{key}` is minute and second as in 1:15, not {found.value[:40]!r}", _AS_PRINTED)
            return None
        return int(m[1] or 0) * 3600 + int(m[2]) * 60 + int(m[3])

    def answer(self, block: _Block) -> Answer | None:
        f = {key: found[0] for key, found in block.fields.items() if found}
        id = clean(f["id"].value)
        if not id:
            self.fault(block.line, f"`{block.key}:` without its name", "Copy the line from a fresh form.")
            return None
        offers = self.offers(block)
        edit = block.key == "edit"
        given = f["answer"].value if "answer" in f else ""
        if "answer" not in f and not block.misspelt:
            self.fault(block.line, f"the block of {id!r} has no `answer:`", "Add `answer:`; it may be empty.")
        reply = read_reply(given, offers, edit=edit)
        if isinstance(reply, Fault):
            self.fault(f["answer"].line, reply.what, reply.hint)
        if not edit and "mark" in f and "kind" not in f:
            self.fault(
                block.line,
                f"the block of {id!r} has no `kind:`",
                "Take a fresh form, or leave out everything but `question:` and `answer:`.",
            )
            return None
        before = len(self.faults)
        ground = self.ground(f) if "mark" in f else None
        sound = len(self.faults) == before
        if ground is None and offers and isinstance(reply, Words) and reply.offer is not None:
            self.fault(
                f["answer"].line,
                "a number picks an offer, and this block has lost its `mark:`",
                "Write the answer in words.",
            )
        answer = Answer(
            id=id,
            kind=EDIT if edit else f["kind"].value if "kind" in f else "",
            given=given,
            offers=offers,
            ground=ground,
            asked=f["asked"].value if "asked" in f else "",
            blocking="needed" in f,
            revision=self.number(f.get("revision"), "revision") or 0,
            by=f["by"].value or None if "by" in f else None,
            on=f["on"].value or None if "on" in f else None,
            earlier=tuple(e.value for e in block.fields.get("earlier", ()) if e.value),
            comments=tuple(block.comments),
        )
        if ground is not None and sound and mark_of(answer) != f["mark"].value.lower():
            self.fault(
                block.line,
                f"in the block of {id!r} more than the answer was changed",
                "Write only behind `answer:`. If the change is meant, delete the line `mark:`: the answer is then read "
                "as one for the question of that name as it stands today.",
            )
        return answer

    def offers(self, block: _Block) -> tuple[Offer, ...]:
        said = block.fields.get("offer", [])
        why = [w.value for w in block.fields.get("because", [])]
        why += [""] * (len(said) - len(why))
        return tuple(Offer(answer=o.value, reason=r) for o, r in zip(said, why, strict=False))

    def ground(self, f: dict[str, _Field]) -> Ground:
        def text(key: str) -> str | None:
            return f[key].value or None if key in f else None

        def several(key: str) -> tuple[str, ...]:
            return tuple(v or "" for v in _read_list(f[key].value)) if key in f else ()

        between: tuple[str | None, ...] = (None, None)
        if "between" in f:
            between = _read_list(f["between"].value)
            if len(between) != 2:
                self.fault(f["between"].line, "`between` names two things with `|` between them", _AS_PRINTED)
                between = (None, None)
        turn = turns = None
        if "turn" in f:
            m = re.fullmatch(r"([0-9]{1,6}) of ([0-9]{1,6})", f["turn"].value)
            if m is None:
                self.fault(f["turn"].line, "`turn` is as in `2 of 3`", _AS_PRINTED)
            else:
                turn, turns = int(m[1]), int(m[2])
        return Ground(
            role=text("role") or "episode",
            drink=text("drink"),
            place=self.number(f.get("place"), "place", 1),
            within=several("within"),
            besides=several("besides"),
            unnamed="unnamed" in f,
            component=text("component"),
            about=text("about") or "",
            heard=text("heard") or "",
            known=text("known"),
            before=between[0],
            after=between[1],
            turn=turn,
            turns=turns,
            held=text("held") or NOTHING,
            values=several("values"),
            missing=text("missing"),
            words=text("words") or "",
            at_s=self.second(f.get("at"), "at"),
            told_s=self.second(f.get("told"), "told"),
        )
