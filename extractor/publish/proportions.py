"""The proportions of a drink as a small picture: a column of patterned layers with their names and shares.

Drawn in black on white with patterns that tell from each other without colour. Only what was measured is drawn; a
top-up is an open, dashed layer, and what has no measure is named below. Layers too thin to see are left to the list.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from fractions import Fraction

from extractor.lexicon import Lexicon
from extractor.publish.safe_text import html
from extractor.record import Ingredient

MOST_LAYERS = 9
THIN = Fraction(1, 50)
"""A share that is not drawn: a few dashes."""


@dataclass(frozen=True, slots=True)
class Layer:
    """`share` of all that was measured, 0 to 1; None for a top-up. `names`: one, or those that were put together."""

    name: str
    share: Fraction | None


@dataclass(frozen=True, slots=True)
class Proportions:
    """`layers` in the order of the list, the top-ups first; `thin` and `unmeasured` are named and not drawn."""

    layers: tuple[Layer, ...]
    thin: tuple[str, ...]
    unmeasured: tuple[str, ...]

    @property
    def drawn(self) -> bool:
        """Whether there is anything to compare: two measured layers or more."""
        return sum(layer.share is not None for layer in self.layers) > 1

    def summary(self) -> str:
        """In words, for those who do not see the picture."""
        parts = [f"{layer.name} {percent(layer.share)}" if layer.share is not None else f"{layer.name} to top up"
                 for layer in self.layers]  # fmt: skip
        parts += [f"a little {name}" for name in self.thin]
        text = ", ".join(parts)
        return f"{text}; not measured: {', '.join(self.unmeasured)}" if self.unmeasured else text


def percent(share: Fraction) -> str:
    whole = round(share * 100)
    return f"{whole} %" if whole else "under 1 %"


def _size(ingredient: Ingredient, lexicon: Lexicon | None) -> tuple[str, Fraction] | None:
    """("ml" or "part", the middle of what was said); for the juice of a fruit what the lexicon says that it gives."""
    amount = ingredient.amount
    if amount is None or amount.low is None or amount.high is None:
        return None
    entry = None if lexicon is None else lexicon.by_id.get(ingredient.lexicon_id or "")
    if amount.unit == "piece" and lexicon is not None and entry is not None and lexicon.state(entry) == "liquid":
        each = lexicon.figure(entry, "piece")
        if each is None:
            return None
        return "ml", (Fraction(amount.low) + Fraction(amount.high)) / 2 * (Fraction(each.low) + Fraction(each.high)) / 2
    if amount.unit == "part":
        return "part", (Fraction(amount.low) + Fraction(amount.high)) / 2
    if amount.millilitres is not None and amount.unit not in ("rinse", "rim"):
        return "ml", (Fraction(amount.millilitres.low) + Fraction(amount.millilitres.high)) / 2
    return None


def proportions(
    ingredients: Sequence[Ingredient],
    names: Sequence[str],
    lexicon: Lexicon | None = None,
    *,
    leave_out: Collection[int] = (),
) -> Proportions:
    """Shares by volume of what was measured, in parts where the drink is told in parts. `names` as they are
    published."""
    sizes = [None if n in leave_out else _size(i, lexicon) for n, i in enumerate(ingredients)]
    unit = "part" if any(s is not None and s[0] == "part" for s in sizes) else "ml"
    measured = [(n, s[1]) for n, s in zip(names, sizes, strict=True) if s is not None and s[0] == unit]
    whole = sum((size for _, size in measured), Fraction(0))
    tops, unmeasured = [], []
    for name, ingredient, size in zip(names, ingredients, sizes, strict=True):
        if size is not None and size[0] == unit:
            continue
        if ingredient.amount is not None and ingredient.amount.unit == "top":
            tops.append(Layer(name, None))
        else:
            unmeasured.append(name)
    if not whole:
        return Proportions((), (), tuple(unmeasured))
    seen = [Layer(n, size / whole) for n, size in measured]
    order = sorted(range(len(seen)), key=lambda k: (-(seen[k].share or 0), k))
    kept = {k for k in order if (seen[k].share or 0) >= THIN}
    thin_together = sum((layer.share or Fraction(0) for k, layer in enumerate(seen) if k not in kept), Fraction(0))
    if len(kept) + (thin_together >= THIN) > MOST_LAYERS:
        kept = set(order[: MOST_LAYERS - 1])
    rest = [layer for k, layer in enumerate(seen) if k not in kept]
    together = sum((layer.share or Fraction(0) for layer in rest), Fraction(0))
    thick = [layer for k, layer in enumerate(seen) if k in kept]
    if together < THIN:
        return Proportions((*tops, *thick), tuple(layer.name for layer in rest), tuple(unmeasured))
    # Thin ones that come to something together are one layer, so that the column holds all that was measured.
    thick.append(Layer(f"{len(rest)} others" if len(rest) > 1 else rest[0].name, together))
    return Proportions((*tops, *thick), (), tuple(unmeasured))


# ------------------------------------------------------------------------------------------------ picture

COLUMN, LEFT, HEIGHT, LINE = 62, 6, 216, 12.0
MOST_LETTERS = 26
FONTS = "Palatino Linotype, Palatino, Book Antiqua, Georgia, Liberation Serif, DejaVu Serif, serif"
LETTER = 6.4
"""The widest that a letter of a label is on average, in units of the picture."""
# Drawn in this order, so that two layers that touch never share a pattern.
PATTERNS = ("solid", "rise", "dots", "blank", "lines", "fall", "cross", "bars", "grid")


def _shorter(name: str) -> str:
    return name if len(name) <= MOST_LETTERS else f"{name[: MOST_LETTERS - 1].rstrip()}…"


def _fill(pattern: str, x: float, y: float, w: float, h: float) -> str:
    """The marks of one layer as plain lines and dots, cut to the layer by arithmetic, so that every renderer draws
    them alike."""
    out: list[str] = []

    def stroke(x1: float, y1: float, x2: float, y2: float) -> None:
        out.append(f"M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}")

    def slanted(sign: int, gap: float) -> None:
        # Lines y = sign * x + c inside the box.
        at = -w
        while at < h + w:
            points = []
            for px in (0.0, w):
                py = at + (px if sign > 0 else w - px)
                points.append((px, py))
            (x1, y1), (x2, y2) = points
            top, bottom = 0.0, h
            cut = []
            for px, py in ((x1, y1), (x2, y2)):
                qx, qy = px, py
                if py < top:
                    qx, qy = px + (top - py) * (1 if sign > 0 else -1), top
                elif py > bottom:
                    qx, qy = px + (bottom - py) * (1 if sign > 0 else -1), bottom
                cut.append((qx, qy))
            (a, b), (c, d) = cut
            if -0.01 <= a <= w + 0.01 and -0.01 <= c <= w + 0.01 and (abs(a - c) > 0.5 or abs(b - d) > 0.5):
                stroke(x + a, y + b, x + c, y + d)
            at += gap

    def across(gap: float) -> None:
        at = gap / 2
        while at < h:
            stroke(x, y + at, x + w, y + at)
            at += gap

    def down(gap: float) -> None:
        at = gap / 2
        while at < w:
            stroke(x + at, y, x + at, y + h)
            at += gap

    match pattern:
        case "solid":
            return f'<rect x="{x:.1f}" y="{y:.1f}" width="{w:.1f}" height="{h:.1f}" fill="#333"/>'
        case "rise":
            slanted(-1, 6)
        case "fall":
            slanted(1, 6)
        case "cross":
            slanted(1, 7)
            slanted(-1, 7)
        case "lines":
            across(3)
        case "bars":
            down(4)
        case "grid":
            across(6)
            down(6)
        case "dots":
            row, py = 0, 3.0
            while py < h:
                px = 4.0 + (row % 2) * 3.5
                while px < w:
                    out.append(f"M{x + px:.1f} {y + py:.1f}h0.01")
                    px += 7
                py += 5
                row += 1
            return (
                f'<path d="{"".join(out)}" stroke="#333" stroke-width="2" stroke-linecap="round" fill="none"/>'
                if out
                else ""
            )
        case _:
            return ""
    return f'<path d="{"".join(out)}" stroke="#333" stroke-width="0.8" fill="none"/>' if out else ""


def _spread(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Places for labels as near as may be to those wanted (in order), `gap` apart, between low and high."""
    out: list[float] = []
    for at in wanted:
        out.append(max(at, out[-1] + gap if out else low))
    over = out[-1] - high if out else 0.0
    if over > 0:
        out[-1] = high
        for k in range(len(out) - 2, -1, -1):
            out[k] = min(out[k], out[k + 1] - gap)
    return out


