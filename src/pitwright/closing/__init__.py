"""Whether a rigid train closes between two stubs that give a little, proved from both sides."""
