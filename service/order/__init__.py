"""Exact needs, pooled, to what is bought: cull, spare, multiples, packs and loss."""
