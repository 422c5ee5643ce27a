"""One folder for each form of stock; `service.products.registry` finds them."""
