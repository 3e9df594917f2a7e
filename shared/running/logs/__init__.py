"""What the server says of its work, line by line, without anything that is about a person.

Of an address only its name is told (record-page, not the code in it), of a fault its kind and where in the program it
happened, not what it says: a database's fault quotes the row.
"""
