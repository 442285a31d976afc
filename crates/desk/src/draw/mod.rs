//! Pictures that are the data: drawn from what is known, in true shape and colour, and the same everywhere.
