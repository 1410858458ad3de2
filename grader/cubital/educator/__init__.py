"""What an educator does, one function an action: what each step counts, whom and what it names as
left, with reason and what to do, for a command or page to say.

Nothing here prints, reads a command line or draws how far it is: commands and pages do that.
"""
