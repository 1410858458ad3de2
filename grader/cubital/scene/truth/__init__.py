"""What is true of a picture: what is there and what can be seen, how difficult it is to see, how
marks on it are scored, the picture in words."""
