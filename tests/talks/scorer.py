"""Holds a drafted record against a gold record: drinks, ingredients, amounts, silent errors, questions.

A silent error is a wrong, missing or invented ingredient or amount that no question of the record covers.
"""

from __future__ import annotations

import pathlib
import re
import unicodedata

VOLUME = {
    "fl_oz": 29.5735, "ml": 1, "cl": 10, "l": 1000, "tsp": 4.92892, "tbsp": 14.7868, "cup": 236.588, "pint": 473.176,
}  # fmt: skip
MASS = {"g": 1, "kg": 1000, "oz_wt": 28.3495, "lb": 453.592}
FILLER = {
    "a", "an", "the", "of", "fresh", "freshly", "squeezed", "your", "our", "some", "my", "good", "favorite", "favourite",  # noqa: E501
}  # fmt: skip


def norm(s):
    s = unicodedata.normalize("NFKD", s or "").encode("ascii", "ignore").decode().lower().replace("&", " and ")
    s = re.sub(r"'s\b", "s", s)
    words = [w for w in re.findall(r"[a-z0-9]+", s) if w not in FILLER]
    return " ".join(
        w[:-3] + "y"
        if w.endswith("ies") and len(w) > 4
        else w[:-1]
        if w.endswith("s") and not w.endswith("ss") and len(w) > 3
        else w
        for w in words
    )


def vessel(s):
    return re.sub(r" glas{1,2}$", "", norm(s))


GENERIC = {
    "juice",
    "syrup",
    "bitter",
    "liqueur",
    "water",
    "tea",
    "milk",
    "cream",
    "leaf",
    "peel",
    "sugar",
    "cordial",
    "shrub",
    "oil",
    "salt",
    "puree",
    "twist",
    "wheel",
    "sprig",
}


def exact_name(gold, got):
    return norm(got.get("name")) in [norm(n) for n in [gold["name"], *(gold.get("also") or [])]]


def same_name(gold, got):
    """The gold name or one of its other names; or the same head word with more or fewer words before it
    ("aged rum", "aged Jamaican rum"),
    but never a bare "juice" or "syrup" for a named one."""
    if exact_name(gold, got):
        return True
    b = norm(got.get("name")).split()
    for n in [gold["name"], *(gold.get("also") or [])]:
        a = norm(n).split()
        if (
            a
            and b
            and a[-1] == b[-1]
            and (set(a) <= set(b) or set(b) <= set(a))
            and len(set(a) & set(b)) * 2 >= len(set(a) | set(b))
        ) and not (min(len(a), len(b)) == 1 and a[-1] in GENERIC):
            return True
    return False


def about_same(subject, names):
    s = set(norm(subject).split())
    return any(s and (s <= set(norm(n).split()) or set(norm(n).split()) <= s) for n in names if norm(n))


def size(x, unit):
    for table, tag in ((VOLUME, "v"), (MASS, "m")):
        if unit in table:
            return tag, x * table[unit]
    return unit, x


def same_amount(gold, amount):
    if gold["unit"] is None and gold["low"] is None:
        return amount is None or (amount.get("low") is None and amount.get("unit") in (None, "to_taste"))
    if amount is None:
        return False
    if gold["low"] is None:
        return amount.get("unit") == gold["unit"] and amount.get("low") is None
    if gold["unit"] is None:
        return amount.get("unit") is None and amount.get("low") == gold["low"]
    if amount.get("low") is None or amount.get("unit") is None:
        return False
    for k in ("low", "high"):
        ga, gb = size(gold[k], gold["unit"])
        oa, ob = size(amount.get(k) or amount["low"], amount["unit"])
        if {ga, oa} == {"v", "m"} and {gold["unit"], amount["unit"]} == {"fl_oz", "oz_wt"}:
            ga = oa
            gb, ob = gold[k], amount.get(k) or amount["low"]
        if ga != oa or abs(gb - ob) > 0.015 * gb:
            return False
    return True


def pair(golds, gots, same):
    """Each gold one with the output of the same name: exact names first, then near ones, in order."""
    left, hits = list(range(len(gots))), {}
    for rule in (exact_name, same):
        for k, g in enumerate(golds):
            hit = next((j for j in left if rule(g, gots[j])), None) if k not in hits else None
            if hit is not None:
                left.remove(hit)
                hits[k] = hit
    return [(g, gots[hits[k]] if k in hits else None) for k, g in enumerate(golds)], [gots[j] for j in left]


