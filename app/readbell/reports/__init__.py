"""Values into the forms that leave the program; nothing here touches a file."""
