"""What the educator's steps share: a hand-in's notebook put in order again, errors in words."""
