//! Standard scales, and the largest at which something fits.

use crate::quantity::{Length, System};
use serde::Deserialize;
use std::sync::LazyLock;

/// A scale.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(super) struct Scale {
    /// How a drawing names it.
    pub(super) name: String,
    one_in: f64,
}

#[derive(Debug, Deserialize)]
struct Scales {
    us: Vec<Scale>,
    metric: Vec<Scale>,
}

static SCALES: LazyLock<Scales> = LazyLock::new(|| {
    toml::from_str(include_str!("scales.toml")).expect("the embedded scales are read by a test")
});

impl Scale {
    /// The largest at which a width and a height fit into a room on the paper, in millimetres.
    pub(super) fn fitting(
        (width, height): (Length, Length),
        room: (f64, f64),
        system: System,
    ) -> &'static Self {
        let scales = match system {
            System::Us => &SCALES.us,
            System::Metric => &SCALES.metric,
        };
        let fits =
            |scale: &&Self| scale.on_paper(width) <= room.0 && scale.on_paper(height) <= room.1;
        let smallest = scales.last().expect("there is a scale, a test reads them");
        scales.iter().find(fits).unwrap_or(smallest)
    }

    /// A length on the paper, in millimetres.
    pub(super) fn on_paper(&self, length: Length) -> f64 {
        length.millimetres() / self.one_in
    }
}
