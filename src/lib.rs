//! Evenfold: which feeding pen each housed, pregnant ewe goes to, and what the pen must be fed.
//!
//! | module | what it answers |
//! |---|---|
//! | [`quantity`], [`day`], [`problem`] | the vocabulary: units, civil days, what went wrong |
//! | `arrange` | sorting with little code |
//! | [`flock`], [`pen`] | plain records of ewes and pens |
//! | [`journal`] | what people saw and decided, event by event, and what it adds up to |
//! | [`feed`] | what feeds hold, and the protein that follows from it |
//! | [`requirement`] | what a ewe needs, by a published feeding standard |
//! | [`solve`] | numbers only: exact splits, levels, local search, bounds |
//! | [`sort`] | which pen each ewe goes to, and why |
//! | [`ration`] | what to feed: least cost inside safe limits, and why |
//! | [`io`] | text from outside to records and problems, and back |
//! | [`farm`] | every question the command line and the page may ask |
//! | `cli`, `wasm` | the two front ends: translation only |
#![cfg_attr(target_arch = "wasm32", allow(unsafe_code))]

mod arrange;
#[cfg(not(target_arch = "wasm32"))]
pub mod cli;
pub mod day;
pub mod farm;
pub mod feed;
pub mod flock;
pub mod io;
pub mod journal;
pub mod pen;
pub mod problem;
pub mod quantity;
pub mod ration;
pub mod requirement;
pub mod solve;
pub mod sort;
#[cfg(target_arch = "wasm32")]
mod wasm;
