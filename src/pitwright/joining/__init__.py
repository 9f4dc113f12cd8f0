"""In which order the joints of a train are made, and whether each can be."""
