"""Who is seen and where the vessels lie: limbs, patterns of veins, valves, arteries."""
