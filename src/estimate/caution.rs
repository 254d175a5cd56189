//! Cautions that a fact of this job calls, and what the price leaves out.
//!
//! Invariants: cautions are rows, none is shown without its fact; nothing says that a ramp is
//! accepted by anybody. Absent: advice about materials, which the takeoff gives.

use super::Whole;
use super::order::sentence;
use crate::catalog::PriceList;
use crate::job::{By, JointMethod, Placing, Saw};
use crate::price::advise_prices;
use crate::quantity::Length;
use crate::rules::Verdict;
use serde::Deserialize;
use std::sync::LazyLock;

/// Something to know before acting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// What it is about.
    pub kind: String,
    /// What to do.
    pub text: String,
}

/// Something that the price leaves out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Exclusion {
    /// What.
    pub text: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum When {
    Always,
    AtLimit,
    SawnWet,
    SawnEarly,
    Drilled,
    Broken,
    HighEdge,
    Trenched,
    Walls,
    Poured,
    Bars,
    Bags,
    Stakes,
    OnlyWayIn,
    OfficeUnpriced,
    Demo,
}

#[derive(Debug, Deserialize)]
struct Row {
    kind: String,
    when: When,
    /// The figure of the fact, where it has one.
    over: Option<Length>,
    text: String,
}

#[derive(Debug, Deserialize)]
struct LeftOutRow {
    text: String,
}

#[derive(Debug, Deserialize)]
struct Rows {
    caution: Vec<Row>,
    left_out: Vec<LeftOutRow>,
}

static ROWS: LazyLock<Rows> = LazyLock::new(|| {
    toml::from_str(include_str!("cautions.toml")).expect("the embedded cautions are read by a test")
});

pub(super) fn cautions(whole: Whole<'_>, list: &PriceList) -> Vec<Caution> {
    let demo = list.is_demo();
    let rows = ROWS.caution.iter().filter(|row| holds(row, whole, demo));
    let fixed = rows.map(|row| Caution {
        kind: row.kind.clone(),
        text: fill_in(&row.text, whole),
    });
    let worked = whole.worked;
    let advices = worked.takeoff.advices.iter().chain(&worked.hours.advices);
    // The same hours are not told twice.
    let is_told = |kind: &str| {
        let mut rows = ROWS.caution.iter();
        rows.any(|row| {
            row.when == When::OfficeUnpriced && row.kind == kind && holds(row, whole, demo)
        })
    };
    let advices = advices.filter(|advice| !is_told(advice.kind));
    let advised = advices.map(|advice| Caution {
        kind: advice.kind.to_owned(),
        text: advice.text.clone(),
    });
    let of_prices = advise_prices(whole.priced, list).into_iter();
    let of_prices = of_prices.map(|advice| Caution {
        kind: advice.kind.to_owned(),
        text: advice.text,
    });
    fixed.chain(of_prices).chain(advised).collect()
}

/// The figures of this job that a text names.
fn fill_in(text: &str, whole: Whole<'_>) -> String {
    let hours = &whole.worked.hours;
    text.replace("{days_closed}", &hours.days_entrance_closed.to_string())
        .replace("{office_hours}", &hours.office.hours().to_string())
}

fn holds(row: &Row, whole: Whole<'_>, demo: bool) -> bool {
    let measures = &whole.worked.takeoff.measures;
    let poured = !measures.concrete_volume.is_zero();
    match row.when {
        When::Always => true,
        When::AtLimit => whole
            .check
            .findings
            .iter()
            .any(|f| f.verdict == Verdict::AtLimit),
        When::SawnWet => is_sawn(whole, Saw::Conventional) || !measures.cut_length.is_zero(),
        When::SawnEarly => is_sawn(whole, Saw::EarlyEntry),
        When::Drilled => measures.dowel_holes > 0.0 || !measures.form_on_wall.is_zero(),
        When::Broken => !measures.broken_area.is_zero(),
        When::HighEdge => row.over.is_some_and(|over| stands_above(whole, over)),
        When::Trenched => !measures.before_volume.is_zero() && !measures.dug_volume.is_zero(),
        When::Walls => !measures.before_volume.is_zero(),
        When::Poured => poured,
        When::Bars => !measures.bar_mass.is_zero(),
        When::Bags => poured && whole.job.crew.placing == Placing::Bags,
        When::Stakes => !measures.form_staked.is_empty(),
        When::OnlyWayIn => whole.job.site.only_accessible_entrance,
        When::OfficeUnpriced => {
            let mut lines = whole.priced.lines.iter();
            let priced = lines.any(|line| line.of == "/crew_hours/office_hours");
            !whole.worked.hours.office.is_zero() && !priced
        }
        When::Demo => demo,
    }
}

fn is_sawn(whole: Whole<'_>, saw: Saw) -> bool {
    let joints = &whole.job.joints;
    let sawn = joints.method == JointMethod::Sawn && joints.saw == saw;
    sawn && !whole.worked.takeoff.measures.joint_length.is_zero()
}

/// Whether a piece that we pour stands so high above the foot.
fn stands_above(whole: Whole<'_>, over: Length) -> bool {
    let poured = !whole.worked.takeoff.measures.surface_area.is_zero();
    let mut surfaces = whole.worked.geometry.surfaces.iter();
    poured && surfaces.any(|surface| surface.elevation_end.at_least(over))
}

pub(super) fn exclusions(whole: Whole<'_>) -> Vec<Exclusion> {
    // Access, water and the like are needed on site; they are no work that a price could hold.
    let on_site = |of: &str| of == "/site" || of.starts_with("/site/");
    let needs = whole.worked.takeoff.needs.iter();
    let left_out = needs.filter(|need| need.from != By::Us && !on_site(&need.of));
    let mut texts: Vec<String> = left_out.map(|need| sentence(&need.what)).collect();
    texts.extend(ROWS.left_out.iter().map(|row| row.text.clone()));
    texts.into_iter().map(|text| Exclusion { text }).collect()
}
