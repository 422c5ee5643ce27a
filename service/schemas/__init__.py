"""The shapes that all kinds share: quantities, surfaces, products, and the flat answer."""
