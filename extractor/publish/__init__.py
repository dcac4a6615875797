"""What gets published of an episode: one output a file, pure strings and bytes; only write.py touches the disk.

plan.py            everything together: which files, refusing while a blocking question is open
write.py           all or nothing into a folder, never over what somebody else wrote
sheet.py           a drink in words, from which every format is made
card_markdown.py   card_html.py   card_pdf.py    the recipe card; proportions.py its picture
description.py     the text under the video; chapters.py
structured.py      schema.org data; video.py what is known of the video
shopping.py        scaling.py    for many; volumes.py what is poured
changes.py         the words put right in the captions, listed and taken back
gaps.py            open questions in their places
amounts.py, rounding.py, strength.py, allergens.py, safe_text.py, file_names.py, tables.py (lexicon/publish)
"""

from extractor.publish.card_html import card_html
from extractor.publish.card_markdown import card_markdown
from extractor.publish.card_pdf import available as pdf_available
from extractor.publish.card_pdf import card_pdf
from extractor.publish.changes import CaptionChange, caption_changes, changes_text, take_back
from extractor.publish.description import Description, describe
from extractor.publish.plan import PARTS, Part, Wishes, check_settled, default_parts, plan, sheets_of
from extractor.publish.scaling import Scaled, scale
from extractor.publish.sheet import Sheet, sheet
from extractor.publish.shopping import ShoppingList, shopping, shopping_markdown
from extractor.publish.structured import document, recipe, script, video_page
from extractor.publish.tables import Tables, load_tables
from extractor.publish.video import Video
from extractor.publish.write import Written, write_all

__all__ = [
    "PARTS",
    "CaptionChange",
    "Description",
    "Part",
    "Scaled",
    "Sheet",
    "ShoppingList",
    "Tables",
    "Video",
    "Wishes",
    "Written",
    "caption_changes",
    "card_html",
    "card_markdown",
    "card_pdf",
    "changes_text",
    "check_settled",
    "default_parts",
    "describe",
    "document",
    "load_tables",
    "pdf_available",
    "plan",
    "recipe",
    "scale",
    "script",
    "sheet",
    "sheets_of",
    "shopping",
    "shopping_markdown",
    "take_back",
    "video_page",
    "write_all",
]
