"""Which fastener, where, how many, and how far it reaches through the layers."""
