"""Questions of the worksheet catheter-sizing: ratio, the smallest catheter that does, flow, drops
and hours."""
