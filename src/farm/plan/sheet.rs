//! The load sheet: one load of a pen and week, with its days beneath it where ewes leave to lamb.

use crate::farm::plan::document::{LoadEntry, LoadPartEntry, PlanDocument};
use crate::farm::plan::view::PlanFeedView;
use crate::farm::plan::words;
use crate::sort::shortfall::count_words;
use serde::Serialize;

/// A load of the sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct PlanLoadView {
    /// Which week, 1 first.
    pub week: u32,
    /// The pen.
    pub pen: String,
    /// "Pen A", or which ewes of no pen.
    pub place: String,
    /// "from 15 Feb".
    pub from: String,
    /// What it is, for how many, how often.
    pub title: String,
    /// Feeds in the order in which they go in.
    pub parts: Vec<PlanFeedView>,
    /// Where the head changes within the week: what each load is on which days. Otherwise none.
    pub days: Vec<PlanLoadDayView>,
    /// What a person loading should know.
    pub notes: Vec<String>,
}

/// Days of a week on which as many ewes stand in a pen.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct PlanLoadDayView {
    /// "1 Mar", or "1 to 3 Mar".
    pub days: String,
    /// How many ewes, and how many loads a day where it is more than one.
    pub head: String,
    /// kg of each feed in one load, in the order of the parts.
    pub amounts: Vec<String>,
}

/// Every load; those of a pen and week that differ in the head alone stand together.
pub(super) fn loads(document: &PlanDocument) -> Vec<PlanLoadView> {
    let mut groups: Vec<Vec<&LoadEntry>> = Vec::new();
    for load in &document.loads {
        let is_of = |group: &&mut Vec<&LoadEntry>| group.first().is_some_and(|own| is_like(own, load));
        match groups.iter_mut().find(is_of) {
            Some(group) => group.push(load),
            None => groups.push(vec![load]),
        }
    }
    let place = |load: &LoadEntry| {
        let pen = document.pens.iter().find(|pen| pen.pen == load.pen);
        pen.map_or_else(String::new, words::place)
    };
    groups.iter().filter_map(|group| view(group, place(group.first()?))).collect()
}

fn is_like(a: &LoadEntry, b: &LoadEntry) -> bool {
    let feeds = |load: &LoadEntry| -> Vec<(String, f64)> {
        load.parts.iter().map(|part| (part.feed.clone(), part.kg_a_ewe)).collect()
    };
    (a.week, &a.pen, a.what) == (b.week, &b.pen, b.what) && feeds(a) == feeds(b)
}

fn view(group: &[&LoadEntry], place: String) -> Option<PlanLoadView> {
    let (first, last) = (group.first()?, group.last()?);
    let is_one = group.len() == 1;
    let whole = |part: &LoadPartEntry| {
        let a_ewe = words::kg(part.kg_a_ewe);
        if is_one {
            let [fresh, dry] = [part.kg_a_load, part.kg_dm_a_load].map(words::load_kg);
            format!("{fresh} ({a_ewe} a ewe, {dry} DM)")
        } else {
            format!("{a_ewe} a ewe")
        }
    };
    let parts = first.parts.iter().map(|part| PlanFeedView { name: part.feed.clone(), words: whole(part) });
    let mut notes: Vec<String> = Vec::new();
    for note in group.iter().flat_map(|load| &load.notes) {
        if !notes.contains(note) {
            notes.push(note.clone());
        }
    }
    Some(PlanLoadView {
        week: first.week,
        pen: first.pen.clone(),
        place,
        from: format!("from {}", first.first_day.short()),
        title: if is_one { words::load(first) } else { words::load_by_day(first, last) },
        parts: parts.collect(),
        days: if is_one { Vec::new() } else { group.iter().map(|load| days(load)).collect() },
        notes,
    })
}

fn days(load: &LoadEntry) -> PlanLoadDayView {
    let last = load.first_day.plus(load.days.saturating_sub(1) as i32);
    let (from, to) = (load.first_day.short(), last.short());
    let ewes = count_words(load.head as usize, "ewe");
    PlanLoadDayView {
        days: if load.days > 1 { format!("{from} to {to}") } else { from },
        head: if load.loads_a_day > 1 { format!("{ewes}, {} times a day", load.loads_a_day) } else { ewes },
        amounts: load.parts.iter().map(|part| words::load_kg(part.kg_a_load)).collect(),
    }
}
