"""The local page on which an episode is settled: listen, look, answer, publish.

job.py        what the page asks of the rest of the project; whoever joins the stages hands it in
marks.py      what was understood, as marks over the words of the talk, and what was left out and why
talk.py       the talk as paragraphs of timed words
question.py   a question with its moment
drink.py      a drink's fields: each with the words it came from and the path by which it is put right
outputs.py    what gets published, as it will be
page.py       templates: all text is made visible and escaped on its way out
guard.py      who may ask: Host, Origin, token, and the headers that go with every answer
app.py        the routes; server.py   a free port on this machine, until it is asked to stop
"""

from extractor.review.job import Given, Job, Kept, Meanwhile, Published, Refused, State
from extractor.review.server import Server

__all__ = ["Given", "Job", "Kept", "Meanwhile", "Published", "Refused", "Server", "State"]
