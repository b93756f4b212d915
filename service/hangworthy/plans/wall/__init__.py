"""The wall plan: where on one wall each work hangs, and where its hooks go, in whole millimetres that add up."""
