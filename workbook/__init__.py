"""The door and the rooms a person sees: the launcher, the pages' panels and the 3D view."""


def open_page(name):
    """The page of that stage on the commission in hand: 'brief', 'timber', ... 'record'."""
    from workbook.page import open_page as open_it

    return open_it(name)
