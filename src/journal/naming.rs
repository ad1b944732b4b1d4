//! Which ewe a name means, and how that changes: identifiers attached, tags corrected, two that are one.
//!
//! An identifier is believed before a tag: tags wear off, are typed wrong and may be on two ewes. Two records
//! become one where a person joins an identifier and a tag of which one was known alone, or of which both records
//! have the same tag. Otherwise both stay, and whoever looks is told that two ewes have one tag. A corrected tag
//! goes on meaning her, for somebody may not have heard of the correction, until another ewe is met by it.

use crate::arrange::Arrange as _;
use crate::flock::Eid;
use crate::journal::state::{Ewe, State};
use crate::journal::{Event, Name};
use std::sync::Arc;

impl State {
    /// A ewe stood before the reader.
    pub(super) fn meet(&mut self, eid: Option<&Eid>, tag: Option<&str>, event: &Arc<Event>) {
        let by_eid = eid.and_then(|eid| self.place(&Name::Eid(eid.clone())));
        let by_tag = tag.and_then(|tag| self.bearer(tag));
        let place = match (eid, tag) {
            (None, None) => return,
            (Some(eid), None) => by_eid.unwrap_or_else(|| self.add(Name::Eid(eid.clone()), event)),
            (None, Some(tag)) => by_tag.unwrap_or_else(|| self.add(Name::Tag(tag.to_owned()), event)),
            (Some(eid), Some(tag)) => {
                let place = by_eid
                    .or_else(|| by_tag.filter(|&place| self.ewe(place).is_some_and(|ewe| ewe.eid.is_none())))
                    .unwrap_or_else(|| self.add(Name::Eid(eid.clone()), event));
                let place = self.take_eid(place, eid);
                if self.tag_of(place).is_none() {
                    self.take_tag(place, tag)
                } else {
                    if by_tag.is_none() {
                        // She has another tag: this one means her too, and nothing is said of which is right.
                        self.also(place, Name::Tag(tag.to_owned()));
                    }
                    place
                }
            }
        };
        self.touch(place, |ewe| {
            ewe.met.push(Arc::clone(event));
            ewe.last = Arc::clone(event);
        });
    }

    /// A ewe's identity was put right.
    pub(super) fn set_identity(
        &mut self,
        ewe: &Name,
        eid: Option<&Eid>,
        tag: Option<&str>,
        event: &Arc<Event>,
    ) {
        let place = match self.place(ewe) {
            Some(place) => place,
            None => self.add(ewe.clone(), event),
        };
        let place = eid.map_or(place, |eid| self.take_eid(place, eid));
        if let Some(tag) = tag {
            self.take_tag(place, tag);
        }
    }

    /// A ewe that nobody met before.
    pub(super) fn add(&mut self, name: Name, event: &Arc<Event>) -> usize {
        let place = self.ewes.len();
        self.ewes.push(Some(Arc::new(Ewe::new(name.clone(), event))));
        self.means(name, place);
        place
    }

    /// Whether a name is the one that its ewe has now, and not one since corrected.
    pub fn is_current(&self, name: &Name) -> bool {
        self.find(name).is_some_and(|ewe| match name {
            Name::Eid(eid) => ewe.eid.as_ref() == Some(eid),
            Name::Tag(tag) => ewe.tag.as_ref() == Some(tag),
        })
    }

    /// The identifier is hers from now on; her place, for she may turn out to be one with another.
    fn take_eid(&mut self, place: usize, eid: &Eid) -> usize {
        let name = Name::Eid(eid.clone());
        let place = match self.place(&name) {
            // All that is known of her are the identifier and what was read by it: that was of this ewe.
            Some(other)
                if other != place
                    && (self.tag_of(other).is_none() || self.tag_of(other) == self.tag_of(place)) =>
            {
                self.unite(place, other)
            }
            // It was attached to the wrong ewe, who keeps her tag and what was read of her.
            Some(other) if other != place => {
                self.touch(other, |ewe| ewe.eid = ewe.eid.take().filter(|own| own != eid));
                place
            }
            _ => place,
        };
        let before = self.ewe(place).and_then(|ewe| ewe.eid.clone()).filter(|before| before != eid);
        self.touch(place, |ewe| {
            ewe.eid = Some(eid.clone());
            ewe.former.extend(before.map(Name::Eid));
        });
        self.means(name, place);
        self.tidy(place);
        place
    }

