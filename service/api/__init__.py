"""The HTTP shell: bytes in, bytes out, no arithmetic of the trade."""
