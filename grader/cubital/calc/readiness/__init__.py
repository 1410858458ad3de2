"""The device before use: batteries, stored pictures, the daily check, light and eyes."""
