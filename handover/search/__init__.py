"""One field over everything: what is found by plate, name, number, day or phrase; saved views; downloads."""
