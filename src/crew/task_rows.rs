//! Which tasks there are: one named row each, so that no task can lack its row.
//!
//! Invariant: a code stands once, in the order of the work. Absent: what a row holds.

use super::rate::RateRow;
use serde::Deserialize;

/// Declares a struct with one named row a task, so that no task can lack its row.
macro_rules! task_rows {
    ($($field:ident = $code:literal,)*) => {
        /// One row a task, named by its code.
        #[derive(Clone, Debug, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub(super) struct TaskRows { $(#[serde(rename = $code)] pub(super) $field: RateRow,)* }

        impl TaskRows {
            pub(super) fn name_rows(&mut self) {
                $(self.$field.code = $code;)*
                for (place, row) in (0..).zip(self.all_mut()) {
                    row.place = place;
                }
            }

            pub(super) fn all(&self) -> Vec<&RateRow> { vec![$(&self.$field),*] }

            pub(super) fn all_mut(&mut self) -> Vec<&mut RateRow> { vec![$(&mut self.$field),*] }
        }
    };
}

task_rows! {
    layout = "layout",
    material_pickup = "material-pickup",
    break_out = "break-out",
    cut_existing = "cut-existing",
    dig_hand = "dig-hand",
    dig_machine = "dig-machine",
    fine_grade = "fine-grade",
    stone = "stone",
    stone_barrow = "stone-barrow",
    stone_level = "stone-level",
    form_edge_low = "form-edge-low",
    form_edge_high = "form-edge-high",
    form_edge_slope = "form-edge-slope",
    form_side = "form-side",
    form_wall = "form-wall",
    form_on_wall = "form-on-wall",
    footings_walls = "footings-walls",
    insulation = "insulation",
    isolation_filler = "isolation-filler",
    bars_cut = "bars-cut",
    bars = "bars",
    form_curb = "form-curb",
    form_riser = "form-riser",
    drill_dowel = "drill-dowel",
    fill_back = "fill-back",
    inspection_wait = "inspection-wait",
    grade_check = "grade-check",
    protect_building = "protect-building",
    place_chute = "place-chute",
    place_barrow = "place-barrow",
    place_buggy = "place-buggy",
    place_pump = "place-pump",
    place_bags = "place-bags",
    strike_off = "strike-off",
    finish = "finish",
    curb_finish = "curb-finish",
    finish_steps = "finish-steps",
    joint_tooled = "joint-tooled",
    expose = "expose",
    cure_compound = "cure-compound",
    cover_on = "cover-on",
    washout = "washout",
    clean_up_pour = "clean-up-pour",
    saw_early_entry = "saw-early-entry",
    saw_conventional = "saw-conventional",
    strip_staked = "strip-staked",
    strip_side = "strip-side",
    strip_wall = "strip-wall",
    rub = "rub",
    level_walk = "level-walk",
    cover_off = "cover-off",
    backfill = "backfill",
    handrail = "handrail",
    seal_surface = "seal-surface",
    seal_joints = "seal-joints",
    load_unload = "load-unload",
    clean_up = "clean-up",
    secure = "secure",
}
