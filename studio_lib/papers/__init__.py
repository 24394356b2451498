"""Papers as files: quote, cutting list and boards, drawing, client page, 3D files, workshop, handing over, job folder."""

from studio_lib.papers.write import PAPERS, brief_sheet, write

__all__ = ["PAPERS", "brief_sheet", "write"]
