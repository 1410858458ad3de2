"""Who is seen and where the vessels lie: limbs, patterns of veins with depth and diameter, valves,
arteries; what the skin itself shows, from creases to glare.
"""
