"""What the user describes: site, earth, sea, vessel, inventory, plan and design basis.

Frozen and validated; SI inside; every field knows where it was written.
"""
