"""What happens in a series of frames: refilling, flushing, rolling, leaking, a haematoma."""
