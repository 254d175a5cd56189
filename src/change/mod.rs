//! What changed between two estimates, and what that is worth: for a change to a contract.
//!
//! Invariants: every amount of a difference has one cause, and the causes add up to the net to the
//! last minor unit; a net is told only where both sides are priced whole, in one currency. Absent:
//! pricing of its own (a job between two others is priced by whoever calls), I/O, status codes.
//!
//! | file | holds |
//! | --- | --- |
//! | `cause` | which part of a job moves a price for which cause |
//! | `mix`, `sections` | a job between two others, and the way from one to the other step by step |
//! | `side`, `figures` | one side of a comparison, and what is told of it beside money |
//! | `lines`, `build_up` | two sides line by line, and what stands on the lines |
//! | `compare` | the whole comparison |
//! | `sent`, `slip`, `order` | extra work on slips, what was agreed before, and who changes the contract |
//! | `contract` | the new sum of the contract, before tax and with it |

mod build_up;
mod cause;
mod compare;
mod contract;
mod figures;
mod lines;
mod mix;
mod order;
mod sections;
mod sent;
mod side;
mod slip;

pub use build_up::StepChange;
pub use cause::Cause;
pub use compare::{
    CauseStep, Comparison, Method, Price, SideTold, compare_by_lines, compare_by_sections,
};
pub use contract::{ContractSum, Taxed};
pub use figures::{Figures, HoursMoved, Moved, WordMoved};
pub use lines::{LineChange, LineChangeKind};
pub use mix::Changed;
pub use order::{ChangeBefore, ChangeOrder};
pub use sections::{Between, End, Section, sections};
pub use sent::{
    AgreedByRequest, ChangeBeforeRequest, CompareRequest, ExtraRateRequest, SideRequest, SideSent,
    SlipItemRequest, SlipPeopleRequest, SlipRequest,
};
pub use side::{Facts, Side, SideExtra, SideLine, SideStep, TaskFact};
pub use slip::{AgreedBy, Slip, SlipLine, Slips, price_slips};
