//! Ready-mix loads shared between small pours: who shares a truck, when it comes, what that saves.
//!
//! Data flows one way: `request` (as sent) → `read` (defaults, bounds, faults) → `asked` → `plan`.
//! Each pour is priced alone (`way`, `alone`); sets of pours that one truck can serve in time are found
//! (`route`) and priced (`charge`); the cheapest choice of sets is searched for and bounded
//! (`partition`, `bound`). Invariants: a plan delivers every pour exactly once, within its hours, the
//! truck and the limit; the same pours in another order give the same plan; work is a count, never
//! time. Absent: the weather, the crew, whether the plant agrees.

mod alone;
mod asked;
mod bound;
mod bucket;
mod charge;
mod key;
mod partition;
mod plan;
mod plant;
mod reach;
mod read;
mod request;
mod route;
mod short_load;
mod stated;
mod stops;
mod travel;
mod way;
mod words;

pub use asked::{Asked, Haul, Pour, Terms, Travel};
pub use charge::Charges;
pub use partition::{Column, Solved, partition};
pub use plan::{Breaks, Load, Plan, Stop, Sums, Work, plan_loads};
pub use read::{Read, read_request};
pub use request::{
    ArrivalRequest, LoadPlanRequest, LoadPourRequest, ShortLoadRequest, TravelRequest, TripRequest,
    WaitingRequest,
};
pub use short_load::{ShortFee, ShortTier};
pub use words::{CAUTIONS, tell_load, tell_plan};

/// Columns that each knot of pours may try before the best so far is taken.
pub const TRIALS: u64 = 20_000_000;
