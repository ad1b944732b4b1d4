//! What to feed one pen in one week: least cost inside safe limits, in amounts that can be weighed, and why.
//!
//! | file | what |
//! |---|---|
//! | `asked` | what is asked: need, ewe, way of feeding, what is in store |
//! | `limit` | the figures of a safe ration, each with its source |
//! | `appetite` | how much each feed fills a ewe; her appetite is `requirement::intake` |
//! | `content` | what a kg of a feed brings |
//! | `rule` | the named limits: which there are, and what each is of |
//! | `recipe` | need, limits and feeds as a linear programme |
//! | `settle` | solving it: rumen and forage found by passes, then amounts that can be weighed |
//! | `price` | what limits cost and at what price unused feeds enter |
//! | `way_out` | what stops the need from being met, and what would meet it, each tried |
//! | [`season`] | rations of several pens over several weeks, which share their stores |
//! | `seen` | what a pen was seen to eat, against the model |
//! | `step` | what one step of the bucket brings |
//! | `water` | what ewes drink beside their feed |
//! | `caution` | what may hurt a ewe, with its source |
//!
//! Safety limits are hard: no ration breaks one. Needs are soft: what is missed is charged, and said.

mod appetite;
mod asked;
mod caution;
mod content;
mod limit;
mod price;
mod recipe;
mod rule;
pub mod season;
mod seen;
mod settle;
mod step;
mod water;
mod way_out;

pub use asked::{Asked, Eater, Held, Pen, Way, Withheld, withheld};
pub use caution::{Caution, cautions};
pub use content::Content;
pub use limit::{CONCENTRATE_A_FEED, COPPER, MOST_FEEDS, MOST_STRAIGHTS, PROTEIN_WEEKS};
pub use price::{Cost, Entry, costs, entries};
pub use rule::{Frame, Key, Rule, Strength};
pub use seen::seen_appetite;
pub use settle::{Outcome, Ration, Standing, settle, settle_exactly};
pub use step::bucket_step;
pub use water::{WATER_SOURCE, drinks};
pub use way_out::{Change, Tried, Trouble, stops, ways_out};
