"""What is said to an educator instead of a traceback."""


class CourseError(ValueError):
    """What the educator asked for cannot be done; the text says why and what to do."""
