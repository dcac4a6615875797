"""A drink's fields as the page shows them: the value, the words it came from, and the path by which it is put right."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from extractor.record import Component, Drink, Episode, Evidence, Ingredient, Range
from extractor.review.job import ShownItem, ShownSheet
from extractor.visible import clock


@dataclass(frozen=True, slots=True)
class Field:
    """One field. `path` is what an edit is addressed to ("set drink/1/glass"); `example` shows how it may be written.

    `told` are the words that it came from, with their second; `value` is empty where nothing is known.
    """

    label: str
    value: str
    path: str
    example: str
    told: str = ""
    clock: str = ""
    at_s: float | None = None
    gap: bool = False
    long: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a list: its amount and its name, and what else is known of it."""

    amount: Field
    name: Field
    extras: tuple[str, ...]
    gaps: tuple[str, ...]
    remove: str
    asked: str | None


@dataclass(frozen=True, slots=True)
class Kit:
    title: str
    lines: tuple[Line, ...]
    fields: tuple[Field, ...]
    gaps: tuple[str, ...]
    add: str
    remove: str
    promised: str


@dataclass(frozen=True, slots=True)
class DrinkSheet:
    number: int
    title: str
    clock: str
    at_s: float | None
    name: Field
    facts: tuple[Field, ...]
    lines: tuple[Line, ...]
    garnishes: tuple[Line, ...]
    kits: tuple[Kit, ...]
    method: tuple[Field, ...]
    steps: tuple[str, ...]
    about: tuple[str, ...]
    cautions: tuple[str, ...]
    add: str
    add_garnish: str
    remove: str
    open: int
    must: int
    remarks: tuple[str, ...]


Steps = Callable[[Sequence[str]], Sequence[str]]


def sheets(episode: Episode, shown: Sequence[ShownSheet], steps: Steps) -> tuple[DrinkSheet, ...]:
    names = steps([d.name for d in episode.drinks])
    return tuple(
        _sheet(n, d, f"drink/{name}", one, episode, steps)
        for n, (d, name, one) in enumerate(zip(episode.drinks, names, shown, strict=True), 1)
    )


def _sheet(n: int, d: Drink, path: str, shown: ShownSheet, episode: Episode, steps: Steps) -> DrinkSheet:
    def field(
        label: str, value: str | None, end: str, example: str, told: Evidence | None = None, long: bool = False
    ) -> Field:
        return Field(label, value or "", f"set {path}/{end}", example, *_told(told), gap=False, long=long)

    mine = [q for q in episode.questions if q.drink == d.name]
    asked = {q.about: q.id for q in reversed(mine)}
    facts = (
        field("Glass", d.glass, "glass", "coupe", d.glass_evidence),
        field("Ice", d.ice, "ice", "one large cube"),
        field("Serves", None if d.servings is None else f"{d.servings:g}", "servings", "2"),
    )
    method = (
        field("Mixing", ", ".join(d.mixing), "mixing", "shake, fine strain", _first_step(d)),
        field("Method", " ".join(s.text for s in d.steps), "steps", "Shake with ice. Strain into the glass.",
              _all_steps(d), long=True),
    )  # fmt: skip
    kits = tuple(
        _kit(c, f"{path}/component/{step}", shown, steps, asked)
        for c, step in zip(d.components, steps([c.name for c in d.components]), strict=True)
    )
    return DrinkSheet(
        number=n, title=d.name, clock=clock(d.start_s), at_s=d.start_s,
        name=field("Name", d.name, "name", "Sunday Collar", d.evidence if d.evidence else _heard(d)),
        facts=facts,
        lines=_lines(d.ingredients, shown.items, f"{path}/ingredient", steps, asked),
        garnishes=_lines(d.garnishes, shown.garnishes, f"{path}/garnish", steps, asked),
        kits=kits, method=method, steps=tuple(s.text for s in d.steps),
        about=tuple(x for x in (shown.strength, shown.standard_drinks) if x),
        cautions=tuple(dict.fromkeys(shown.cautions)),
        add=f"add {path}/ingredient", add_garnish=f"add {path}/garnish", remove=f"remove {path}",
        open=len(mine), must=sum(q.blocking for q in mine), remarks=d.notes,
    )  # fmt: skip


def _told(told: Evidence | None) -> tuple[str, str, float | None]:
    if told is None:
        return "", "", None
    return told.text, clock(told.start_s), told.start_s


def _heard(d: Drink) -> Evidence | None:
    return Evidence(start_s=d.start_s, end_s=d.start_s, text=d.name_heard) if d.name_heard else None


def _first_step(d: Drink) -> Evidence | None:
    return next((s.evidence for s in d.steps if s.technique is not None and s.evidence is not None), None)


def _all_steps(d: Drink) -> Evidence | None:
    told = [s.evidence for s in d.steps if s.evidence is not None]
    if not told:
        return None
    return Evidence(start_s=told[0].start_s, end_s=told[-1].end_s, text=" … ".join(t.text.strip() for t in told))


def _lines(
    items: Sequence[Ingredient], shown: Sequence[ShownItem], path: str, steps: Steps, asked: dict[str, str]
) -> tuple[Line, ...]:
    names = steps([i.name for i in items])
    looks: Iterable[ShownItem | None] = shown if len(shown) == len(items) else [None] * len(items)
    return tuple(_line(i, look, f"{path}/{step}", asked) for i, look, step in zip(items, looks, names, strict=True))


def _line(i: Ingredient, look: ShownItem | None, path: str, asked: dict[str, str]) -> Line:
    amount = look.shown.together() if look is not None else (i.amount.said if i.amount is not None else "")
    said = f"set {path}"
    told = _told(i.evidence)
    extras = list(i.notes)
    extras += [f"or {a}" for a in i.alternatives]
    extras += ["optional"] if i.optional else []
    return Line(
        amount=Field(
            "Amount", amount, f"{said}/amount", "three quarters of an ounce, or 22.5 ml", *told, gap=not amount
        ),
        name=Field("Name", i.name, f"{said}/name", "falernum", *told),
        extras=tuple(extras),
        gaps=tuple(look.gaps) if look is not None else (),
        remove=f"remove {path}",
        asked=asked.get(i.name),
    )


def _kit(c: Component, path: str, shown: ShownSheet, steps: Steps, asked: dict[str, str]) -> Kit:
    look = next((k for k in shown.home_made if k.name.casefold() == c.name.casefold()), None)
    told = _told(c.evidence)

    def field(label: str, value: str, end: str, example: str) -> Field:
        return Field(label, value, f"set {path}/{end}", example, *told)

    fields = (
        field("Name", c.name, "name", "cinnamon syrup"),
        field("Ratio", "", "ratio", "2 to 1 by weight"),
        field("Parts", "", "parts", "2 parts sugar, 1 part water"),
        field("Time", _range(c.minutes, "min"), "minutes", "20 minutes"),
        field("Heat", _range(c.celsius, "°C"), "celsius", "60 °C"),
    )
    return Kit(
        title=c.name,
        lines=_lines(c.ingredients, look.items if look is not None else (), f"{path}/ingredient", steps, asked),
        fields=fields,
        gaps=tuple(look.gaps) if look is not None else (),
        add=f"add {path}/ingredient",
        remove=f"remove {path}",
        promised=c.elsewhere or "",
    )


def _range(found: Range | None, unit: str) -> str:
    if found is None:
        return ""
    low, high = f"{found.low:g}", f"{found.high:g}"
    return f"{low} {unit}" if low == high else f"{low}–{high} {unit}"
