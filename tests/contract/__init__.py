"""The HTTP shell and the contract, over the application in this process."""
