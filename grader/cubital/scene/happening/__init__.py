"""What happens in a series of frames: blood or fluid beside a vein, one that moves or fills, a flush."""
