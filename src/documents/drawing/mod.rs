//! Drawings of a ramp on paper: plan, elevation, section, joints, bars.
//!
//! Invariants: a drawing shows what the rooms above have worked out and computes no figure of its own; it
//! is the same to the byte for the same job. Absent: the clock, and any word that something passes.

mod scene;

pub use scene::{Anchor, Item, Page, Pen, Spot, Text, Tone};
