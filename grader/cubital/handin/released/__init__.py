"""What a release is made of, what it gives out, and what it keeps sealed."""
