"""Wall thickness against groundwater."""
