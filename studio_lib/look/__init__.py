"""What a piece looks like: one mesh description for the 3D view, the client page and still pictures.

A *scene* is a list of ``(piece name, meshes, offset)``: the meshes of
``studio_lib.solids.meshes``, and where that piece stands beside the others, in mm.
Appearances are a dict from the timber's name to anything with the fields of
``studio_lib.timber.ageing.Appearance``.
"""
