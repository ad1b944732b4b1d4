//! Every question that the command line and the page may ask, answered in one place.

pub mod document;
pub mod settings;
pub mod view;
