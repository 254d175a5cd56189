//! Rows of what is dug, broken out and hauled, and of what is set into the concrete.
//!
//! Invariant: every row carries its source. Absent here: the files, prices.

use super::row::rows;
use crate::quantity::{Area, Citation, Length, Percent, Stress, Volume};
use serde::Deserialize;

rows! {
    /// What ground does when it is dug and filled back.
    SoilRow {
        /// As the job spells it.
        soil: String,
        /// Loose over bank volume, less one.
        swell: Percent,
        /// Bank over compacted volume is one over one less this.
        shrink: Percent,
    }
    /// Broken concrete.
    BrokenRow {
        /// Loose over solid volume, less one.
        swell: Percent,
    }
    /// A load to the tip.
    HaulRow {
        /// Item code.
        code: String,
        /// What it holds, loose.
        holds: Volume,
    }
    /// A machine that digs.
    MachineRow {
        /// Item code of a day.
        code: String,
        /// Above this volume it is worth bringing.
        from: Volume,
        /// Bank volume dug in a day.
        a_day: Volume,
    }
    /// A breaker.
    BreakerRow {
        /// Item code of a day.
        code: String,
        /// Surface broken in a day.
        a_day: Area,
    }
    /// What bonds dowels in their holes.
    AdhesiveRow {
        /// Item code of a cartridge.
        code: String,
        /// Holes that one fills.
        holes: f64,
    }
    /// Posts of a rail that we set.
    PostRow {
        /// Between posts, at most.
        spacing: Length,
        /// Anchors of one post.
        anchors: f64,
        /// Item code of an anchor.
        code: String,
        /// What it is.
        name: String,
        /// Embedment.
        embedment: Length,
        /// From the edge of the concrete, at least.
        edge: Length,
        /// Strength of the concrete by then, at least.
        strength: Stress,
    }
}
