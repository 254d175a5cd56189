//! The rows of `modifiers.toml`: what bends a rate, which fact calls it, on which tasks.
//!
//! Invariants: low is at most likely and likely at most high, all above nothing; a row bends tasks that
//! there are. Absent: how far a fact holds for a job (`bend`).

use super::rate::RateRow;
use crate::quantity::shown::{FC, SlopePct};
use crate::quantity::{Citation, Length, Slope, System, Temperature, Verified};
use serde::Deserialize;
use std::collections::BTreeMap;

/// What calls a modifier, and for how much of a task.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Fact {
    /// The surface steeper than the one and not steeper than the other.
    SlopeBetween(Slope, Slope),
    /// The surface steeper than this.
    SlopeAbove(Slope),
    /// The slab up to the one width as a whole, and less and less up to the other.
    Narrow(Length, Length),
    /// The edge forms that the job says are curved.
    Curved,
    /// The level edge forms that are higher at one end.
    Tapering,
    /// A crew of one.
    Alone,
    /// The truck further away than this; once for each further as much.
    AwayBeyond(Length),
    /// What the job says of the way to the work.
    LimitedAccess,
    /// What the job says of the site.
    Occupied,
    /// What the job says of the crew.
    FirstOfItsKind,
    /// Air colder than this.
    AirBelow(Temperature),
    /// Air from the one to the other.
    AirBetween(Temperature, Temperature),
    /// Air warmer than this.
    AirAbove(Temperature),
}

impl Fact {
    /// When it holds, in words.
    pub fn words(self, system: System) -> String {
        let tape = |length: Length| length.tape(system);
        let degrees = |at: Temperature| FC::of(at, system).to_string();
        let ratio = |slope: Slope| SlopePct::of(slope, system).ratio().to_owned();
        match self {
            Self::SlopeBetween(over, to) => format!(
                "the part of the surface steeper than {} and not steeper than {}",
                ratio(over),
                ratio(to)
            ),
            Self::SlopeAbove(over) => {
                format!("the part of the surface steeper than {}", ratio(over))
            }
            Self::Narrow(whole, none) => format!(
                "the part of the surface up to {} wide; of what is wider less and less, nothing from {} on",
                tape(whole),
                tape(none)
            ),
            Self::Curved => "the edge form along a curve, by `forms.curved`".to_owned(),
            Self::Tapering => "the level edge form that is higher at one end".to_owned(),
            Self::Alone => "a crew of one".to_owned(),
            Self::AwayBeyond(reach) => format!(
                "`site.truck_to_pour` beyond {}; once for each further {}, and in proportion",
                tape(reach),
                tape(reach)
            ),
            Self::LimitedAccess => "`site.access` is `limited`".to_owned(),
            Self::Occupied => "`site.occupied` is true".to_owned(),
            Self::FirstOfItsKind => "`crew.first_of_its_kind` is true".to_owned(),
            Self::AirBelow(limit) => format!("`site.air` below {}", degrees(limit)),
            Self::AirBetween(least, most) => {
                format!("`site.air` from {} to {}", degrees(least), degrees(most))
            }
            Self::AirAbove(limit) => format!("`site.air` above {}", degrees(limit)),
        }
    }
}

/// What bends a rate.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Modifier {
    /// Its code, which is the row's name.
    #[serde(skip_deserializing)]
    pub code: String,
    /// What it is.
    pub description: String,
    /// What calls it.
    pub fact: Fact,
    /// Tasks that it bends as a whole.
    pub applies_to: Vec<String>,
    /// Tasks of which it bends the float's share.
    #[serde(default)]
    pub float_of: Vec<String>,
    /// What the rate rows contain already.
    pub base: String,
    /// The factor when all goes well.
    pub low: f64,
    /// The factor used.
    pub likely: f64,
    /// The factor when little goes well.
    pub high: f64,
    /// Why.
    pub why: String,
    document: String,
    #[serde(default)]
    section: Option<String>,
    verified: Verified,
}

/// Most rows: a task keeps its modifiers as bits.
const ROWS_AT_MOST: usize = u32::BITS as usize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    modifier: BTreeMap<String, Modifier>,
}

impl Modifier {
    /// Where the row comes from.
    pub fn source(&self) -> Citation {
        Citation::new(&self.document, self.section.as_deref(), self.verified)
    }

    fn is_sound(&self) -> bool {
        let rising = 0.0 < self.low && self.low <= self.likely && self.likely <= self.high;
        let said = !self.base.is_empty() && !self.document.is_empty();
        rising && self.high.is_finite() && said && !self.tasks().is_empty()
    }

    fn tasks(&self) -> Vec<&String> {
        self.applies_to.iter().chain(&self.float_of).collect()
    }
}

/// Reads a file of modifiers and marks the rows that each of them bends.
///
/// # Errors
/// In words: what is not TOML, which row is out of order, which task there is not.
pub(super) fn read_modifiers(
    text: &str,
    mut rows: Vec<&mut RateRow>,
) -> Result<Vec<Modifier>, String> {
    let file: File = toml::from_str(text).map_err(|error| error.to_string())?;
    if file.modifier.len() > ROWS_AT_MOST {
        return Err(format!("at most {ROWS_AT_MOST} modifiers"));
    }
    let named = file.modifier.into_iter();
    let modifiers: Vec<Modifier> = named
        .map(|(code, modifier)| Modifier { code, ..modifier })
        .collect();
    for (index, modifier) in modifiers.iter().enumerate() {
        mark(modifier, 1 << index, &mut rows)?;
    }
    Ok(modifiers)
}

fn mark(modifier: &Modifier, bit: u32, rows: &mut [&mut RateRow]) -> Result<(), String> {
    let code = &modifier.code;
    if !modifier.is_sound() {
        return Err(format!(
            "{code}: low, likely and high must rise, from above 0, base must be said, and a task named"
        ));
    }
    for task in modifier.tasks() {
        let row = rows.iter_mut().find(|row| row.code == task);
        let row = row.ok_or_else(|| format!("{code}: there is no task {task}"))?;
        let whole = modifier.applies_to.contains(task);
        let marks = match whole {
            true => &mut row.bent_by,
            false => &mut row.float_bent_by,
        };
        *marks |= bit;
    }
    Ok(())
}
