//! What the person asking may set, by the names that both front ends use.

pub use crate::day::DateOrder;
pub use crate::sort::{Keep, Settings, Soft, System};
