"""What a textile does when it is stretched and pressed: its law, and the law from tests."""
