"""What an educator does: one function an action, each of which returns what came of it.

Nothing here prints, reads a command line or draws how far it is: commands and pages do that.
"""