def pair_drinks(golds, gots):
    def like(g, o):
        hits = sum(1 for i in g["ingredients"] if any(same_name(i, x) for x in o.get("ingredients", [])))
        name = same_name(g, {"name": o.get("name") or ""}) or same_name(g, {"name": o.get("name_heard") or ""})
        return hits / max(1, len(g["ingredients"])) + (0.6 if name else 0)

    ranked = sorted(((like(g, o), a, b) for a, g in enumerate(golds) for b, o in enumerate(gots)), reverse=True)
    used_g, used_o, out = set(), set(), []
    for v, a, b in ranked:
        if v > 0.25 and a not in used_g and b not in used_o:
            used_g.add(a)
            used_o.add(b)
            out.append((golds[a], gots[b]))
    return out, [g for a, g in enumerate(golds) if a not in used_g], [o for b, o in enumerate(gots) if b not in used_o]


# ---- captions: word alignment of the script with what the captions say -------------------------------------------


def words(s):
    s = unicodedata.normalize("NFKD", s).encode("ascii", "ignore").decode().lower()
    return re.findall(r"[a-z0-9]+(?:'[a-z]+)?", s.replace("-", " "))


def align(ref, hyp):
    """Levenshtein alignment; gives for each ref word the span [a, b) of hyp words it was turned into."""
    n, m = len(ref), len(hyp)
    prev = list(range(m + 1))
    back = [bytearray(m + 1) for _ in range(n + 1)]
    for j in range(1, m + 1):
        back[0][j] = 2
    for i in range(1, n + 1):
        cur = [i] + [0] * m
        back[i][0] = 1
        for j in range(1, m + 1):
            sub = prev[j - 1] + (ref[i - 1] != hyp[j - 1])
            dele = prev[j] + 1
            ins = cur[j - 1] + 1
            best = min(sub, dele, ins)
            cur[j] = best
            back[i][j] = 0 if best == sub else 1 if best == dele else 2
        prev = cur
    spans, i, j = [(0, 0)] * n, n, m
    while i or j:
        move = back[i][j]
        if i and j and move == 0:
            spans[i - 1] = (j - 1, j)
            i -= 1
            j -= 1
        elif i and (move == 1 or not j):
            spans[i - 1] = (j, j)
            i -= 1
        else:
            j -= 1
    return spans


def mentions(script, hyp_text):
    """For each marked mention: did the captions spell it right?"""
    script = re.sub(r"\]\]([\w']+)", r"\1]]", script)
    ref, marks = [], []
    for part in re.split(r"(\[\[.*?\]\])", script):
        w = words(part)
        if part.startswith("[["):
            marks.append((len(ref), len(ref) + len(w)))
        ref += w
    hyp = words(hyp_text)
    spans = align(ref, hyp)

    def stem(ws):
        return re.sub(r"[^a-z0-9]", "", "".join(ws))

    out = []
    for a, b in marks:
        if a == b:
            continue
        lo = spans[a][0]
        hi = spans[b - 1][1]
        near = [hyp[max(0, lo - d) : hi + e] for d in (0, 1) for e in (0, 1)]
        out.append(any(stem(ref[a:b]) == stem(x) for x in near))
    return out


def caption_text(path):
    out = []
    for block in re.split(r"\n\s*\n", pathlib.Path(path).read_text()):
        lines = block.strip().splitlines()
        k = next((i for i, line in enumerate(lines) if "-->" in line), None)
        if k is not None:
            out += [re.sub(r"<[^>]*>", "", line) for line in lines[k + 1 :]]
    return " ".join(out)


def corrected_text(text, corrections):
    """The captions with the applied corrections made, in order."""
    at = 0
    for c in sorted((c for c in corrections if c.get("applied")), key=lambda c: c.get("start_s") or 0):
        pattern = r"\s+".join(re.escape(w) for w in c["heard"].split())
        m = re.compile(pattern, re.I).search(text, at) or re.compile(pattern, re.I).search(text)
        if m:
            text = text[: m.start()] + c["written"] + text[m.end() :]
            at = m.start() + len(c["written"])
    return text


class Tally(dict):
    def add(self, k, n=1):
        self[k] = self.get(k, 0) + n


