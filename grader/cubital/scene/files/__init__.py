"""Pictures as files: pools for a release, rendered and sealed."""
