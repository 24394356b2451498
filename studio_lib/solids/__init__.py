"""One description of each member's shape, two builders: a mesh kernel for what moves, CadQuery for what is exact."""

from studio_lib.solids.mesh import MemberMesh, meshes, volume_mm3

__all__ = ["MemberMesh", "build", "meshes", "step_bytes", "volume_mm3"]


def build(piece):
    """Named CadQuery solids of a piece, every joint cut: {member reference: cadquery.Workplane}."""
    from studio_lib.solids.exact import build as build_exact

    return build_exact(piece)


def step_bytes(pieces) -> bytes:
    """A STEP file of the pieces: [(piece, (dx, dy, dz)), ...]."""
    from studio_lib.solids.exact import step_bytes as write_step

    return write_step(pieces)
