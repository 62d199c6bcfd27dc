"""Assay files: the bundled ones, a site's own, and the border they are checked at."""
