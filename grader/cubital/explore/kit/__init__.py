"""What all figures share: the base with its sliders, drawing, curves, numbers and words, tables
and lists of sources."""
