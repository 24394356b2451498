"""Papers as files: quote, cutting list and boards, drawing, client page, 3D files, workshop, handing over, job folder."""

from studio_lib.papers.write import PAPERS, write

__all__ = ["PAPERS", "write"]
