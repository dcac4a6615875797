"""From the read talk to specs: which drink, which amount with which name, what is home-made, what is only told about.

`read_specs(talk, lexicon, amount_of=...)` gives a record.finding.Draft. Its order is that of the files:

    modes.py       what is only told about
    links.py       which amount goes with which name
    drinks.py      where each drink begins and what it is called
    made_names.py  what can be home-made, and names that only the talk makes
    stretches.py   where the making of a home-made thing is told
    misheard_makings.py  making whose thing nobody knows by its name
    homemade.py    what goes into it, for how long and how hot
    detours.py     talk that goes back to another drink; recaps; goodbyes
    own_way.py     what a book, others or one's own past put in, against what is put in now
    statements.py  what one naming of a thing says
    misnamed.py    "I said lime, it is lemon"
    settled.py     amounts that the speaker put right or told in other words
    fold.py        many statements of one thing become one line of a spec
    method.py      glass, techniques
    ices.py        the ice in the glass
    steps.py       the method as sentences
    notices.py     promises, gifts, choices, recipes told elsewhere
"""

from extractor.specs.read import read_specs

__all__ = ["read_specs"]
