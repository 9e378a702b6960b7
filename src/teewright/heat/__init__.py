"""Heat of a curing batch: in its pack, on the packer, and in the wall of the sewer."""
