"""Items of the worksheet light-and-depth."""
