"""One folder for each kind of layer; `service.products.registry` finds them."""
