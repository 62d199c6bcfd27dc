"""What stands in the barcodes of boxes, read by the open standard for them."""
