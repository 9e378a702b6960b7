"""The pages over the van's network: an authority of this machine, its addresses, two servers."""
