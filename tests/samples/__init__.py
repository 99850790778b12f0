"""The sample models and what the program must say of them."""