    /// The tag is hers from now on; her place, likewise.
    fn take_tag(&mut self, place: usize, tag: &str) -> usize {
        let name = Name::Tag(tag.to_owned());
        let bearer = self.bearer(tag).filter(|&other| other != place);
        let mut place = place;
        if let Some(other) = bearer
            && self.are_halves(place, other)
        {
            place = self.unite(other, place);
        }
        let before = self.ewe(place).and_then(|ewe| ewe.tag.clone()).filter(|before| before != tag);
        self.touch(place, |ewe| {
            ewe.tag = Some(tag.to_owned());
            ewe.former.extend(before.map(Name::Tag));
        });
        // Where another ewe has that tag too, the name goes on meaning her: nothing tells which is right.
        if bearer.is_none() {
            self.means(name, place);
        }
        self.tidy(place);
        place
    }

    /// Whether `with_eid` is known by her identifier alone and `with_tag` by her tag alone.
    fn are_halves(&self, with_eid: usize, with_tag: usize) -> bool {
        let half = |place| self.ewe(place).map(|ewe| (ewe.eid.is_some(), ewe.tag.is_some()));
        half(with_eid) == Some((true, false)) && half(with_tag) == Some((false, true))
    }

    /// Two records are of one ewe: what was read of either is hers, and her place is the earlier.
    fn unite(&mut self, one: usize, other: usize) -> usize {
        let (keep, lose) = (one.min(other), one.max(other));
        let Some(lost) = self.ewes.get_mut(lose).and_then(Option::take) else { return keep };
        let lost = Arc::unwrap_or_clone(lost);
        for meant in Arc::make_mut(&mut self.names).values_mut().filter(|meant| **meant == lose) {
            *meant = keep;
        }
        self.touch(keep, |ewe| {
            let (eid, tag) = (lost.eid.clone(), lost.tag.clone());
            ewe.former.extend(lost.former);
            ewe.former
                .extend(eid.filter(|eid| ewe.eid.as_ref().is_some_and(|own| own != eid)).map(Name::Eid));
            ewe.former
                .extend(tag.filter(|tag| ewe.tag.as_ref().is_some_and(|own| own != tag)).map(Name::Tag));
            ewe.eid = ewe.eid.take().or(lost.eid);
            ewe.tag = ewe.tag.take().or(lost.tag);
            for (list, more) in [
                (&mut ewe.met, lost.met),
                (&mut ewe.readings, lost.readings),
                (&mut ewe.marks, lost.marks),
                (&mut ewe.notes, lost.notes),
                (&mut ewe.settled, lost.settled),
            ] {
                list.extend(more);
                list.arrange_by(|one, other| one.order().cmp(&other.order()));
            }
            if lost.last.order() > ewe.last.order() {
                ewe.last = lost.last;
            }
        });
        self.tidy(keep);
        keep
    }

    /// The ewe whose tag this is now; not one who had it once.
    fn bearer(&self, tag: &str) -> Option<usize> {
        let name = Name::Tag(tag.to_owned());
        self.place(&name).filter(|_| self.is_current(&name))
    }

    fn place(&self, name: &Name) -> Option<usize> {
        self.names.get(name).copied()
    }

    fn tag_of(&self, place: usize) -> Option<&str> {
        self.ewe(place)?.tag.as_deref()
    }

    fn ewe(&self, place: usize) -> Option<&Ewe> {
        self.ewes.get(place)?.as_deref()
    }

    fn touch(&mut self, place: usize, change: impl FnOnce(&mut Ewe)) {
        if let Some(Some(ewe)) = self.ewes.get_mut(place) {
            change(Arc::make_mut(ewe));
        }
    }

    fn also(&mut self, place: usize, name: Name) {
        if self.place(&name) != Some(place) {
            self.touch(place, |ewe| ewe.former.push(name.clone()));
            self.means(name, place);
        }
    }

    /// Leaves among a ewe's former names those that mean her and are not hers now: where two ewes had one tag,
    /// it means only one of them.
    fn tidy(&mut self, place: usize) {
        let names = Arc::clone(&self.names);
        self.touch(place, |ewe| {
            let (eid, tag) = (ewe.eid.clone().map(Name::Eid), ewe.tag.clone().map(Name::Tag));
            ewe.former.retain(|name| {
                names.get(name) == Some(&place) && ![&eid, &tag].contains(&&Some(name.clone()))
            });
            ewe.former.arrange_by(Ord::cmp);
            ewe.former.dedup();
        });
    }

    /// A name means the ewe of a place, and nobody else.
    fn means(&mut self, name: Name, place: usize) {
        if let Some(before) = self.place(&name).filter(|&before| before != place) {
            self.touch(before, |ewe| ewe.former.retain(|former| *former != name));
        }
        Arc::make_mut(&mut self.names).insert(name, place);
    }
}
