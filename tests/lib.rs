//! The tests of the whole house are in `it`; there is nothing here.
