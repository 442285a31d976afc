//! While not every order is read yet: what is taken in, and what has to wait for it.

use craft::fact::{CustodyFact, Fact, PourFact};
use craft::id::DocId;
use craft::moment::Moment;
use craft::studio::{Doc, Edit, OrderEdit};
use craft::tag::Tag;

use super::{Notice, Workbench};
use crate::action::{Effect, JobId};
use crate::finding::{Finding, Parting};
use crate::open::Part;
use crate::present::reading_words;

/// How far the reading of orders is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    /// How many orders are not read yet.
    pub left: usize,
    /// How many there are.
    pub total: usize,
    /// The job that reads on; none where it was stopped, until [`Job::ReadOrders`](crate::action::Job::ReadOrders) is
    /// started again.
    pub job: Option<JobId>,
}

impl Reading {
    /// True while somebody reads on.
    pub fn is_going_on(&self) -> bool {
        self.job.is_some()
    }
}

impl Workbench {
    /// The same, with so many of all its orders still to be read.
    #[must_use]
    pub fn still_reading(self, left: usize, total: usize) -> Self {
        Self { reading: Some(Reading { left, total, job: None }), ..self }
    }

    /// The same, with what was found when the studio was opened.
    #[must_use]
    pub fn with_findings(self, found: Vec<Finding>) -> Self {
        Self { troubles: found.iter().map(Finding::trouble).collect(), found, ..self }
    }

    /// How far the reading of orders is; none once all are read.
    pub fn reading(&self) -> Option<&Reading> {
        self.reading.as_ref()
    }

    /// Everything that does not hold together. What is found across documents is told once all of them are read.
    pub fn findings(&self) -> &[Finding] {
        if self.reading.is_some() {
            return &self.found;
        }
        self.across.get_or_init(|| {
            let across = self.studio.findings().into_iter().map(Finding::Across);
            self.found.iter().cloned().chain(across).collect()
        })
    }

    /// What was found across documents is looked for again at the next look, where something changed since.
    pub(super) fn look_across_again(&mut self) {
        if std::mem::take(&mut self.across_is_old) {
            self.across.take();
        }
    }

    /// Takes in a part that was read. What is due in it rings at once.
    pub(super) fn read(&mut self, part: Part, now: Moment) -> Vec<Effect> {
        let Part { studio, index, mut findings, left, blanked } = part;
        let is_whole = index.is_some() || studio.orders().is_empty();
        if !self.studio.join(studio) {
            return Vec::new();
        }
        match (self.index.get_mut(), index) {
            (Some(own), Some(index)) => own.join(&self.studio, index, now),
            (Some(own), None) if !is_whole => *own = crate::index::Index::new(&self.studio, now),
            _ => {}
        }
        self.keeping.blanked.extend(blanked);
        crate::keeping::forget::settle(&mut findings, &self.keeping.forgotten, &|_| false);
        self.troubles.extend(findings.iter().map(Finding::trouble));
        self.found.extend(findings);
        self.revision += 1;
        self.plans_are_old = true;
        self.across.take();
        if let Some(reading) = &mut self.reading {
            reading.left = left;
        }
        self.tick(now)
    }

    /// The reading ended: with everything read, or for now.
    pub(super) fn reading_ended(&mut self, is_done: bool) {
        self.across.take();
        if is_done {
            self.reading = None;
        } else if let Some(reading) = &mut self.reading {
            reading.job = None;
        }
    }

    /// Why an edit has to wait until every order is read; none where it asks nothing but its own order.
    pub(super) fn has_to_wait(&self, edit: &Edit) -> Option<String> {
        let waits = match edit {
            Edit::Order(_, OrderEdit::Sheet(_) | OrderEdit::Story(_)) => false,
            Edit::Order(_, OrderEdit::Fact(fact) | OrderEdit::Told(_, fact)) => !asks_only_its_order(fact),
            _ => true,
        };
        self.not_all_read().filter(|_| waits)
    }

