"""`pourword publish`: everything that an episode owes its viewers, into a folder."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from extractor.cli.shared import Captions, Locale, OwnLexicon, open_captions, write
from extractor.errors import CaptionError, PublishError
from extractor.visible import line

if TYPE_CHECKING:
    from extractor.record import Correction, Transcript


def publish(
    captions: Captions,
    folder: Annotated[
        Path | None, typer.Option("--output", "-o", metavar="FOLDER", help="Where the files go; made where missing.")
    ] = None,
    part: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PART",
            help="Only this part: captions, cards, pdf, description, data or shopping; may be given again.",
        ),
    ] = None,
    despite_open: Annotated[
        bool, typer.Option("--despite-open", help="Write although a blocking question is open, every gap marked.")
    ] = False,
    servings: Annotated[float | None, typer.Option(metavar="N", help="Also cards for so many servings.")] = None,
    litres: Annotated[
        float | None, typer.Option(metavar="N", help="Also cards for so many litres, with the water that ice gives.")
    ] = None,
    multiply: Annotated[
        list[str] | None,
        typer.Option(metavar="DRINK", help="Only this drink for --servings or --litres; may be given again."),
    ] = None,
    limit: Annotated[
        int | None, typer.Option(metavar="N", help="How long the description may be, in characters.")
    ] = None,
    in_bytes: Annotated[bool, typer.Option("--bytes", help="Count --limit in bytes of UTF-8.")] = False,
    opening: Annotated[str | None, typer.Option(metavar="WORDS", help="The first line of the description.")] = None,
    url: Annotated[str | None, typer.Option(help="The address of the video.")] = None,
    title: Annotated[str | None, typer.Option(metavar="WORDS", help="The title of the video.")] = None,
    author: Annotated[str | None, typer.Option(metavar="NAME", help="Whose video it is.")] = None,
    date: Annotated[str | None, typer.Option(metavar="DAY", help="The day of publishing: 2025-03-14.")] = None,
    picture: Annotated[
        str | None, typer.Option(metavar="URL", help="The address of the video's still picture.")
    ] = None,
    country: Annotated[
        str | None, typer.Option(metavar="CODE", help="Whose standard drinks, age and allergens: us, uk, au ...")
    ] = None,
    page: Annotated[str | None, typer.Option(metavar="SIZE", help="Paper of the cards: letter or a4.")] = None,
    take_back: Annotated[
        list[str] | None,
        typer.Option(
            metavar="ID", help="Leave this change of the captions undone (see --show-changes); again for more."
        ),
    ] = None,
    show_changes: Annotated[
        bool, typer.Option("--show-changes", help="List the words put right in the captions.")
    ] = False,
    force: Annotated[
        bool, typer.Option("--force", help="Write over files in the folder that Pourword did not write.")
    ] = False,
    locale: Locale = None,
    lexicon: OwnLexicon = None,
) -> None:
    """Write what gets published: captions with the names put right, recipe cards, description, data, shopping list.

    All or nothing is written, and nothing while a question is open that must be answered first.
    """
    if folder is None and not show_changes:
        raise PublishError("There is no folder to write to", hint="Name it: -o FOLDER. --show-changes needs none.")
    opened = open_captions(captions, locale, lexicon)
    episode = opened.episode
    from extractor.publish import Video, Wishes, caption_changes, changes_text, plan, write_all
    from extractor.publish import take_back as without

    if take_back:
        episode = without(episode, take_back)
    transcript = opened.talk.transcript
    if show_changes:
        write(changes_text(caption_changes(episode, transcript)))
    if folder is None:
        return
    if page not in (None, "letter", "a4"):
        raise PublishError(f"There is no paper called {line(page or '')!r}", hint="Choose letter or a4.")
    parts = tuple(p.strip() for one in part for p in one.split(",")) if part else None
    wishes = Wishes(
        parts=parts,  # type: ignore[arg-type]  # plan says which parts there are
        despite_open=despite_open,
        servings=servings,
        litres=litres,
        multiply=multiply or None,
        video=Video(url=url, title=title, published=date, thumbnail_url=picture, author=author),
        opening=opening,
        limit=limit,
        count="bytes" if in_bytes else "characters",
        page=page,  # type: ignore[arg-type]
        country=country,
    )
    wanted = parts is None or "captions" in parts
    remarks: list[str] = []
    made = caption_files(transcript, episode.corrections, Path(captions).name, remarks) if wanted else {}
    written = write_all(plan(episode, opened.lexicon, wishes, captions=made), folder, force=force)
    for path in written.written:
        write(f"{line(path)}\n")
    same = f", {len(written.unchanged)} unchanged" if written.unchanged else ""
    write(f"{len(written.written)} written to {line(str(written.folder))}{same}.\n")
    if written.left:
        write(f"Still there from before: {', '.join(line(p) for p in written.left)}.\n")
    for remark in remarks:
        write(f"{remark}\n")


def caption_files(
    transcript: Transcript, corrections: tuple[Correction, ...], name: str, remarks: list[str]
) -> dict[str, bytes]:
    """The captions with the corrections made: in their own form, as WebVTT and as SubRip, by file name.

    What cannot be made (a file that breaks its own rules, a text without times) is left out and said in `remarks`.
    """
    from extractor.captions import convert, rewrite

    out: dict[str, bytes] = {}
    try:
        out[name] = rewrite(transcript, corrections)
    except CaptionError as error:
        remarks.append(f"The captions are not written in their own form: {line(str(error))}")
    for form, ending in (("webvtt", "vtt"), ("subrip", "srt")):
        if transcript.kind == form and name in out:
            continue
        try:
            out[f"{Path(name).stem}.{ending}"] = convert(transcript, corrections, form)  # type: ignore[arg-type]
        except CaptionError as error:
            if transcript.kind != "plain-text":
                remarks.append(f"The captions are not written as {ending}: {line(str(error))}")
    return out
