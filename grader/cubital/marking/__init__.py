"""The educator's side: release, collect, mark, hand back. Import the topic's module by name."""
