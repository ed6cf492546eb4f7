"""What the maker asks for: the model of a board and the reader of board files."""
