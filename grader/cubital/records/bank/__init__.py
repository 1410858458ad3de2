"""What comes of a course folder's own items, points and figures, for the educator."""
