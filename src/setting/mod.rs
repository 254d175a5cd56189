//! How fresh concrete dries, sets and gains strength: weather and mix into hours and ages.
//!
//! Invariants: every figure is a row of `setting.toml` with its source; SI inside; no answer is NaN,
//! and none below nothing; strength and maturity are for planning, since no mix is calibrated here.
//! Absent: the clock, where weather comes from, what a job orders, the crew, sentences.
//!
//! | file | holds |
//! | --- | --- |
//! | `measure` | rate of evaporation, a window of time |
//! | `rows` | the rows, read once |
//! | `evaporation` | how fast the surface dries, by three forms, against the limits |
//! | `set_time` | initial and final set by the temperature of the concrete |
//! | `slab` | a thin slab from its placing on: temperature and setting, hour by hour |
//! | `windows` | edging, brooming, stripping of risers; sawing |
//! | `ages` | forms off, traffic, cure, sealer, rails |
//! | `strength`, `maturity` | strength with age, and age by temperature |
//! | `cold` | cold and hot weather: placing temperatures, protection, first freeze |

mod ages;
mod cold;
mod evaporation;
mod maturity;
mod measure;
mod rows;
mod set_time;
mod slab;
mod strength;
mod windows;

pub use ages::{AgeRange, cure_least, measure_strip_age, rail_age, seal_age};
pub use cold::{
    Load, MemberRow, MixedRow, ProtectionRow, first_freeze_age, is_cold, is_too_hot, member,
    mixed_least, protection,
};
pub use evaporation::{
    FormRow, LimitRow, PressureFormRow, Surface, VapourRow, evaporation_limit, measure_evaporation,
    measure_evaporation_by_pressure, measure_vapour_pressure, needs_precautions,
};
pub use maturity::{Warmth, measure_equivalent_age, measure_maturity, reach_equivalent_age};
pub use measure::{EvaporationRate, Maturity, Window};
pub use rows::SettingRows;
pub use set_time::{InitialSet, SetRow, final_set, initial_set, set_factor};
pub use slab::{FollowsRow, YoungSlab};
pub use strength::{age_of_strength, strength_at};
pub use windows::{Finishing, is_next_day_too_late, measure_finishing, measure_saw_window};
