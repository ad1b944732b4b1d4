//! Which pen each ewe goes to, and why.

mod settings;

pub use settings::{Keep, Settings, System};
