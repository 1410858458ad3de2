"""Pictures as files: pools of them for a release, chosen by difficulty, rendered and sealed."""
