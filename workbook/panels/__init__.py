"""One module a page: widgets bound to the document, nothing computed here."""
