"""What happens in a series of frames: blood or fluid beside a vein, a vein that moves or fills."""
