//! Kernels without animals: numbers in, numbers and a status out.
//!
//! | kernel | problem | guarantee | cost |
//! |---|---|---|---|
//! | [`split`] | ordered sequence into runs, bins of any order | optimal where room is equal and the need is one number | states · n log n |
//! | [`runs`] | the same for several kinds sharing the bins, from an instance | a start that keeps all room, or a lower bound | kinds · split |
//! | [`improve`] | levels against assignment, moves, swaps, chains | never worse, never breaks a limit | rounds · n · (bins + days of bins that changed) |
//! | [`pack`] | any assignment that keeps the limits | none: may fail where one exists | n² |
//! | [`exact`] | small problems | optimal or impossible, where its budget suffices | exponential |
//! | [`room`] | can these bins hold these items? | a "no" is a proof | n · bins |
//! | [`seed`] | starting groups by k-means | none | linfa |
//! | [`bound`] | lower bound | valid for every assignment | day ranges · split |
//! | [`card`] | rules that a person can apply: points, or three questions | no worse than one feature's best map | counted in steps |
//! | [`certificate`] | lower bound by pricing, step by step | valid at every step | steps · boxes · n |
//! | [`front`] | loss against number of items moved | good, not proved; every point keeps all limits | moves · n · axes |
//! | [`sets`] | which few of the bins: the least loss with at most one, two, three … | each within the gap that it states; bounds valid for every choice | counted in steps |
//! | [`online`] | items that come one at a time and must be placed at once | no limit of room is ever broken | a plan of the rest every few items |
//! | [`order`] | from one assignment to another in small steps | no step breaks a limit, but for a last one of all that is left | moves² · n |
//! | [`programme`] | linear programme: least cost, prices, conflicts, amounts that can be weighed | checked; "infeasible" with proof | simplex by a library |
//! | [`search`] | the whole: starts, restarts, polish, bound | within the gap that it states | counted in steps |

mod board;
pub mod bound;
pub mod card;
pub mod certificate;
#[cfg(test)]
mod drawn;
pub mod exact;
pub mod front;
pub mod improve;
pub mod instance;
mod line;
mod losses;
pub mod online;
pub mod order;
pub mod pack;
pub mod placement;
pub mod programme;
pub mod room;
pub mod runs;
pub mod search;
pub mod seed;
pub mod sets;
pub mod split;
mod walk;
