"""The checks: small functions by stable id, each answering a finding or nothing, each naming its hazard."""
