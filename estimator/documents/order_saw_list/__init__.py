"""What the saw cuts where rails of several quotes come from common bars."""
