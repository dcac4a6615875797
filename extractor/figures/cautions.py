"""What to warn of in a drink, in plain words, with the source and what in the drink calls for it.

Source: the signs that call for a caution stand in lexicon/figures/caution_signs.txt, its words and their source in
lexicon/cautions.txt under the same key. A caution is never dropped: one without words there gets a plain sentence.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from extractor.figures.allergens import lines_of, says, whole_words
from extractor.figures.keeping import Keeping, is_oil
from extractor.figures.makeup import makeup
from extractor.figures.poured import entry_of, flat, kind_in
from extractor.figures.tables import Row, Tables
from extractor.lexicon import Entry, Lexicon
from extractor.record import CautionFound, Component, Drink, Ingredient, Worked

CLOSING = "Follow your local food code; ask a professional where health is concerned."
_NOT_SO = re.compile(r"\b(?:no|not|never|without|don't|dont|do not|isn't|instead of)\s+(?:\w+\s+){0,2}$")


@dataclass(frozen=True)
class Words:
    text: str
    source: str


def words_of(key: str, tables: Tables, sources: Mapping[str, str]) -> Words:
    """The text and the source of a caution; lines `source: ...` or `@key` of its section give the source."""
    lines, named = [], []
    for line in tables.cautions.get(key, ()):
        if line.lower().startswith("source:"):
            named.append(line.partition(":")[2].strip())
            continue
        keys = re.findall(r"@([a-z0-9-]+)", line)
        named += [sources.get(k, k) for k in keys]
        left = re.sub(r"\s*@[a-z0-9-]+", "", line).strip()
        if left:
            lines.append(left)
    text = " ".join(lines) or f"Take care: {key}."
    if "local food code" not in text:
        text = f"{text} {CLOSING}"
    return Words(text, "; ".join(dict.fromkeys(named)) or "no source given")


def _spoken_of(texts: Sequence[str], phrases: Sequence[str]) -> str | None:
    """The first of `phrases` that `texts` say of the drink ("without a flame" does not)."""
    for text in texts:
        words = flat(text)
        for phrase in phrases:
            at = whole_words(flat(phrase)).search(words)
            if at is not None and not _NOT_SO.search(words[: at.start()]):
                return phrase
    return None


def _named(row: Row, ingredient: Ingredient, entry: Entry | None) -> bool:
    names = [flat(ingredient.name)] + ([flat(entry.name)] if entry is not None else [])
    if any(says(name, flat(word)) for name in names for word in row.listed("unless")):
        return False
    return any(says(name, flat(word)) for name in names for word in row.listed("words"))


def _ingredient_calls(
    key: str, row: Row | None, ingredient: Ingredient, garnish: bool, lexicon: Lexicon, strength: Worked | None
) -> bool:
    entry = entry_of(ingredient, lexicon)
    if garnish and row is not None and row.word("garnish") == "no":
        return False
    if row is not None and kind_in(entry, row.listed("unless_kinds"), lexicon):
        return False
    if entry is not None and key in lexicon.listed(entry, "cautions"):
        return True
    if row is None:
        return False
    if _named(row, ingredient, entry):
        return True
    excepted = any(says(flat(ingredient.name), flat(word)) for word in row.listed("unless"))
    if not excepted and kind_in(entry, row.listed("kinds"), lexicon):
        return True
    # Surely so: a kind whose range only reaches up to it (any gin) does not call for it.
    return "strength" in row.figures and strength is not None and strength.low >= row.figure("strength").low


def keys_of(ingredients: Sequence[Ingredient], lexicon: Lexicon, tables: Tables) -> tuple[str, ...]:
    """Every key that may be called for: those with signs, and those that entries of the lexicon list."""
    listed = [
        key
        for i in ingredients
        if (entry := entry_of(i, lexicon)) is not None
        for key in lexicon.listed(entry, "cautions")
    ]
    return tuple(dict.fromkeys((*tables.caution_signs, *listed)))


def _told(drink: Drink) -> tuple[str, ...]:
    """All that was said or written of the making: steps, notes, ice, and the words in which things were told."""
    texts: list[str] = [step.text for step in drink.steps]
    texts += drink.notes
    if drink.ice is not None:
        texts.append(drink.ice)
    for ingredient in (*drink.ingredients, *drink.garnishes):
        texts += [ingredient.name, ingredient.heard, ingredient.evidence.text, *ingredient.notes]
    for component in drink.components:
        texts += [step.text for step in component.steps]
        texts += component.notes
    return tuple(texts)


def _component_calls(
    key: str, row: Row, components: Sequence[Component], kept: Mapping[str, Keeping], lexicon: Lexicon
) -> Iterator[str]:
    for component in components:
        if key == "oil infusion" and is_oil(component, lexicon):
            yield component.name
        if component.kind in row.listed("components"):
            keeping = kept.get(component.name)
            yield component.name if keeping is None else f"{component.name} {keeping.words}"


def cautions(
    drink: Drink,
    lexicon: Lexicon,
    tables: Tables,
    *,
    components: Sequence[Component] = (),
    strengths: Mapping[str, Worked] | None = None,
    kept: Mapping[str, Keeping] | None = None,
    has_alcohol: bool = True,
) -> tuple[CautionFound, ...]:
    """One row for each caution that something in the drink calls for, in the order of the keys.

    `strengths` are those of its ingredients by name where they are worked out, `kept` how long its components keep,
    `components` all the home-made things that it uses (its own and those that stand with another drink).
    """
    kept = kept or {}
    known = dict(strengths or {})

    def strength_of(ingredient: Ingredient) -> Worked:
        if ingredient.name not in known:
            known[ingredient.name] = makeup(ingredient, lexicon, tables).strength
        return known[ingredient.name]

    lines = list(lines_of(drink.ingredients, drink.garnishes, components))
    sources = {**tables.sources, **lexicon.sources}
    told = _told(drink)
    techniques = {*drink.mixing, *(step.technique for step in drink.steps if step.technique is not None)}
    out = []
    for key in keys_of([i for i, _ in lines], lexicon, tables):
        row = tables.caution_signs.get(key)
        if row is not None and row.word("with") == "alcohol" and not has_alcohol:
            continue
        because = [
            f"{ingredient.name}{where}"
            for ingredient, where in lines
            if _ingredient_calls(key, row, ingredient, where == " (garnish)", lexicon, strength_of(ingredient))
        ]
        if row is not None:
            because += [f"it is to {t}" for t in sorted(techniques) if t in row.listed("techniques")]
            because += _component_calls(key, row, components, kept, lexicon)
            spoken = _spoken_of(told, row.listed("said"))
            if spoken is not None and not because:
                because.append(f'"{spoken}" is spoken of')
        if because:
            words = words_of(key, tables, sources)
            found = "; ".join(dict.fromkeys(because))
            out.append(CautionFound(key=key, text=words.text, source=words.source, because=found))
    return tuple(out)


def quinine_mg(tonic_g: float, *, ppm: float = 83.0) -> float:
    """Milligrams of quinine in so many grams of tonic at the most that US law allows (21 CFR 172.575: 83 ppm)."""
    return tonic_g * ppm / 1000
