//! A gate with fewer ways than there are pens: which pens lie behind which way, and how the ways are called.

use crate::sort::draft::Draft;
use serde::Serialize;

/// One way of the gate, as it is called at the race.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Way {
    /// From 1, the left one first.
    pub number: usize,
    /// `left`, `straight on`, `right`.
    pub words: &'static str,
    /// `L`, `S`, `R`: read at a glance.
    pub letter: &'static str,
    /// `←`, `↑`, `→`.
    pub arrow: &'static str,
}

/// A way, and the pens behind it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct WayPens {
    /// The way.
    pub way: Way,
    /// The pens behind it.
    pub pens: Vec<String>,
    /// "Left: pens A, B."
    pub words: String,
}

const LEFT: Way = Way { number: 1, words: "left", letter: "L", arrow: "←" };
const STRAIGHT: Way = Way { number: 2, words: "straight on", letter: "S", arrow: "↑" };
const RIGHT: Way = Way { number: 2, words: "right", letter: "R", arrow: "→" };

/// The way of each pen; none where every pen has its own.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct GateWays(Vec<usize>);

impl GateWays {
    /// As a draft cut them before its first ewe.
    pub(super) fn of(draft: &Draft) -> Self {
        Self(draft.ways().unwrap_or_default().to_vec())
    }

    /// How many ways there are.
    fn count(&self) -> usize {
        self.0.iter().max().map_or(0, |most| most + 1)
    }

    /// The way that leads to a pen.
    pub(super) fn way_of(&self, pen: usize) -> Option<Way> {
        Some(self.called(*self.0.get(pen)?))
    }

    /// The pens behind the way that leads to a pen, itself among them, as a mask; every pen where each has its own.
    pub(super) fn behind(&self, pen: usize) -> u64 {
        let Some(way) = self.0.get(pen) else { return u64::MAX };
        self.0
            .iter()
            .enumerate()
            .filter(|(_, own)| *own == way)
            .fold(0, |mask, (at, _)| mask | 1 << at.min(63))
    }

    fn called(&self, way: usize) -> Way {
        match (way, self.count()) {
            (0, _) => LEFT,
            (1, 3..) => STRAIGHT,
            (_, count) => Way { number: count, ..RIGHT },
        }
    }

    /// Every way with its pens.
    pub(super) fn all(&self, names: &[String]) -> Vec<WayPens> {
        let behind = |way: usize| {
            let of_way = names.iter().zip(&self.0).filter(|(_, own)| **own == way);
            let pens: Vec<String> = of_way.map(|(name, _)| name.clone()).collect();
            let called = self.called(way);
            let noun = if pens.len() == 1 { "pen" } else { "pens" };
            let words =
                format!("{}: {noun} {}.", crate::sort::reason::capital(called.words), pens.join(", "));
            WayPens { way: called, pens, words }
        };
        (0..self.count()).map(behind).collect()
    }
}
