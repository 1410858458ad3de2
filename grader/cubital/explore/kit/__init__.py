"""What figures are made of: the base of all, drawing, curves, tables, words."""
