//! Numbers in the working: rounded for a reader who redoes them.
//!
//! Invariant: a unit stands beside every number that has one, in the job's system; what is ordered
//! stands in its sale unit. Absent here: any computing.

use crate::quantity::shown::{Ft2GalM2L, Ft2M2, FtM, GalL, LbKg, Shown};
use crate::quantity::{Area, Coverage, Length, Mass, Percent, Stress, System, Volume, round_to};

/// Writes in one system of units.
#[derive(Clone, Copy, Debug)]
pub(super) struct Words(pub(super) System);

impl Words {
    pub(super) const fn is_us(self) -> bool {
        matches!(self.0, System::Us)
    }

    pub(super) fn area(self, area: Area) -> String {
        Ft2M2::of(area, self.0).shown().to_string()
    }

    pub(super) fn run(self, length: Length) -> String {
        FtM::of(length, self.0).shown().to_string()
    }

    /// A length without its unit, for lists.
    pub(super) fn bare_run(self, length: Length) -> String {
        FtM::of(length, self.0).shown().value.to_string()
    }

    pub(super) const fn run_unit(self) -> &'static str {
        if self.is_us() { "ft" } else { "m" }
    }

    /// A small length as a person tapes it.
    pub(super) fn tape(self, length: Length) -> String {
        length.tape(self.0)
    }

    /// A thickness as it enters a product with feet or metres: `5/12 ft`, `0.125 m`.
    pub(super) fn factor(self, length: Length) -> String {
        match self.0 {
            System::Us => format!("{}/12 ft", round_to(length.inches(), 4)),
            System::Metric => format!("{} m", round_to(length.metres(), 4)),
        }
    }

    /// A volume in the unit in which areas and lengths multiply.
    pub(super) fn space(self, volume: Volume) -> String {
        match self.0 {
            System::Us => Shown::new(volume.cubic_feet(), "ft3", 2).to_string(),
            System::Metric => Shown::new(volume.cubic_metres(), "m3", 3).to_string(),
        }
    }

    /// A strength.
    pub(super) fn stress(self, stress: Stress) -> String {
        match self.0 {
            System::Us => format!("{} psi", number(stress.psi(), 0)),
            System::Metric if stress < Stress::from_psi(145.0) => {
                format!("{} kPa", number(stress.megapascals() * 1000.0, 0))
            }
            System::Metric => format!("{} MPa", number(stress.megapascals(), 1)),
        }
    }

    /// How a volume in that unit becomes cubic yards: `/ 27`, `/ 0.7646`.
    pub(super) const fn to_yards(self) -> &'static str {
        if self.is_us() { "/ 27" } else { "/ 0.764555" }
    }

    /// An area over a coverage, and the gallons that gives: orders are in gallons.
    pub(super) fn covered(self, area: Area, coverage: Coverage) -> String {
        let volume = area / coverage;
        let liquid = GalL::of(volume, self.0).shown();
        let rate = Ft2GalM2L::of(coverage, self.0).shown();
        let gallons = if self.is_us() {
            String::new()
        } else {
            format!(" = {} gal", gallons(volume))
        };
        format!("{} / {rate} = {liquid}{gallons}", self.area(area))
    }

    pub(super) fn weight(self, mass: Mass) -> String {
        LbKg::of(mass, self.0).shown().to_string()
    }
}

/// Cubic yards, for orders, whatever the system.
pub(super) fn yards(volume: Volume) -> String {
    number(volume.cubic_yards(), 3)
}

/// Gallons, for orders, whatever the system.
pub(super) fn gallons(volume: Volume) -> String {
    number(volume.gallons(), 3)
}

/// The size of stock, by which the trade calls it whatever the system.
pub(super) fn stock(length: Length) -> String {
    length.tape(System::Us)
}

/// A number to at most `places` decimals.
pub(super) fn number(value: f64, places: u8) -> String {
    round_to(value, places).to_string()
}

/// A share in percent.
pub(super) fn percent(share: Percent) -> String {
    format!("{} %", round_to(share.percent(), 2))
}

/// `5 x 5.5, 13.05 ft`: lengths with how often each stands, longest first.
pub(super) fn list(pieces: &[(u32, String)], unit: &str) -> String {
    /// More kinds than this are counted, not listed.
    const LISTED: usize = 12;
    let mut words: Vec<String> = pieces
        .iter()
        .take(LISTED)
        .map(|(times, length)| {
            if *times == 1 {
                length.clone()
            } else {
                format!("{times} x {length}")
            }
        })
        .collect();
    if pieces.len() > LISTED {
        words.push(format!("and {} more kinds", pieces.len() - LISTED));
    }
    format!("{} {unit}", words.join(", "))
}
