"""The device before use: batteries, stored pictures, the daily check, infrared light on eyes and
skin."""
