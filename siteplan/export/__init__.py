"""Primitives to files.  This file stays empty of imports: the DXF writer must not pull in Qt."""
