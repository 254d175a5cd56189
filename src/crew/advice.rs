//! What a person should know about the plan of visits.
//!
//! Invariant: each advice hangs on a fact of this job and names what to do. Absent: any figure that
//! the plan does not hold.

use super::measured::Measured;
use super::office::why_office;
use super::plan::{Dated, Plan};
use super::rate::Phase;
use super::sequence::Sequence;
use super::stage::Stager;
use crate::job::Class;
use crate::quantity::shown::{Ft2M2, Shown};
use crate::quantity::{Area, Citation, Span};
use crate::takeoff::Advice;

/// Gathers the advices of one plan.
pub(super) struct Adviser<'a> {
    pub(super) measured: &'a Measured<'a>,
    pub(super) stager: &'a Stager<'a>,
    /// Hours in the office.
    pub(super) office: Span,
}

impl Adviser<'_> {
    pub(super) fn advise(&self, plan: &Plan) -> Vec<Advice> {
        let mut advices = Vec::new();
        if let Some(pour) = plan
            .visits
            .iter()
            .find(|visit| visit.staged.phase == Phase::Pour)
        {
            self.advise_pour(pour, &mut advices);
        }
        self.advise_release(plan, &mut advices);
        self.advise_office(&mut advices);
        self.advise_long_days(plan, &mut advices);
        self.advise_cover(plan, &mut advices);
        self.advise_days(plan, &mut advices);
        advices
    }

    fn advise_pour(&self, pour: &Dated, advices: &mut Vec<Advice>) {
        let figures = &self.measured.rates.figures;
        let least = self.stager.pour_crew();
        let people = pour.staged.staffing.people;
        if people < least {
            let text = format!(
                "{} on the pour, and a pour of this size takes {least}: {}. Find {} more for the day.",
                counted(people, "person", "people"),
                figures.pour_crew.why,
                least - people
            );
            advices.push(advice(
                "/crew/members",
                "pour_crew",
                text,
                figures.pour_crew.source(),
            ));
        }
        let needed = self.stager.finishers();
        let have = self.finishers();
        let system = self.measured.job.units;
        let area = |area: Area| {
            let shown = Ft2M2::of(area, system).shown();
            Shown::new(shown.value, shown.unit, 0).to_string()
        };
        if have < needed {
            let text = format!(
                "{} for {}; one carries about {} in one pour. Bring {} more, or pour in parts.",
                counted(have, "finisher", "finishers"),
                area(self.measured.takeoff.measures.surface_area),
                area(self.stager.finisher_area()),
                needed - have
            );
            let source = figures.finisher_area.source();
            advices.push(advice("/crew/members", "finishers", text, source));
        }
    }

    fn finishers(&self) -> u32 {
        let members = self.measured.job.crew.members.iter();
        let finishers = members.filter(|member| member.class == Class::Finisher);
        finishers.map(|member| member.count).sum()
    }

    fn advise_release(&self, plan: &Plan, advices: &mut Vec<Advice>) {
        let mut visits = plan.visits.iter().map(|visit| visit.staged.staffing);
        let Some(released) = visits.find_map(|staffing| staffing.released) else {
            return;
        };
        let release = &Sequence::built_in().release;
        let text = format!(
            "{} may leave the pour after {:.2} h on site, once the slab is struck off: {}.",
            counted(released.people, "helper", "helpers"),
            released.on_site,
            release.why
        );
        let source = release.source.clone();
        advices.push(advice("/crew/release", "release", text, source));
    }

    fn advise_office(&self, advices: &mut Vec<Advice>) {
        if self.office.is_zero() {
            return;
        }
        let (why, source) = why_office();
        let text = format!(
            "Certified payrolls take {:.2} h in the office beside the hours on site: {why}.",
            self.office.hours()
        );
        advices.push(advice("/crew/wages", "office", text, source));
    }

    /// One advice, whatever the number of long days: the longest is named.
    fn advise_long_days(&self, plan: &Plan, advices: &mut Vec<Advice>) {
        let day = self.measured.job.crew.day.hours();
        let visits = plan.visits.iter().zip(1_u32..);
        let long: Vec<(f64, u32)> = visits
            .filter(|(visit, _)| !visit.staged.staffing.fits)
            .map(|(visit, number)| (visit.staged.staffing.staying.on_site, number))
            .collect();
        // The first of equal ones.
        let Some((hours, number)) = long
            .iter()
            .copied()
            .reduce(|best, next| if next.0 > best.0 { next } else { best })
        else {
            return;
        };
        let text = format!(
            "Visit {number} takes {hours:.2} h and the working day is {day:.2} h (visits that run over: {}). \
             Plan overtime, more people or smaller pours.",
            long.len()
        );
        advices.push(advice("/crew/day", "long_day", text, Citation::practice()));
    }

    /// A visit for the cover alone.
    fn advise_cover(&self, plan: &Plan, advices: &mut Vec<Advice>) {
        let visits = plan.visits.iter().enumerate();
        for (index, visit) in visits.filter(|(_, visit)| visit.staged.phase == Phase::Close) {
            let mut own = visit
                .staged
                .tasks
                .iter()
                .filter(|task| task.row.phase == Phase::Close);
            if own.all(|task| task.row.code == "cover-off") {
                let text = format!(
                    "Visit {} is for taking the wet cover off alone, {:.2} paid hours. It falls away \
                     if somebody on site takes the cover off then, or if the slab is cured with a \
                     compound that the sealer agrees with.",
                    index + 1,
                    visit.staged.staffing.paid()
                );
                advices.push(advice("/curing", "cover_visit", text, Citation::practice()));
            }
        }
    }

    fn advise_days(&self, plan: &Plan, advices: &mut Vec<Advice>) {
        let week = &self.measured.rates.week;
        if plan.pour_moved {
            let text =
                "The pour waits until the day after it is worked too: joints are sawn the day \
                        after the pour."
                    .to_owned();
            let source = self.measured.rates.figures.saw_after.source();
            advices.push(advice("/site/start", "pour_day", text, source));
        }
        if plan.week_moved {
            let names: Vec<String> = week.not_worked.iter().map(ToString::to_string).collect();
            let text = format!(
                "Not worked: {}. Public holidays are not known here; move the start where one falls \
                 into the plan.",
                names.join(", ")
            );
            advices.push(advice("/site/start", "week", text, week.source()));
        }
    }
}

fn counted(count: u32, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

fn advice(of: &str, kind: &'static str, text: String, source: Citation) -> Advice {
    Advice {
        of: of.to_owned(),
        kind,
        text,
        source,
    }
}
