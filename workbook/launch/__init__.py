"""From a bare Python to the first page in the browser.

``start``, ``environment`` and ``trouble`` use the standard library only: they run before
anything is installed. ``inside`` and what it calls run in the environment.
"""
