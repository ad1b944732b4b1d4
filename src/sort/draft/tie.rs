//! Ewes who must share a pen, and ewes who must not, as they come one by one.
//!
//! The first of a set to come chooses its pen, and room is kept there for the others until each has come.

use crate::arrange::Arrange as _;
use crate::solve::instance::RESOURCES;
use crate::solve::online::Company;
use crate::sort::draft::belief::Belief;
use crate::sort::settings::Settings;
use std::collections::BTreeMap;

/// What ties ask of one ewe.
pub(super) struct Tied {
    /// Pens that they leave open, as a bit mask.
    pub(super) mask: u64,
    /// Those who must follow her, where she is the first.
    pub(super) company: Company,
    /// Room that is kept for her, and where.
    pub(super) kept: Option<(usize, Company)>,
}

/// Sets of ewes by tag, with where they stand.
#[derive(Debug, Clone, Default)]
pub(super) struct Ties {
    together: Vec<Vec<String>>,
    apart: Vec<Vec<String>>,
    stands: BTreeMap<String, usize>,
    kept: BTreeMap<String, (usize, Company)>,
    gone: Vec<String>,
}

impl Ties {
    pub(super) fn new(settings: &Settings) -> Self {
        let mut together: Vec<Vec<String>> = Vec::new();
        // Sets that share a ewe are one.
        for set in &settings.together {
            let (mut joined, rest): (Vec<Vec<String>>, Vec<Vec<String>>) =
                together.into_iter().partition(|other| other.iter().any(|tag| set.contains(tag)));
            joined.push(set.clone());
            let mut one: Vec<String> = joined.into_iter().flatten().collect();
            one.arrange_by(Ord::cmp);
            one.dedup();
            together = rest;
            together.push(one);
        }
        Self { together, apart: settings.apart.clone(), ..Self::default() }
    }

    /// What ties ask of a ewe now.
    pub(super) fn of(&self, tag: &str, belief: &Belief) -> Tied {
        let mut tied = Tied { mask: u64::MAX, company: Company::NONE, kept: self.kept.get(tag).cloned() };
        if let Some(set) = self.set_of(tag) {
            let mut stands = set.iter().filter_map(|other| self.stands.get(other));
            match stands.next() {
                Some(&pen) => tied.mask = 1 << pen,
                None => {
                    let others = set.iter().filter(|other| *other != tag && !self.gone.contains(other));
                    for other in others {
                        add(&mut tied.company, &belief.room_of(other));
                    }
                }
            }
        }
        let mine: Vec<&str> = match self.set_of(tag) {
            Some(set) => set.iter().map(String::as_str).collect(),
            None => vec![tag],
        };
        for set in self.apart.iter().filter(|set| set.iter().any(|other| mine.contains(&other.as_str()))) {
            for other in set.iter().filter(|other| !mine.contains(&other.as_str())) {
                // Where a rival's own company stands she will stand too.
                let company = self.set_of(other).map_or(std::slice::from_ref(other), Vec::as_slice);
                for pen in company.iter().filter_map(|other| self.stands.get(other)) {
                    tied.mask &= !(1 << pen);
                }
            }
        }
        tied
    }

    /// Whether nobody must share her pen or be kept from it.
    pub(super) fn is_free(&self, tag: &str) -> bool {
        let mut sets = self.together.iter().chain(&self.apart);
        !sets.any(|set| set.iter().any(|other| other == tag))
    }

    fn set_of(&self, tag: &str) -> Option<&Vec<String>> {
        self.together.iter().find(|set| set.iter().any(|other| other == tag))
    }

    /// For how many room is kept.
    pub(super) fn waiting(&self) -> usize {
        self.kept.len()
    }

    /// A ewe stands in a pen; where others must follow her, room is kept for each.
    pub(super) fn placed(&mut self, tag: &str, pen: usize, belief: &Belief) {
        self.kept.remove(tag);
        let first = self.set_of(tag).filter(|set| !set.iter().any(|other| self.stands.contains_key(other)));
        let follow: Vec<(String, Company)> = first
            .into_iter()
            .flatten()
            .filter(|other| *other != tag && !self.gone.contains(other))
            .map(|other| {
                let mut company = Company::NONE;
                add(&mut company, &belief.room_of(other));
                (other.clone(), company)
            })
            .collect();
        self.kept.extend(follow.into_iter().map(|(other, company)| (other, (pen, company))));
        if !self.is_free(tag) {
            self.stands.insert(tag.to_owned(), pen);
        }
    }

    /// A ewe will not come to any pen.
    pub(super) fn gone(&mut self, tag: &str) {
        self.kept.remove(tag);
        if !self.is_free(tag) {
            self.gone.push(tag.to_owned());
        }
    }
}

fn add(company: &mut Company, room: &[[u64; RESOURCES]]) {
    company.head += 1;
    company.room.resize(room.len().max(company.room.len()), [0; RESOURCES]);
    for (sum, room) in company.room.iter_mut().zip(room) {
        for resource in 0..RESOURCES {
            sum[resource] += room[resource];
        }
    }
}
