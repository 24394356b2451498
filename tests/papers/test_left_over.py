"""A quote does not end on a page with hardly anything on it where a little closer setting saves that page."""

import io

from pypdf import PdfReader

from studio_lib.papers import typeset

LINE = "This is a sentence of the quote that takes up most of a line of its page."


def quote(terms: int, closer: bool | None = None) -> bytes:
    data = {
        "title": "Table", "maker": ["the maker"], "number": "", "client": "the client", "ref": "C1", "revision": 1, "date": "today", "not_firm": "", "picture": None,
        "picture_open": None, "picture_note": "", "paragraphs": [], "points": [], "lines": [["table", "100"]], "inclusive": False, "taxed": False, "net": "", "gross": "100",
        "tax": "", "tax_words": "", "payments": [], "options": [], "included": [], "excluded": [], "when": "", "may_differ": [], "terms": [LINE] * terms, "guidance": LINE,
    }
    return typeset.without_left_over("quote", data, {}) if closer is None else typeset.pdf("quote", data | {"closer": closer}, {})


def last_lines(document: bytes) -> tuple[int, int]:
    leaves = PdfReader(io.BytesIO(document)).pages
    return len(leaves), len(leaves[-1].extract_text().strip().splitlines())


def test_a_page_with_hardly_anything_on_it_is_saved():
    saved = 0
    for terms in range(18, 40):
        pages, lines = last_lines(quote(terms, closer=False))
        as_sent = last_lines(quote(terms))
        if pages > 1 and lines <= typeset.FEW_LINES and last_lines(quote(terms, closer=True))[0] < pages:
            assert as_sent[0] == pages - 1, "set closer, it goes on a page less"
            saved += 1
        else:
            assert as_sent == (pages, lines), "set as ever where nothing is saved by it"
    assert saved >= 3
