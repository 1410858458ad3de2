"""Who learns here and how far they are: the first page, names, an educator's file opened there,
what was predicted, one's own file to go on elsewhere, and finishing on a computer that others use.
"""