def svg(found: Proportions, *, title: str) -> str:
    """The picture, complete in itself: no style sheet, no font, no script, nothing from outside. Empty where `drawn`
    is False."""
    if not found.drawn:
        return ""
    tops = [layer for layer in found.layers if layer.share is None]
    rest = [layer for layer in found.layers if layer.share is not None]
    top_height = 22.0 * len(tops)
    labels = LINE * max(len(found.layers) - 1, 0) * 2
    height = max(float(HEIGHT), labels + 8)
    room = height - top_height
    smallest = 5.0
    drawn = float(sum(layer.share or 0 for layer in rest))
    heights = [max(float(layer.share or 0) / drawn * room, smallest) for layer in rest]
    squeeze = (room - smallest * len(rest)) / (sum(heights) - smallest * len(rest)) if sum(heights) > room else 1.0
    heights = [smallest + (h - smallest) * squeeze for h in heights]
    y, boxes = 2.0, []
    for layer, h in zip((*tops, *rest), ([22.0] * len(tops) + heights), strict=True):
        boxes.append((layer, y, h))
        y += h
    bottom = y
    text_x = LEFT + COLUMN + 22
    width = text_x + LETTER * max(max(len(_shorter(layer.name)) for layer in found.layers), 9)
    places = _spread([top + h / 2 for _, top, h in boxes], LINE * 2 - 1, LINE - 2, bottom - LINE + 2)
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {bottom + 6:.0f}" width="{width:.0f}" '
        f'height="{bottom + 6:.0f}" role="img" class="proportions" font-family="{FONTS}">',
        f"<title>{html(f'Proportions of {title}')}</title>",
        f"<desc>{html(found.summary())}</desc>",
    ]
    solid = 0
    for (layer, top, h), at in zip(boxes, places, strict=True):
        if layer.share is None:
            out.append(
                f'<path d="M{LEFT} {top:.1f}V{top + h:.1f}M{LEFT + COLUMN} {top:.1f}V{top + h:.1f}" stroke="#333" '
                f'stroke-width="1" stroke-dasharray="3 3" fill="none"/>'
            )
        else:
            out.append(_fill(PATTERNS[solid % len(PATTERNS)], LEFT, top, COLUMN, h))
            out.append(
                f'<rect x="{LEFT}" y="{top:.1f}" width="{COLUMN}" height="{h:.1f}" fill="none" stroke="#333" '
                f'stroke-width="1"/>'
            )
            solid += 1
        middle = top + h / 2
        out.append(
            f'<path d="M{LEFT + COLUMN + 2} {middle:.1f}L{text_x - 9} {at:.1f}H{text_x - 4}" stroke="#333" '
            f'stroke-width="0.7" fill="none"/>'
        )
        share = "to top up" if layer.share is None else percent(layer.share)
        out.append(
            f'<text x="{text_x}" y="{at - 0.5:.1f}" font-size="11" fill="#111">{html(_shorter(layer.name))}</text>'
            f'<text x="{text_x}" y="{at + 10:.1f}" font-size="9.5" fill="#333">{html(share)}</text>'
        )
    # The foot of the glass that the column stands for.
    out.append(
        f'<path d="M{LEFT - 3} {bottom + 2:.1f}H{LEFT + COLUMN + 3}" stroke="#333" stroke-width="3" fill="none"/>'
    )
    out.append("</svg>")
    return "".join(out)


def bars(found: Proportions, *, width: int = 24) -> tuple[str, ...]:
    """The same as lines of text, for formats without pictures: "████████ 54 %  gin"."""
    if not found.drawn:
        return ()
    lines = []
    for layer in found.layers:
        if layer.share is None:
            lines.append(f"{'┄' * width}         {layer.name}, to top up")
            continue
        full = max(1, round(float(layer.share) * width))
        lines.append(f"{'█' * full}{'·' * (width - full)} {percent(layer.share):>8}  {layer.name}")
    return tuple(lines)
