//! The course of a day with what it takes: an accelerator where the day gets too long, a retarder or more
//! people where the broom comes too late.
//!
//! Invariants: nothing is asked for where the crew keeps up within its day; a retarder goes before people, and
//! never into a mix that sets slowly; an accelerator only where it makes the day shorter; a crew that does not
//! keep up waits. Absent: the weather's other doings.

use super::course::{Course, Mix, follow};
use super::crowd::{count_finishers, finishers_of, finishers_short};
use super::day::{paid_each, stay};
use super::measure::take_people;
use super::rows::rows;
use super::site::Facts;
use super::weigh::Weighed;
use super::words::{clock, finishers, on_day, people};
use crate::quantity::{Citation, Compared, Span, Temperature};
use crate::setting::SettingRows;
use chrono::NaiveDateTime;

/// A course, and the mix and the people that it is for.
type Found = (Course, Mix);

/// Most people who are looked for beyond the crew.
const MORE_AT_MOST: u32 = 6;

/// What a course is looked for.
pub(super) struct Finder<'a> {
    pub(super) facts: &'a Facts<'a>,
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
        let kept = self
            .try_mix(plain)
            .map(|found| self.keep_up(weighed, found));
        let Some(found) = self.quicken(weighed, (kept, plain)) else {
            let text =
                "The concrete does not set far enough to be broomed in the weather that is told.";
            weighed.wait("no_set", text.to_owned(), &Citation::practice());
            return None;
        };
        self.weigh_stay(weighed, &found.0);
        Some(found)
    }

    fn try_mix(&self, mix: Mix) -> Option<Found> {
        Some((follow(self.facts, (self.first, mix))?, mix))
    }

    fn keeps_up(&self, (course, mix): &Found) -> bool {
        let enough = mix.people >= self.facts.people_least().0;
        enough && !course.is_behind() && finishers_short(self.facts, course, *mix) == 0
    }

    /// With an accelerator where a slow mix makes the day longer than the crew's, and one makes it shorter.
    fn quicken(&self, weighed: &mut Weighed, (kept, plain): (Option<Found>, Mix)) -> Option<Found> {
        let day = self.facts.crew().day;
        let needs_none = |(course, _): &Found| !is_slow(course) || course.stay().at_most(day);
        if kept.as_ref().is_some_and(needs_none) {
            return kept;
        }
        let mix = kept.as_ref().map_or(plain, |(_, mix)| *mix);
        let share = rows().accelerator.share;
        let quick = self.try_mix(Mix { share, ..mix });
        let quick = quick.filter(|quick| self.is_better(quick, kept.as_ref()));
        if quick.is_none() {
            return kept;
        }
        let text =
            "It sets so slowly that the day gets longer than the crew's: ask for an accelerator \
             without chloride, which would rust the bars."
                .to_owned();
        weighed.tell("slow_set", text, &rows().accelerator.source);
        weighed.take(self.facts, "accelerator", &rows().measure.accelerator);
        quick
    }

    /// Whether an accelerated course is worth it: shorter, and not at the price of the broom.
    fn is_better(&self, quick: &Found, kept: Option<&Found>) -> bool {
        let Some(kept) = kept else {
            return true;
        };
        let gain = rows().accelerator.least_gain;
        let shorter = (quick.0.stay() + gain).at_most(kept.0.stay());
        shorter && (self.keeps_up(quick) || !self.keeps_up(kept))
    }

    /// A retarder first, then people, where the broom comes too late.
    fn keep_up(&self, weighed: &mut Weighed, found: Found) -> Found {
        if self.keeps_up(&found) {
            return found;
        }
        if let Some(retarded) = self.retard(&found) {
            let text = format!(
                "It sets faster than {} can finish: ask for a retarder.",
                people(found.1.people)
            );
            weighed.tell("fast_set", text, &rows().retarder.source);
            weighed.take(self.facts, "retarder", &rows().measure.retarder);
            return retarded;
        }
        self.bring(weighed, found)
    }

    /// As few people more as keep up, the own crew's first; where none do, the pour is too large for one.
    fn bring(&self, weighed: &mut Weighed, found: Found) -> Found {
        let told = self.tell_short(&found);
        let plain = found.1;
        let source = self.source_of_short(plain);
        let mut more = (1..=MORE_AT_MOST).filter_map(|more| {
            let people = plain.people + more;
            Some((more, self.try_mix(Mix { people, ..plain })?))
        });
        let Some((short, enough)) = more.find(|(_, found)| self.keeps_up(found)) else {
            let text = format!("{told} Not even {MORE_AT_MOST} more keep up: pour in parts.");
            weighed.wait("too_large", text, &source);
            return found;
        };
        let home = self.facts.crew().people().saturating_sub(plain.people);
        let own = short.min(home);
        let text = match short - own {
            0 => format!("{told} Send {} more of the own crew.", people(own)),
            others => format!("{told} Bring {}, or pour in parts.", finishers(others)),
        };
        weighed.tell("finishers", text, &source);
        let each = paid_each(self.facts, stay(self.facts, Some(&enough.0)));
        let rows = &rows().measure;
        let of = [
            (&rows.own_people, "own_people", own),
            (&rows.finishers, "finishers", short - own),
        ];
        for (row, code, count) in of.into_iter().filter(|(.., count)| *count > 0) {
            let measure = take_people(row, (code, count), each);
            weighed.measures.push(measure);
        }
        enough
    }

    fn source_of_short(&self, mix: Mix) -> Citation {
        let (least, row) = self.facts.people_least();
        match mix.people < least {
            true => row.source(),
            false => self.facts.from.rates.figures.finisher_area.source(),
        }
    }

    /// Why the crew does not keep up: too few for a pour of this size, too late with the broom, or too few
    /// finishers for the area.
    fn tell_short(&self, (course, mix): &Found) -> String {
        let (least, row) = self.facts.people_least();
        if mix.people < least {
            return format!("A pour of this size takes {}: {}.", people(least), row.why);
        }
        if course.is_behind() {
            return format!(
                "The first concrete must be edged by {} and the last broomed by {}; {} would come to the edges at \
                 {} and be done at {}.",
                on_day(course.first, course.first_closes),
                on_day(course.first, course.broom_closes),
                people(mix.people),
                on_day(course.first, course.edged),
                on_day(course.first, course.broomed)
            );
        }
        let needed = count_finishers(self.facts, course, mix.share);
        format!(
            "So much surface takes {needed} finishers at this temperature, and the crew has {}.",
            finishers_of(self.facts)
        )
    }

    /// The course with a retarder; none where the mix is slow as it is, or the crew still does not keep up.
    fn retard(&self, (course, mix): &Found) -> Option<Found> {
        let share = rows().retarder.share;
        let retarded = (!is_slow(course)).then(|| self.try_mix(Mix { share, ..*mix }));
        retarded.flatten().filter(|found| self.keeps_up(found))
    }

    /// A day longer than the crew's, or longer than any.
    fn weigh_stay(&self, weighed: &mut Weighed, course: &Course) {
        let (stay, longest) = (course.stay(), &rows().longest_day);
        let told = format!(
            "From {} to {}, {:.2} h on site, until it is cured",
            clock(course.arrive),
            on_day(course.arrive, course.gone),
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
