//! The only truth about a flock: an append-only list of events, from which everything else is folded.
//!
//! | file | what |
//! |---|---|
//! | `stamp` | the order of events that no wrong clock breaks |
//! | `what` | what an event may say |
//! | `event` | an event and its line |
//! | `log` | all events in one order, merged, undone, folded on as they come |
//! | `state`, `naming` | the fold: what the events say together, and whom a name means |
//! | `reading` | which of several readings holds, and which contradict each other |
//!
//! What holds here:
//!
//! - An event is never changed and never deleted. Undo is an event; so is a correction.
//! - Only observations and decisions are events. What was advised may stand beside a decision as it was shown,
//!   but no state is computed from it.
//! - The state hangs on the set of events alone, not on the order in which they arrived.
//! - Time and names of devices are arguments. Nothing here reads a clock.
//! - An earlier year's list is no reading: it makes no ewe, and nothing of it holds of one.
//! - What is not understood is kept, to the byte.

mod event;
mod log;
mod naming;
mod reading;
mod stamp;
mod state;
mod what;

pub use event::{Event, EventId, LineFault, Said, VERSION};
pub use log::{Entering, Entry, Gained, Journal};
pub use reading::{Standing, Topic, Value};
pub use stamp::{Now, Stamp};
pub use state::{Ewe, State};
pub use what::{Advice, Mark, Name, PenRow, What};
