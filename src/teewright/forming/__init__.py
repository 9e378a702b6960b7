"""How a sewn cloth lands when it is blown against a surface: a membrane, wrinkles, friction."""
