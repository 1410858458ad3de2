"""What happens in a series of frames: blood or fluid beside a vein, a vein that moves aside or fills again, a flush."""
