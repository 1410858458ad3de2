"""The critical principles of the course: what each says, and the vignettes that ask for it."""
