//! Drawings of a ramp on paper: plan, elevation, section, joints, bars.
//!
//! Invariants: a drawing shows what the rooms above have worked out and computes no figure of its own; it
//! is the same to the byte for the same job. Absent: the clock, and any word that something passes.
//!
//! | file | holds |
//! | --- | --- |
//! | `scene` | what a page holds, in millimetres on the paper |
//! | `bitmap` | a picture made of points, such as a logo |
//! | `canvas`, `raster`, `frame`, `scale`, `font` | labels that keep clear, what is taken, the page around, scales, widths of words |
//! | `subject`, `ground` | what is drawn, and the ramp from above |
//! | `plan`, `elevation`, `section`, `joints`, `bars` | the views |
//! | `survey` | slopes as measured, with their limits |
//! | `day_axis`, `day_plan` | the visits as bars over the days |
//! | `hours_axis`, `evaporation`, `pour_chart` | evaporation and temperatures over the hours of a pour |
//! | `svg`, `pdf` | a page as SVG, pages as PDF |

mod bars;
mod bitmap;
mod canvas;
mod day_axis;
mod day_plan;
mod elevation;
mod evaporation;
mod font;
mod frame;
mod ground;
mod hours_axis;
mod joints;
mod pdf;
mod plan;
mod pour_chart;
mod raster;
mod scale;
mod scene;
mod section;
mod subject;
mod survey;
mod svg;

pub use bitmap::{Bitmap, BitmapError};
pub use day_plan::draw_day_plan;
pub use evaporation::{EvaporationChart, EvaporationHour, NamedBand, RateLimit, draw_evaporation};
pub use font::{drawable, width_of};
pub(super) use frame::shortened;
pub use frame::{Paper, Title};
pub use pdf::{PdfError, write_pdf};
pub use plan::draw_small_plan;
pub use pour_chart::chart_pour;
pub use scene::{Anchor, Item, Page, Pen, Spot, Text, Tone};
pub use section::draw_small_section;
pub use subject::Subject;
pub use survey::draw_survey;
pub use svg::write_svg;
pub(super) use svg::{escaped, svg_picture};

/// A view of a ramp.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DrawnView {
    /// From above, with slopes, lengths and heights.
    Plan,
    /// From its right side, every turn unfolded.
    Elevation,
    /// Across a run.
    Section,
    /// From above, with its joints.
    Joints,
    /// From above, with its bars.
    Bars,
}

impl DrawnView {
    /// Every view, in the order of their pages.
    pub const ALL: [Self; 5] = [
        Self::Plan,
        Self::Elevation,
        Self::Section,
        Self::Joints,
        Self::Bars,
    ];

    /// How a query names it.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Plan => "plan",
            Self::Elevation => "elevation",
            Self::Section => "section",
            Self::Joints => "joints",
            Self::Bars => "bars",
        }
    }
}

/// One view on its page; none where the job has nothing of the kind.
pub fn draw(view: DrawnView, subject: &Subject<'_>, title: &Title) -> Option<Page> {
    match view {
        DrawnView::Plan => Some(plan::draw_plan(subject, title)),
        DrawnView::Elevation => Some(elevation::draw_elevation(subject, title)),
        DrawnView::Section => section::draw_section(subject, title),
        DrawnView::Joints => Some(joints::draw_joints(subject, title)),
        DrawnView::Bars => Some(bars::draw_bars(subject, title)),
    }
}
