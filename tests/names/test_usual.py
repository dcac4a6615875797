"""lexicon/hearing/usual.txt: its names are the lexicon's, stand once, and outdo rarer ones that sound as near."""

from __future__ import annotations

import pytest

from extractor.lexicon import Lexicon, lexicon_folder
from extractor.names import rank, read_name
from extractor.names.hearing import load_hearing, load_usual

FILE = lexicon_folder() / "hearing" / "usual.txt"


def test_every_name_is_the_lexicon_s_own_spelling_and_stands_once(lexicon: Lexicon) -> None:
    names = {e.name for e in lexicon.ingredients}
    wrong, seen = [], set()
    for number, line in enumerate(FILE.read_text(encoding="utf-8").splitlines(), 1):
        if line and not line.startswith(("#", "[")):
            for name in (n.strip() for n in line.split("|")):
                known = lexicon.named(name)
                if name not in names:
                    meant = f", which is a name of {known.name!r}" if known else ""
                    wrong.append(f"usual.txt:{number}: the lexicon publishes no {name!r}{meant}")
                if name in seen:
                    wrong.append(f"usual.txt:{number}: {name!r} stands twice")
                seen.add(name)
    assert wrong == []


def test_names_of_all_families_are_usual(lexicon: Lexicon) -> None:
    usual = load_usual(FILE.parent)
    assert set(usual.values()) == {1, 2}
    assert 300 < len(usual) < 0.15 * len(lexicon.ingredients)
    files = {e.file.rsplit("/", 1)[-1] for e in lexicon.ingredients if e.name in usual}
    assert len(files) > 15


def test_a_usual_name_costs_less_by_its_section(lexicon: Lexicon, monkeypatch: pytest.MonkeyPatch) -> None:
    def costs() -> dict[str, float]:
        places = [rank.Place((heard,), (1,)) for heard in ("gem", "vernet")]
        found = rank.matches(load_hearing(lexicon), places)
        return {m.form.entry.name: m.cost for each in found for m in each[0]}

    now = costs()
    monkeypatch.setattr(rank, "STAPLE", 0.0)
    monkeypatch.setattr(rank, "OFTEN", 0.0)
    then = costs()
    assert now["gin"] == pytest.approx(then["gin"] - 0.05, abs=1e-4)
    assert now["fernet"] == pytest.approx(then["fernet"] - 0.035, abs=1e-4)
    assert now["jam"] == pytest.approx(then["jam"], abs=1e-4)


def test_a_rare_name_is_still_heard(lexicon: Lexicon) -> None:
    heard = {"plan cordial": "plum cordial", "vlanc vermouth": "blanc vermouth"}
    assert {h: read_name(h, before="an ounce of", lexicon=lexicon)[0].name for h in heard} == heard


def test_a_lexicon_may_do_without_the_file() -> None:
    assert load_usual(FILE.parent.parent) == {}
