"""Structured data: each drink as a schema.org Recipe in JSON-LD, and the video with its clips.

Vocabulary: schema.org (the terms used, their domains and the version they were checked against stand with the tests).
Durations: ISO 8601. Links into the video: W3C Media Fragments URI 1.0. What is not known is left out, and what is
known only as a range is written as a range where the value may be text, and left out where it may not.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from extractor.publish.rounding import exact, spoken
from extractor.publish.safe_text import capital, json_in_html
from extractor.publish.sheet import HomeMade, Sentence, Sheet
from extractor.publish.tables import Tables
from extractor.publish.video import Video
from extractor.record import Episode, Range, Worked
from extractor.visible import line

CONTEXT = "https://schema.org"
Node = dict[str, Any]
CLOSE = 0.2
"""A figure is written as one number where its ends are no further apart than this share of the larger."""


def duration(seconds: float) -> str:
    """ISO 8601: "PT15S", "PT1H30M", "P1DT2H"; parts of a second to thousandths."""
    thousandths = round(Fraction(repr(float(seconds))) * 1000)
    whole, rest = divmod(thousandths, 1000)
    days, whole = divmod(whole, 86400)
    hours, whole = divmod(whole, 3600)
    minutes, second = divmod(whole, 60)
    text = f"{second}.{rest:03d}".rstrip("0") if rest else str(second)
    time = "".join(f"{n}{unit}" for n, unit in ((hours, "H"), (minutes, "M")) if n)
    if second or rest or not (days or time):
        time += f"{text}S"
    return f"P{f'{days}D' if days else ''}{f'T{time}' if time else ''}"


def _exact_duration(span: Range | None, size: float = 1.0) -> str | None:
    """Only of a time that was said as one: a duration of schema.org has no range."""
    return duration(span.low * size) if span is not None and span.low == span.high else None


def _known(fields: Node) -> Node:
    return {k: v for k, v in fields.items() if v is not None and v != [] and v != ""}


def _number(worked: Worked | None) -> float | None:
    """The middle of a figure that is known closely enough to be written as one number."""
    if worked is None or worked.high is None or worked.rests_on or worked.high <= 0:
        return None
    return (worked.low + worked.high) / 2 if worked.high - worked.low <= CLOSE * worked.high else None


def _step(sentence: Sentence, number: int, video: Video) -> Node:
    return _known(
        {
            "@type": "HowToStep",
            "position": number,
            "text": sentence.text,
            "url": None if sentence.at_s is None else video.at(sentence.at_s),
            "timeRequired": _exact_duration(sentence.seconds),
        }
    )


def _steps(sentences: Sequence[Sentence], video: Video) -> list[Node]:
    return [_step(s, n, video) for n, s in enumerate(sentences, 1)]


def _section(part: HomeMade, number: int, video: Video) -> Node | None:
    if not part.steps:
        return None
    return _known(
        {
            "@type": "HowToSection",
            "position": number,
            "name": capital(part.name),
            "timeRequired": _exact_duration(part.minutes, 60.0),
            "itemListElement": _steps(part.steps, video),
        }
    )


def _instructions(sheet: Sheet, video: Video) -> list[Node]:
    """Steps; in sections where something home-made has steps of its own."""
    sections = [s for n, p in enumerate(sheet.home_made, 1) if (s := _section(p, n, video)) is not None]
    steps = _steps(sheet.steps, video)
    if not sections:
        return steps
    for n, section in enumerate(sections, 1):
        section["position"] = n
    if not steps:
        return sections
    return [
        *sections,
        {"@type": "HowToSection", "position": len(sections) + 1, "name": sheet.title, "itemListElement": steps},
    ]


def _ingredients(sheet: Sheet) -> list[str]:
    out = [i.words() for i in sheet.items]
    out += [f"{g.garnish_words()}, to garnish" + "".join(f" {x}" for x in g.gaps) for g in sheet.garnishes]
    for part in sheet.home_made:
        out += [f"{i.words()} (for the {part.name})" for i in part.items]
        out += [f"{part.name} {gap}" for gap in part.gaps if not part.items]
    return out


def _nutrition(sheet: Sheet) -> Node | None:
    """For one serving, where servings were said: energy and sugar that are known closely enough."""
    figures = sheet.drink.figures
    share = None if figures is None else figures.per_serving
    if share is None:
        return None
    energy, sugar = _number(share.energy_kcal), _number(share.sugar_g)
    if energy is None and sugar is None:
        return None
    volume = _number(share.volume_ml)
    return _known(
        {
            "@type": "NutritionInformation",
            "calories": None if energy is None else f"{energy:.0f} kcal",
            "sugarContent": None if sugar is None else f"{sugar:.0f} g",
            "servingSize": "1 serving" if volume is None else f"1 serving, {volume:.0f} ml before ice",
        }
    )


def _yield(sheet: Sheet) -> str | None:
    if sheet.servings is None:
        return None
    number = exact(sheet.servings)
    return f"{spoken(number)} {'serving' if number <= 1 else 'servings'}"


def _said_of(sheet: Sheet) -> str:
    """A description in sentences: what it is served in, its strength, its allergens and cautions."""
    parts = [*sheet.gaps, *(f"Not settled: {q}" for q in sheet.open)]
    if sheet.strength:
        text = f"Strength: {sheet.strength}"
        parts.append(f"{text}; {sheet.standard_drinks}." if sheet.standard_drinks else f"{text}.")
    parts += sheet.allergens.lines()
    parts += sheet.cautions
    parts += sheet.disclosures
    if sheet.age_line:
        parts.append(sheet.age_line)
    return " ".join(parts)


def clips(episode: Episode, video: Video) -> list[Node]:
    """One Clip for each drink whose begin is known, in order; no two begin at one second."""
    out: list[Node] = []
    ends = episode.source.duration_s
    starts = sorted({int(d.start_s) for d in episode.drinks if d.start_s is not None})
    for second in starts:
        told = [d for d in episode.drinks if d.start_s is not None and int(d.start_s) == second]
        end = max((d.end_s for d in told if d.end_s is not None), default=None)
        if end is None or end <= second:
            later = [s for s in starts if s > second]
            end = float(later[0]) if later else ends
        out.append(
            _known(
                {
                    "@type": "Clip",
                    "name": " and ".join(line(d.name) for d in told),
                    "startOffset": second,
                    "endOffset": None if end is None or end <= second else round(min(end, ends or end)),
                    "url": video.at(second),
                }
            )
        )
    return [c for c in out if c.get("endOffset") is None or c["endOffset"] > c["startOffset"]]


def video_object(episode: Episode, sheets: Sequence[Sheet], video: Video, tables: Tables) -> Node:
    """The video with its clips, as a node without context."""
    names = ", ".join(s.title for s in sheets)
    length = episode.source.duration_s
    alcohol = any(s.alcohol for s in sheets)
    return _known(
        {
            "@type": "VideoObject",
            "name": line(video.title) if video.title else names,
            "description": f"How to make {names}." if names else None,
            "url": video.url,
            "thumbnailUrl": video.thumbnail_url,
            "uploadDate": video.published,
            "duration": None if not length else duration(round(length)),
            "isFamilyFriendly": False if alcohol else None,
            "typicalAgeRange": next((_ages(s, tables) for s in sheets if s.alcohol), None),
            "hasPart": clips(episode, video),
        }
    )


def recipe(
    sheet: Sheet, episode: Episode, sheets: Sequence[Sheet], tables: Tables, *, video: Video | None = None
) -> Node:
    """A drink as a schema.org Recipe with its context, ready to be written as JSON.

    Raises PublishError for an address of `video` that cannot be linked to.
    """
    video = video or Video()
    video.check()
    has_video = video.url is not None or video.title is not None
    return {
        "@context": CONTEXT,
        **_known(
            {
                "@type": "Recipe",
                "name": sheet.title,
                "description": _said_of(sheet),
                "author": {"@type": "Person", "name": line(video.author)} if video.author else None,
                "datePublished": video.published,
                "image": video.thumbnail_url,
                "recipeCategory": "Drink",
                "recipeYield": _yield(sheet),
                "recipeIngredient": _ingredients(sheet),
                "recipeInstructions": _instructions(sheet, video),
                "cookingMethod": ", ".join(sheet.drink.mixing),
                "tool": {"@type": "HowToTool", "name": line(sheet.drink.glass)} if sheet.drink.glass else None,
                "nutrition": _nutrition(sheet),
                "isFamilyFriendly": False if sheet.alcohol else None,
                "typicalAgeRange": _ages(sheet, tables),
                "video": video_object(episode, sheets, video, tables) if has_video else None,
            }
        ),
    }


def _ages(sheet: Sheet, tables: Tables) -> str | None:
    age = tables.places[sheet.country].age
    return f"{age}-" if sheet.alcohol and age is not None else None


def video_page(episode: Episode, sheets: Sequence[Sheet], tables: Tables, *, video: Video | None = None) -> Node:
    """The video with its clips, with its context."""
    video = video or Video()
    video.check()
    return {"@context": CONTEXT, **video_object(episode, sheets, video, tables)}


def document(node: Node) -> str:
    """The JSON-LD of a node; safe inside an HTML page too. Ends in a line break."""
    return json_in_html(node) + "\n"


def script(node: Node) -> str:
    """The same as an element of an HTML page."""
    return f'<script type="application/ld+json">\n{json_in_html(node)}\n</script>'
