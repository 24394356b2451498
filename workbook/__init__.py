"""The door and the rooms a person sees: the launcher, the pages' panels and the 3D view."""

_open = None


def open_page(name):
    """The page of that stage on the commission in hand: 'brief', 'timber', ... 'record'.

    What this kernel showed before is put away: opened again in the browser, a page runs anew, and what its former
    runs made would live on unseen and be loaded with it.
    """
    global _open
    import gc

    from workbook.page import open_page as open_it

    _say_everything()
    if _open is not None:
        _open.put_away()
        gc.unfreeze()
        gc.collect()
    _open = open_it(name)
    # What stays as long as the page does is not looked through again and again: a slider would halt for a third of a second.
    gc.freeze()
    return _open


def _say_everything():
    """Let this kernel hold back what the browser has not taken in yet, however much it is.

    By default it drops whatever goes beyond a thousand messages: a page of some thousand widgets would stay away.
    """
    import sys

    # Not imported where it is not there already: that alone would change how widgets speak in a plain script.
    kernel = sys.modules.get("ipykernel.kernelapp")
    if kernel is not None and kernel.IPKernelApp.initialized():
        said = kernel.IPKernelApp.instance().iopub_thread
        said.schedule(lambda: setattr(said.socket, "sndhwm", 0))
