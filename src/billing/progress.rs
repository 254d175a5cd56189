//! How far each item of the schedule of values is, after what is sent now.
//!
//! Invariants: an item that is not named stays as it was; whatever is out of the ordinary is refused unless
//! it is allowed. Absent: retainage, taxes, lines.

use super::application::{Application, ApplicationItem};
use super::request::{Allowed, InvoiceRequest, ProgressRequest};
use super::schedule::ScheduleItem;
use crate::answered::held;
use crate::quantity::money::{Amount, Currency, Percentage};
use crate::quantity::{Fault, Faults};

/// An item of the schedule, and whether it is an agreed change.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Scheduled {
    pub(super) item: ScheduleItem,
    pub(super) change: bool,
}

/// The word that stands for every item that is not named.
const ALL: &str = "all";
/// What an item may come to where more than all of it is allowed.
const MOST: Percentage = Percentage::from_millionths(10_000_000);

/// What progress is read from.
pub(super) struct Progress<'a> {
    pub(super) sent: &'a InvoiceRequest,
    pub(super) currency: &'a Currency,
    /// The application before, if there was one.
    pub(super) last: Option<&'a Application>,
}

impl Progress<'_> {
    /// Every item as it stands after this bill; nothing moves on a bill that asks for a deposit.
    pub(super) fn items(
        &self,
        schedule: &[Scheduled],
        faults: &mut Faults,
    ) -> Vec<ApplicationItem> {
        self.check_names(schedule, faults);
        let items = schedule.iter();
        items
            .map(|scheduled| self.item(scheduled, faults))
            .collect()
    }

    fn item(&self, scheduled: &Scheduled, faults: &mut Faults) -> ApplicationItem {
        let zero = Amount::zero(self.currency);
        let worth = scheduled.item.amount;
        let before = self.before(&scheduled.item.id);
        let was = before.map_or((zero, zero), |item| (item.completed, item.stored));
        let (completed, stored) = match self.asked(&scheduled.item.id) {
            Some((index, asked)) => {
                let at = format!("/progress/{index}");
                let said = self.said(asked, (worth, was.0), (&at, faults));
                self.check_size((worth, said), was, (&at, faults));
                said
            }
            None if self.is_whole() => (worth, zero),
            None => was,
        };
        let (earned, was) = (completed + stored, was.0 + was.1);
        ApplicationItem {
            id: scheduled.item.id.clone(),
            description: scheduled.item.description.clone(),
            scheduled: worth,
            before: was,
            now: earned - was,
            completed,
            stored,
            percent: share(earned, worth),
            balance: worth - earned,
            change: scheduled.change.then_some(true),
            cost_code: scheduled.item.cost_code.clone(),
        }
    }

    /// Work in place and stored material, as they are said.
    fn said(
        &self,
        asked: &ProgressRequest,
        (worth, was): (Amount, Amount),
        (at, faults): (&str, &mut Faults),
    ) -> (Amount, Amount) {
        let zero = Amount::zero(self.currency);
        let place = format!("{at}/stored");
        let stored = asked
            .stored
            .map_or(zero, |stored| held(stored, self.currency, (&place, faults)));
        let completed = self.completed(asked, (worth, was), (at, faults));
        for (amount, place) in [(stored, place.as_str()), (completed, at)] {
            if amount.is_negative() && (place != at || !worth.is_negative()) {
                let (found, accepted) = (amount.to_string(), "no less than nothing");
                faults.push(Fault::new(place, found, accepted, Some("120.00")));
            }
        }
        (completed, stored)
    }

    /// Work in place, as it is said.
    fn completed(
        &self,
        asked: &ProgressRequest,
        (worth, was): (Amount, Amount),
        (at, faults): (&str, &mut Faults),
    ) -> Amount {
        match (asked.percent, asked.amount) {
            (Some(percent), None) => {
                self.check_percent(percent, (&format!("{at}/percent"), faults));
                worth.percent(percent)
            }
            (None, Some(amount)) => held(amount, self.currency, (&format!("{at}/amount"), faults)),
            (None, None) => was,
            (Some(_), Some(_)) => {
                let accepted = "one of `percent` and `amount`";
                let example = Some("\"percent\": \"40 %\"");
                faults.push(Fault::new(at, "both", accepted, example));
                was
            }
        }
    }

    fn check_percent(&self, percent: Percentage, (at, faults): (&str, &mut Faults)) {
        let most = match self.allows(Allowed::Over100) {
            true => MOST,
            false => Percentage::WHOLE,
        };
        if percent < Percentage::ZERO || percent > most {
            let accepted = format!("from 0 % to {most}; beyond 100 % with allow: [\"over_100\"]");
            faults.push(Fault::new(at, percent.to_string(), accepted, Some("40 %")));
        }
    }

    /// Refuses what goes past the worth of an item, and what goes back.
    fn check_size(
        &self,
        (worth, (completed, stored)): (Amount, (Amount, Amount)),
        was: (Amount, Amount),
        (at, faults): (&str, &mut Faults),
    ) {
        let (earned, before) = (completed + stored, was.0 + was.1);
        // A change that takes away is worth less than nothing, and grows downwards.
        let (more, less) = if worth.is_negative() {
            (earned < worth, earned > before)
        } else {
            (earned > worth, earned < before)
        };
        if more && !self.allows(Allowed::Over100) {
            let found = format!("{completed} in place and {stored} stored");
            let accepted = format!("together at most {worth}, unless allow has \"over_100\"");
            faults.push(Fault::new(at, found, accepted, None));
        }
        if less && !self.allows(Allowed::LessThanBefore) {
            let accepted = format!(
                "no less than the {before} billed before, unless allow has \"less_than_before\""
            );
            faults.push(Fault::new(at, earned.to_string(), accepted, None));
        }
    }

    fn check_names(&self, schedule: &[Scheduled], faults: &mut Faults) {
        let names: Vec<&str> = schedule.iter().map(|each| each.item.id.as_str()).collect();
        if names.contains(&ALL) {
            let accepted =
                "items and changes that are not called `all`, which stands for all of them";
            faults.push(Fault::new("/schedule", ALL, accepted, None));
        }
        for (index, asked) in self.sent.progress.iter().flatten().enumerate() {
            let at = format!("/progress/{index}/item");
            let several = asked.item == ALL && schedule.len() > 1;
            if several && (asked.amount.is_some() || asked.stored.is_some()) {
                let accepted = "`percent` alone, or an item by its name: money is not for several";
                let at = format!("/progress/{index}");
                faults.push(Fault::new(at, ALL, accepted, names.first().copied()));
            }
            let twice = |other: &ProgressRequest| other.item == asked.item;
            if self.sent.progress.iter().flatten().take(index).any(twice) {
                faults.push(Fault::new(at, &asked.item, "each item once", None));
            } else if asked.item != ALL && !names.contains(&asked.item.as_str()) {
                let accepted = format!("`all`, or an item: {}", listed(&names));
                faults.push(Fault::new(
                    at,
                    &asked.item,
                    accepted,
                    names.first().copied(),
                ));
            }
        }
    }

    /// What is said of an item, by its name or with all others.
    fn asked(&self, id: &str) -> Option<(usize, &ProgressRequest)> {
        let named = |name: &str| {
            let mut all = self.sent.progress.iter().flatten().enumerate();
            all.find(|(_, asked)| asked.item == name)
        };
        named(id).or_else(|| named(ALL))
    }

    fn before(&self, id: &str) -> Option<&ApplicationItem> {
        self.last?.items.iter().find(|item| item.id == id)
    }

    /// True where the bill is the first and says nothing of progress: it is for the whole job.
    fn is_whole(&self) -> bool {
        let sent = self.sent;
        self.last.is_none() && sent.progress.is_none() && sent.deposit.is_none()
    }

    fn allows(&self, what: Allowed) -> bool {
        self.sent
            .allow
            .iter()
            .flatten()
            .any(|allowed| *allowed == what)
    }
}

/// Names for a message, not more than a line of them.
fn listed(names: &[&str]) -> String {
    const SHOWN: usize = 12;
    let rest = names.len().saturating_sub(SHOWN);
    let shown: Vec<&str> = names.iter().take(SHOWN).copied().collect();
    match rest {
        0 => shown.join(", "),
        rest => format!("{} and {rest} more", shown.join(", ")),
    }
}

/// One hundredth of a percent, in millionths.
const HUNDREDTH: i64 = 100;

/// What `part` is of `whole`, to the hundredth of a percent.
pub(super) fn share(part: Amount, whole: Amount) -> Percentage {
    // Ten thousand hundredths of a percent are the whole.
    let hundredths = Amount::parse("10000")
        .unwrap_or_default()
        .portion(part, whole);
    Percentage::from_millionths(hundredths.minor().saturating_mul(HUNDREDTH))
}
