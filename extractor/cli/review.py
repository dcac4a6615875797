"""`pourword review`: a page in the browser of this machine on which an episode is settled and published."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from extractor.cli.shared import By, Captions, Locale, OwnLexicon, open_captions, write
from extractor.visible import line


def review(
    captions: Captions,
    recording: Annotated[
        Path | None, typer.Option(metavar="FILE", help="The video or the sound of the episode, to listen on the page.")
    ] = None,
    folder: Annotated[
        Path | None, typer.Option("--output", "-o", metavar="FOLDER", help="Where the page publishes to.")
    ] = None,
    no_open: Annotated[bool, typer.Option("--no-open", help="Only show the address; open no browser.")] = False,
    port: Annotated[int, typer.Option(metavar="N", help="The port; 0 takes a free one.", min=0, max=65535)] = 0,
    by: By = None,
    locale: Locale = None,
    lexicon: OwnLexicon = None,
) -> None:
    """Open a page on which the whole job is done: listen, look, answer, publish.

    It answers on this machine only, to whoever has the whole address. Every answer is kept at once, in NAME.answers.txt
    beside the captions, so that the page and `confirm` can be used in turn or together. It runs until the page's Stop
    or Ctrl-C.
    """
    import contextlib
    import sys

    from extractor.cli.review_job import Reviewing
    from extractor.review import Server

    job = Reviewing(open_captions(captions, locale, lexicon), folder=folder, by=by)
    server = Server(job, recording=recording, port=port)
    write(f"The page: {server.address}\nAnswers are kept in {line(str(job.answers_file))}.\n")
    write("It runs until Stop on the page, or Ctrl-C here.\n")
    sys.stdout.flush()
    if not no_open:
        import webbrowser

        webbrowser.open(server.address)
    # Ctrl-C is how it is asked to stop, not how it is broken off.
    with contextlib.suppress(KeyboardInterrupt):
        server.run()
    write(f"Stopped. All answers are in {line(str(job.answers_file))}.\n")
