"""What a vein does under finger, tourniquet and stroke: pressure, width, refilling, rolling."""
