"""The kinds of item that are asked on a simulated picture or series of the release's pool."""
