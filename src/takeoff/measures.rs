//! What the crew handles: the measures from which hours are reckoned.
//!
//! Invariant: ours and new only; zero where there is none. Absent here: orders, waste, hours.

use crate::quantity::{Area, Length, Mass, Slope, Volume};

/// A stretch of staked form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FormStretch {
    /// Height of the formed face; the mean where it tapers, so that height times length is its area.
    pub height: Length,
    /// Length along the surface.
    pub length: Length,
    /// True where the surface is steeper than 1:20.
    pub slope: bool,
    /// True where one end is higher than the other.
    pub tapers: bool,
}

/// What the crew handles.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measures {
    /// New slab surface.
    pub surface_area: Area,
    /// Area of the stone.
    pub base_area: Area,
    /// Stone, compacted.
    pub stone_volume: Volume,
    /// Slab on boards.
    pub insulation_area: Area,
    /// Bars.
    pub bar_mass: Mass,
    /// Places where bars cross.
    pub bar_crossings: f64,
    /// Forms on stakes.
    pub form_staked: Vec<FormStretch>,
    /// Forms screwed to a wall.
    pub form_on_wall: Length,
    /// Curbs, corners once.
    pub curb_length: Length,
    /// Boards at the inner faces of curbs.
    pub curb_face_form: Length,
    /// Isolation joints.
    pub isolation_length: Length,
    /// Sealed isolation joints.
    pub sealed_length: Length,
    /// Contraction joints.
    pub joint_length: Length,
    /// Net concrete.
    pub concrete_volume: Volume,
    /// Surface steeper than 1:20.
    pub sloped_area: Area,
    /// The rest of the surface.
    pub level_area: Area,
    /// Steepest surface along the path.
    pub steepest: Slope,
    /// Surface and inner curb faces that are cured.
    pub curing_area: Area,
    /// Surface and inner curb faces that are sealed.
    pub sealer_area: Area,
    /// Formed faces that stay in sight.
    pub rubbed_area: Area,
    /// Handrails that we set.
    pub handrail_length: Length,
    /// Open edges that we backfill.
    pub backfill_length: Length,
    /// Net concrete of footings and walls, placed before the ramp.
    pub before_volume: Volume,
    /// Braced forms of walls.
    pub wall_form_area: Area,
    /// The highest form that holds fresh concrete.
    pub form_highest: Length,
    /// Riser boards.
    pub riser_form: Length,
    /// Treads, risers and tops of cheek walls.
    pub step_area: Area,
    /// Existing concrete that we break out.
    pub broken_area: Area,
    /// Ground that we dig.
    pub dug_volume: Volume,
    /// Of it, what is filled back.
    pub returned_volume: Volume,
    /// Holes drilled for dowels.
    pub dowel_holes: f64,
    /// Existing concrete that we saw.
    pub cut_length: Length,
    /// Loads of concrete.
    pub loads: u32,
}

impl Measures {
    /// Adds what the crew handles of another part or trade.
    pub(super) fn add(&mut self, other: &Self) {
        self.form_staked.extend_from_slice(&other.form_staked);
        self.steepest = self.steepest.max(other.steepest);
        self.surface_area += other.surface_area;
        self.base_area += other.base_area;
        self.stone_volume += other.stone_volume;
        self.insulation_area += other.insulation_area;
        self.bar_mass += other.bar_mass;
        self.bar_crossings += other.bar_crossings;
        self.form_on_wall += other.form_on_wall;
        self.curb_length += other.curb_length;
        self.curb_face_form += other.curb_face_form;
        self.isolation_length += other.isolation_length;
        self.sealed_length += other.sealed_length;
        self.joint_length += other.joint_length;
        self.concrete_volume += other.concrete_volume;
        self.sloped_area += other.sloped_area;
        self.level_area += other.level_area;
        self.curing_area += other.curing_area;
        self.sealer_area += other.sealer_area;
        self.rubbed_area += other.rubbed_area;
        self.handrail_length += other.handrail_length;
        self.backfill_length += other.backfill_length;
        self.before_volume += other.before_volume;
        self.wall_form_area += other.wall_form_area;
        self.form_highest = self.form_highest.max(other.form_highest);
        self.riser_form += other.riser_form;
        self.step_area += other.step_area;
        self.broken_area += other.broken_area;
        self.dug_volume += other.dug_volume;
        self.returned_volume += other.returned_volume;
        self.dowel_holes += other.dowel_holes;
        self.cut_length += other.cut_length;
        self.loads += other.loads;
    }
}
