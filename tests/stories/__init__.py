"""Stories that the product is accepted by: each test is one, told as it happens in the yard and at the desk."""