def score_episode(gold, record, captions, kind, t, notes):
    qs = record.get("questions", [])
    matched, lost, extra = pair_drinks(gold["drinks"], record.get("drinks", []))
    t.add("drinks gold", len(gold["drinks"]))
    t.add("drinks found", len(matched))
    t.add("drinks extra", len(extra))
    for g in lost:
        notes.append(f"drink not found: {g['name']}")
        t.add("ing gold", len(g["ingredients"]))
        t.add("amount gold", sum(i["unit"] is not None for i in g["ingredients"]))
        t.add("silent", len(g["ingredients"]))
        t.add("asks gold", len(g.get("asks") or []))
    for o in extra:
        notes.append(f"drink not in gold: {o.get('name')}")
        t.add("ing got", len(o.get("ingredients", [])))
        t.add("silent", len(o.get("ingredients", [])))

    def covered(drink, *names):
        return any(
            about_same(q.get("about") or "", [n for n in names if n])
            for q in qs
            if q.get("drink") in (drink.get("name"), None)
        )

    asked_right = 0
    for g, o in matched:
        t.add("name gold")
        t.add("name right", same_name(g, o))
        pairs, more = pair(g["ingredients"], o.get("ingredients", []), same_name)
        t.add("ing gold", len(pairs))
        t.add("ing got", len(o.get("ingredients", [])))
        for i, x in pairs:
            has = i["unit"] is not None
            t.add("amount gold", has)
            if x is None:
                quiet = not covered(o, i["name"], *(i.get("also") or []))
                t.add("silent", quiet)
                notes.append(f"{g['name']}: lost {i['name']}{' SILENT' if quiet else ''}")
                continue
            t.add("ing hit")
            right = same_amount(i, x.get("amount"))
            t.add("amount right", right and has)
            if not right:
                quiet = not covered(o, i["name"], x.get("name"), x.get("heard"))
                t.add("silent", quiet)
                notes.append(
                    f"{g['name']}: {i['name']} should be {i['low']}-{i['high']} {i['unit']}, got {x.get('amount')}{' SILENT' if quiet else ''}"  # noqa: E501
                )
        for x in more:
            # A garnish or a part of a component listed among the ingredients is a lesser fault than an invented one.
            quiet = not covered(o, x.get("name"), x.get("heard"))
            t.add("silent", quiet)
            notes.append(
                f"{g['name']}: extra {x.get('name')} {x.get('amount') and x['amount'].get('said')}{' SILENT' if quiet else ''}"  # noqa: E501
            )
        p2, m2 = pair(g.get("garnishes") or [], o.get("garnishes", []), same_name)
        t.add("garnish gold", len(p2))
        t.add("garnish hit", sum(x is not None for _, x in p2))
        t.add("garnish extra", len(m2))
        t.add("glass gold")
        t.add("glass right", vessel(g.get("glass")) == vessel(o.get("glass")))
        t.add("mixing gold", len(set(g["mixing"])))
        t.add("mixing hit", len(set(g["mixing"]) & set(o.get("mixing", []))))
        t.add("mixing extra", len(set(o.get("mixing", [])) - set(g["mixing"])))
        p3, m3 = pair(g.get("components") or [], o.get("components", []), same_name)
        for c, x in p3:
            t.add("component gold", 1 + len(c["ingredients"]))
            if x is None:
                notes.append(f"{g['name']}: component lost: {c['name']}")
                continue
            pp, _mm = pair(c["ingredients"], x.get("ingredients", []), same_name)
            t.add("component hit", 1 + sum(y is not None and same_amount(i, y.get("amount")) for i, y in pp))
        t.add("component extra", len(m3))
        for a in g.get("asks") or []:
            t.add("asks gold")
            names = (
                [g["name"], o.get("name")]
                if a["about"] in (g["name"], "episode")
                else [
                    a["about"],
                    *[n for i in g["ingredients"] if i["name"] == a["about"] for n in (i.get("also") or [])],
                ]
            )
            hit = [
                q
                for q in qs
                if q["kind"] == a["kind"]
                and (
                    a["about"] == "episode"
                    or about_same(q.get("about") or "", names)
                    or (a["kind"] in ("glass-missing", "method-missing") and q.get("drink") == o.get("name"))
                )
            ]
            loose = hit or [q for q in qs if about_same(q.get("about") or "", names)]
            t.add("asks hit", bool(hit))
            t.add("asks hit loosely", bool(loose))
            asked_right += bool(hit)
            if not hit:
                notes.append(
                    f"{g['name']}: not asked: {a['kind']} {a['about']}{' (asked as ' + loose[0]['kind'] + ')' if loose else ''}"  # noqa: E501
                )
    t.add("questions", len(qs))
    t.add("questions not in gold", max(0, len(qs) - asked_right))
    before = mentions(gold["script"], captions)
    after = mentions(gold["script"], corrected_text(captions, record.get("corrections", [])))
    t.add("mentions", len(before))
    t.add("mentions before", sum(before))
    t.add("mentions after", sum(after))
    t.add("mentions harmed", sum(b and not a for b, a in zip(before, after, strict=False)))
    a, _b = words(captions), words(corrected_text(captions, record.get("corrections", [])))
    t.add("words", len(a))
    t.add("corrections applied", sum(bool(c.get("applied")) for c in record.get("corrections", [])))
