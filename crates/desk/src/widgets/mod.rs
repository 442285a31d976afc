//! The house widgets: the few parts every page is made of.
