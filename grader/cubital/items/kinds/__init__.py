"""The kinds of item: how each is drawn, read, judged, and held to its rules."""
