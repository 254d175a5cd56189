//! The course of a day with what it takes: an accelerator where the day gets too long, a retarder or more
//! people where the broom comes too late.
//!
//! Invariants: nothing is asked for where the crew keeps up within its day; a retarder goes before people, and
//! never into a mix that sets slowly. Absent: the weather's other doings.

use super::course::{Course, Mix, follow};
use super::crowd::people_short;
use super::day::{paid_each, stay};
use super::measure::take_people;
use super::rows::rows;
use super::site::Facts;
use super::weigh::Weighed;
use super::words::{clock, finishers, people};
use crate::quantity::{Citation, Compared, Span, Temperature, Volume};
use crate::setting::SettingRows;
use chrono::NaiveDateTime;

/// A course, and the mix and the people that it is for.
type Found = (Course, Mix);

/// What a course is looked for.
pub(super) struct Finder<'a> {
    pub(super) facts: &'a Facts<'a>,
    pub(super) loads: &'a [Volume],
    pub(super) first: NaiveDateTime,
}

impl Finder<'_> {
    /// The course of concrete that comes at a temperature; none where it does not set, which is told.
    pub(super) fn find(&self, weighed: &mut Weighed, placed: Temperature) -> Option<Found> {
        let plain = Mix {
            placed,
            share: 1.0,
            people: self.facts.people(),
        };
        let first = self.try_mix(plain);
        let found = match self.is_slow_and_long(first.as_ref()) {
            true => self.accelerate(weighed, plain),
            false => first.and_then(|found| self.keep_up(weighed, found)),
        };
        let Some(found) = found else {
            let text =
                "The concrete does not set far enough to be broomed in the weather that is told.";
            weighed.wait("no_set", text.to_owned(), &Citation::practice());
            return None;
        };
        self.weigh_stay(weighed, &found.0);
        Some(found)
    }

    fn try_mix(&self, mix: Mix) -> Option<Found> {
        Some((follow(self.facts, self.loads, (self.first, mix))?, mix))
    }

    fn is_slow_and_long(&self, found: Option<&Found>) -> bool {
        let day = self.facts.crew().day;
        found.is_none_or(|(course, _)| is_slow(course) && !course.stay().at_most(day))
    }

    fn accelerate(&self, weighed: &mut Weighed, plain: Mix) -> Option<Found> {
        let share = rows().accelerator.share;
        let text =
            "It sets so slowly that the day gets longer than the crew's: ask for an accelerator \
                    without chloride, which would rust the bars."
                .to_owned();
        weighed.tell("slow_set", text, &rows().accelerator.source);
        weighed.take(self.facts, "accelerator", &rows().measure.accelerator);
        self.try_mix(Mix { share, ..plain })
    }

    /// A retarder first, then people, where the broom comes too late.
    fn keep_up(&self, weighed: &mut Weighed, (course, mix): Found) -> Option<Found> {
        let short = people_short(self.facts, &course, mix);
        if short == 0 {
            return Some((course, mix));
        }
        if let Some(retarded) = self.retard(&course, mix) {
            let text = format!(
                "It sets faster than {} can finish: ask for a retarder.",
                people(mix.people)
            );
            weighed.tell("fast_set", text, &rows().retarder.source);
            weighed.take(self.facts, "retarder", &rows().measure.retarder);
            return Some(retarded);
        }
        let people = mix.people + short;
        let (course, mix) = self.try_mix(Mix { people, ..mix })?;
        let text = format!(
            "The broom must be done by {}; that takes {short} more than the crew has. Bring {}, or pour in parts.",
            clock(course.broom_closes),
            finishers(short)
        );
        let source = self.facts.from.rates.figures.finisher_area.source();
        weighed.tell("finishers", text, &source);
        let each = paid_each(self.facts, stay(self.facts, Some(&course)));
        let row = &rows().measure.finishers;
        weighed
            .measures
            .push(take_people(row, ("finishers", short), each));
        Some((course, mix))
    }

    /// The course with a retarder; none where the mix is slow as it is, or the crew still does not keep up.
    fn retard(&self, course: &Course, mix: Mix) -> Option<Found> {
        let share = rows().retarder.share;
        let found = (!is_slow(course))
            .then(|| self.try_mix(Mix { share, ..mix }))
            .flatten();
        found.filter(|(course, mix)| people_short(self.facts, course, *mix) == 0)
    }

    /// A day longer than the crew's, or longer than any.
    fn weigh_stay(&self, weighed: &mut Weighed, course: &Course) {
        let (stay, longest) = (course.stay(), &rows().longest_day);
        let told = format!(
            "From {} to {}, {:.2} h on site, until it is cured",
            clock(course.arrive),
            clock(course.gone),
            stay.hours()
        );
        if !stay.at_most(longest.most) {
            let text = format!(
                "{told}: longer than {:.0} h. Wait for a warmer day.",
                longest.most.hours()
            );
            weighed.wait("long_day", text, &longest.source);
        } else if !stay.at_most(self.facts.crew().day) {
            let day = self.facts.crew().day.hours();
            let text =
                format!("{told}, and the crew's day is {day:.2} h: plan for the late hours.");
            weighed.tell("late_hours", text, &Citation::practice());
        }
    }
}

/// True where the mix sets later than in mild weather.
fn is_slow(course: &Course) -> bool {
    let mild = SettingRows::built_in().mild.concrete;
    let over = Span::from_hours(4.0);
    course.slab.mean(over).compare(mild) == Compared::Below
}