    /// Why what asks every order has to wait; none once all are read.
    pub(super) fn not_all_read(&self) -> Option<String> {
        self.reading.map(|reading| reading_words::not_yet(reading.left, reading.is_going_on()))
    }

    /// Puts the longer edition of an order in the place of the one here, where it goes on from what is here now.
    pub(super) fn take_edition(&mut self, file: &str, now: Moment) -> Vec<Effect> {
        self.refusal_answered();
        let is_it = |finding: &Finding| matches!(finding, Finding::Edition(edition) if edition.file == file);
        let Some(at) = self.found.iter().position(is_it) else { return Vec::new() };
        let Some(Finding::Edition(edition)) = self.found.get(at) else { return Vec::new() };
        let theirs = edition.order.clone();
        let (tag, entries) = (theirs.tag, theirs.log.len());
        let goes_on = self.studio.order(tag).is_ok_and(|held| {
            theirs.log.continues(&held.order.log) && theirs.log.len() > held.order.log.len()
        });
        let refused = if let Some(why) = &self.read_only {
            Some(why.clone())
        } else if let Some(why) = self.gone(&DocId::Order(tag)) {
            Some(why.to_owned())
        } else if goes_on {
            self.studio.take(Doc::Order(theirs)).err().map(|refusal| refusal.to_string())
        } else {
            Some(crate::present::finding_words::GOES_ON_NO_MORE.to_owned())
        };
        if let Some(why) = refused {
            return self.say(Notice::Refused { why, remedy: None });
        }
        if let Some(Finding::Edition(edition)) = self.found.get_mut(at) {
            (edition.how, edition.ours, edition.other_words) = (Parting::Same, entries, false);
        }
        self.found_anew();
        let doc = DocId::Order(tag);
        self.undo.forget(&doc);
        self.touched(&doc, now);
        self.save(doc)
    }

    /// The maker has looked: what was seen of this record before counts no more.
    pub(super) fn go_on_with(&mut self, tag: Tag) -> Vec<Effect> {
        let before = self.found.len();
        self.found.retain(|finding| finding.unlike_the_witness() != Some(tag));
        if self.found.len() < before {
            self.accepted.insert(tag);
            self.found_anew();
        }
        Vec::new()
    }

    /// Photos and papers are looked through from the first: what was found of them before counts no more.
    pub(super) fn look_anew(&mut self) {
        self.found.retain(|finding| !finding.is_of_a_file());
        self.found_anew();
    }

    /// Takes in what was found when photos and papers were looked through.
    pub(super) fn looked(&mut self, found: Vec<Finding>) -> Vec<Effect> {
        // What is missing of a client who was forgotten since it began is gone on purpose.
        let is_gone = |finding: &Finding| match finding {
            Finding::File { file, .. } => self.gone(&DocId::Order(file.tag())).is_some(),
            _ => false,
        };
        let found: Vec<Finding> = found.into_iter().filter(|finding| !is_gone(finding)).collect();
        // Very many may be missing at once: what is known already is not worked out again for each of them.
        self.troubles.extend(found.iter().map(Finding::trouble));
        if let Some(all) = self.across.get_mut() {
            all.extend(found.iter().cloned());
        }
        self.found.extend(found);
        Vec::new()
    }

    /// The orders whose record the maker goes on with as it is.
    pub fn accepted(&self) -> impl Iterator<Item = Tag> {
        self.accepted.iter().copied()
    }

    pub(super) fn found_anew(&mut self) {
        self.troubles = self.found.iter().map(Finding::trouble).collect();
        self.across.take();
    }
}

/// True of a fact whose rules ask nothing but its own order, the shelf and the settings.
fn asks_only_its_order(fact: &Fact) -> bool {
    match fact {
        Fact::Client(_) | Fact::Home(_) | Fact::Fit(_) => true,
        Fact::Pour(pour) => !matches!(pour, PourFact::Begun { .. }),
        Fact::Custody(custody) => matches!(custody, CustodyFact::Closed { .. }),
        Fact::Struck { .. } => false,
    }
}
